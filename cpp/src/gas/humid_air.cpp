#include "airchain/gas/humid_air.hpp"

#include <cmath>

#include "airchain/base/guards.hpp"

namespace airchain::gas {

double dew_point(double vapour_pressure) {
  base::require("dew_point", "vapour_pressure", vapour_pressure, "Pa", base::between(1e-2, 1.5e6));
  double t = 280.0;
  for (int i = 0; i < 60; ++i) {
    const double step = 1e-4 * t;
    const double value = numerics::log(saturation_pressure(t) / vapour_pressure);
    const double slope =
        numerics::log(saturation_pressure(t + step) / saturation_pressure(t - step)) / (2 * step);
    const double change = value / slope;
    t -= change;
    if (std::abs(change) < 1e-10 * t) break;
  }
  return t;
}

}  // namespace airchain::gas
