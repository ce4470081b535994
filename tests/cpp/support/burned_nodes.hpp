#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/cylinder/burned.hpp"

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
  n.own = {8.0 * base::kPi / 180.0, 1e-6, 0.7, 0.86, 0.0, 0.0, 0.0, 0.0};
  return n;
}

}  // namespace airchain::test
