#include "airchain/fuel/fuel.hpp"
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
                      "How the fuel is put in. What has not evaporated at its place enters the "
                      "cylinder as liquid\nand cools the charge no more.",
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
  bind_fuel_parts(m);
  bind_fuel_supply(m);
}

}  // namespace airchain::bindings
