#pragma once

#include "support/demo_chain.hpp"

namespace airchain::test {

/// Invented nodes of burned charge: alike everywhere, with no answer to the burn.
inline cylinder::BurnedNodes burned_nodes() {
  cylinder::BurnedNodes n;
  n.wave_speed = n.coarse_speed = {200.0, 900.0};
  n.pressure_ratio = n.coarse_ratio = {0.8, 2.2};
  n.temperature = {260.0, 400.0};
  n.coarse_temperature = {330.0};
  n.work.assign(8, 0.35);
  n.exhaust_temperature.assign(8, 1150.0);
  n.peak_pressure.assign(8, 45.0);
  n.wall_heat.assign(8, 0.08);
  n.responses.assign(cylinder::kAnswers * cylinder::kCauses * 4, 0.0);
  n.shapes.assign(cylinder::kAnswers * cylinder::kShapeNumbers, 0.0);
  n.own = {8.0 * base::kPi / 180.0, 1e-6, 0.7, 0.86};
  return n;
}

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

}  // namespace airchain::test
