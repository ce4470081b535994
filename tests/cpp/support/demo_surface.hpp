#pragma once

#include "support/burned_nodes.hpp"
#include "support/demo_chain.hpp"

namespace airchain::test {

/// The boosted chain breathing by an invented surface instead of its table.
inline chain::Chain<double> chain_with_surface(double trapping = 0.97) {
  cylinder::SurfaceNodes n;
  n.wave_speed = {200.0, 450.0, 650.0, 900.0};
  n.pressure_ratio = {0.8, 1.2, 2.2};
  n.temperature = {260.0, 295.0, 330.0, 365.0, 400.0};
  n.exhaust_pressure = {80e3, 105e3, 180e3};
  for (double u : n.wave_speed)
    for (double v : n.pressure_ratio)
      for (double t : n.temperature) {
        n.volumetric_efficiency.push_back(0.95 + 2e-4 * u - 2.5e-7 * u * u + 0.04 * v +
                                          5e-4 * (t - 330.0));
        n.trapping.push_back(trapping);
        n.pumping.push_back(1.5 - 0.5 * v);
        n.pressure_effect.push_back(0.01);
      }
  auto c = boosted_chain();
  c.breathing.table = nullptr;
  c.breathing.surface = cylinder::breathing_surface(n);
  c.breathing.temperature_exponent = 0.0;
  return c;
}

/// The same with an invented table of how much all cylinders fill more than the one.
inline chain::Chain<double> chain_with_all_cylinders() {
  auto c = chain_with_surface();
  c.breathing.together = cylinder::breathing_table(
      {250.0, 450.0, 650.0, 850.0}, {0.8, 1.1, 2.5},
      {1.05, 1.04, 1.01, 0.92, 0.94, 0.98, 1.08, 1.06, 1.03, 0.97, 0.98, 0.99});
  return c;
}

}  // namespace airchain::test
