#include "airchain/fuel/evaporation.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using Liquid = fuel::Fuel<double>;
using fuel::InjectionPlace;
using Input = fuel::Injection<double>;

void bind_fuel(py::module_& m) {
  bind_station<Liquid>(m, "Fuel", "A generic fuel C_1 H_y O_z: what the chain needs of it.")
      .def_property_readonly("stoichiometric_ratio", &Liquid::stoichiometric_ratio,
                             "Dry air per fuel by mass that burns it completely [dimensionless].");
  const Choices<InjectionPlace> places{{"before_compressor", InjectionPlace::before_compressor},
                                       {"plenum", InjectionPlace::plenum},
                                       {"port", InjectionPlace::port}};
  bind_station<Input>(m, "Injection",
                      "How the fuel is put in. It evaporates as far as is typed, or as the air "
                      "can hold;\nthe rest enters the cylinder as liquid.",
                      {choice_part("place", &Input::place, places,
                                   "Where the fuel meets the air: before_compressor, plenum or "
                                   "port")});
  m.def(
      "generic_fuel", [](const std::string& name) { return fuel::generic_fuel(name).fuel; },
      py::arg("name"), "A generic fuel by name.");
  m.def(
      "generic_fuel_words", [](const std::string& name) { return fuel::generic_fuel(name).words; },
      py::arg("name"), "What a generic fuel is and where its figures come from.");
  m.def(
      "generic_fuel_names",
      [] {
        std::vector<std::string> names;
        for (const auto& known : fuel::generic_fuels()) names.push_back(known.name);
        return names;
      },
      "Names that `generic_fuel` knows.");
  m.def(
      "charge_after_fuel",
      [](const Liquid& liquid, const Input& input, double pressure, double temperature,
         double humidity) {
        const auto s = fuel::charge_after_fuel(liquid, input, pressure, temperature, humidity);
        const double all = s.fuel_vapour + s.fuel_liquid;
        return std::pair{s.temperature, s.fuel_vapour / all};
      },
      py::arg("fuel"), py::arg("injection"), py::arg("pressure"), py::arg("temperature"),
      py::arg("humidity_ratio") = 0.0,
      "Temperature [K] of air after fuel has evaporated into it, and the share of the fuel that\n"
      "did: as much as is typed, or as the air can hold. Pressure [Pa] and temperature [K] are "
      "the\n"
      "air's before the fuel, humidity is water vapour per dry air by mass [dimensionless].");
  m.def(
      "fuel_vapour_pressure",
      [](const Liquid& liquid, double temperature) {
        base::require("Fuel", "temperature", temperature, "K", base::between(200.0, 400.0));
        return fuel::saturation_pressure(liquid.thermo(), temperature);
      },
      py::arg("fuel"), py::arg("temperature"),
      "Pressure of a fuel's vapour over its liquid [Pa] at a temperature [K], 200 to 400 K.");
  bind_fuel_parts(m);
  bind_fuel_supply(m);
}

}  // namespace airchain::bindings
