#include "airchain/cycle/sound.hpp"

#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cycle::ChargeMixture;
using cycle::ChargeRecipe;

namespace {

template <double ChargeMixture::*member>
double share(const ChargeRecipe& recipe) {
  return cycle::charge_mixture(recipe).*member;
}

}  // namespace

void bind_cycle_mixture(py::module_& m) {
  bind_station<ChargeRecipe>(
      m, ChargeRecipe::kName,
      "Humid air with fuel, part of it vapour, the rest droplets that burn with the vapour; alike\n"
      "from the plenum to the cylinder.",
      {needed(part("fuel", &ChargeRecipe::fuel, "Fuel", "What is mixed into the air"))})
      .def_property_readonly("heat", &share<&ChargeMixture::heat>,
                             "Released by complete use of oxygen or fuel, per fresh charge [J/kg].")
      .def_property_readonly("fuel_fraction", &share<&ChargeMixture::fuel_fraction>,
                             "Mass of fuel in the fresh charge [dimensionless].")
      .def_property_readonly("air_fraction", &share<&ChargeMixture::air_fraction>,
                             "Mass of dry air in the fresh charge [dimensionless].")
      .def(
          "sound_speed",
          [](const ChargeRecipe& recipe, double temperature) {
            return cycle::sound_speed(cycle::charge_mixture(recipe), temperature);
          },
          py::arg("temperature"),
          "Speed of sound [m/s] in the fresh charge at a temperature [K], 200 to 1000, its "
          "droplets\n"
          "as hot as the gas.");
}

}  // namespace airchain::bindings
