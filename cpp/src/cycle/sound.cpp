#include "airchain/cycle/sound.hpp"

#include <cmath>

#include "airchain/base/guards.hpp"

namespace airchain::cycle {

double sound_speed(const ChargeMixture& mixture, double temperature) {
  base::require("ChargeMixture", "temperature", temperature, "K", base::between(200.0, 1000.0));
  const double r = mixture.fresh.gas_constant;
  double cp = 0.0;
  for (int k = 4; k >= 0; --k) cp = cp * temperature + mixture.fresh.low[k];
  return std::sqrt(cp / (cp - r) * r * temperature);
}

}  // namespace airchain::cycle
