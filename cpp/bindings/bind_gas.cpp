#include "airchain/gas/humid_air.hpp"
#include "arrays.hpp"
#include "bindings.hpp"

namespace airchain::bindings {

void bind_gas(py::module_& m) {
  elementwise_function(
      m, "saturation_pressure", {"temperature"},
      [](const double* x) { return gas::saturation_pressure(x[0]); },
      "Saturation pressure of water [Pa] at temperatures [K], over ice below 0 degC.");
  elementwise_function(
      m, "humidity_ratio", {"vapour_pressure", "pressure"},
      [](const double* x) { return gas::humidity_ratio(x[0], x[1]); },
      "Water vapour per dry air by mass [dimensionless] at vapour pressures [Pa] and total "
      "pressures [Pa].");
  elementwise_function(
      m, "dry_air_density", {"pressure", "temperature", "humidity_ratio"},
      [](const double* x) { return gas::dry_air_density(x[0], x[1], x[2]); },
      "Dry air [kg/m^3] in a volume of humid air at pressures [Pa] and temperatures [K].");
}

}  // namespace airchain::bindings
