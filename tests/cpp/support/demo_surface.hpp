#pragma once

#include "support/demo_chain.hpp"

namespace airchain::test {

/// The boosted chain breathing by an invented surface instead of its table.
inline chain::Chain<double> chain_with_surface(double trapping = 0.97) {
  const std::vector<double> speed{250.0, 450.0, 650.0, 850.0}, ratio{0.8, 1.2, 2.2};
  const std::vector<double> temperature{260.0, 295.0, 330.0, 365.0, 400.0};
  std::vector<double> efficiency, trapped, pumping;
  for (double u : speed)
    for (double v : ratio)
      for (double t : temperature) {
        efficiency.push_back(0.95 + 2e-4 * u - 2.5e-7 * u * u + 0.04 * v + 5e-4 * (t - 330.0));
        trapped.push_back(trapping);
        pumping.push_back(0.3 + 1e-3 * u - 0.5 * v);
      }
  auto c = boosted_chain();
  c.breathing.table = nullptr;
  c.breathing.surface =
      cylinder::breathing_surface(speed, ratio, temperature, efficiency, trapped, pumping);
  c.breathing.temperature_exponent = 0.0;
  return c;
}

}  // namespace airchain::test
