#include "airchain/throttle/throttle.hpp"

#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

void bind_throttle(py::module_& m) {
  bind_station<throttle::Throttle<double>>(
      m, "Throttle",
      "Throttle plates into the plenum: a nozzle whose jet is lost.\n\n"
      "    r = rc + (1 - rc) sqrt(1 - (y / ymax)^2)\n\n"
      "r is plenum over upstream total pressure, y the flow parameter W sqrt(R T) / p upstream;\n"
      "within 0.31 % of the isentropic nozzle's flow for a gas of gamma 1.4.");
}

}  // namespace airchain::bindings
