#include "airchain/duct/duct.hpp"

#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

void bind_duct(py::module_& m) {
  bind_station<duct::Scoop<double>>(
      m, "Scoop",
      "Where the air enters: ram from the road wind and heat picked up under the bonnet.\n\n"
      "    p0 = p + recovery rho v^2 / 2");
  bind_station<duct::Duct<double>>(
      m, "Duct",
      "Filter, pipe or bend: total pressure falls with the square of the flow.\n\n"
      "    dp = K W^2 / (2 rho A^2), rho from the total state at the entry\n\n"
      "Range: dp below a third of the pressure. Left out: compressibility of the loss, Reynolds\n"
      "number, heat through the wall.");
  m.def("duct_from_pressure_drop", &duct::from_pressure_drop, py::arg("pressure_drop"),
        py::arg("mass_flow"), py::arg("density"),
        "The duct that loses a total pressure [Pa] at a mass flow [kg/s] and entry density "
        "[kg/m^3].");
  m.def("ducts_in_series", &duct::in_series, py::arg("ducts"),
        "Several ducts one after another as one, on the first one's area.");
}

}  // namespace airchain::bindings
