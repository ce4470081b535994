// One matched point of an invented boosted engine at three drive ratios. Every number is invented.
// The Python twin, one_point.py, reads the demo's build file instead.
#include <cstdio>

#include "airchain/sweep/sweep.hpp"

using namespace airchain;

int main() {
  compressor::MapData map;
  map.name = "typed in by hand, invented";
  map.lines = {
      {3000.0, {0.40, 0.62, 0.82, 0.90}, {1.62, 1.60, 1.50, 1.35}, {0.72, 0.77, 0.74, 0.62}},
      {4000.0, {0.62, 0.88, 1.10, 1.18}, {2.30, 2.25, 2.05, 1.75}, {0.72, 0.77, 0.74, 0.62}},
      {5000.0, {0.90, 1.18, 1.40, 1.47}, {3.40, 3.28, 2.92, 2.45}, {0.71, 0.76, 0.73, 0.62}}};
  map.tip_diameter = 0.2;

  chain::Chain<double> c;
  c.operation.engine_speed = 680.0;
  c.ambient = {98e3, 300.0, 0.4};
  c.inlet = {1.0, 0.015};
  c.compressor.map =
      std::make_shared<const compressor::CompressorMap>(compressor::CompressorMap::from(map));
  c.drive.step_up = 5.0;
  c.cooler.effectiveness = 0.75;
  c.cooler.coolant_temperature = 303.0;
  c.fuel = fuel::generic_fuel("gasoline_premium").fuel;
  c.breathing.table = cylinder::breathing_table({300.0, 550.0, 800.0}, {1.0}, {0.90, 1.0, 0.93});
  c.engine.displacement = 7e-3;
  c.engine.stroke = 0.1016;
  c.engine.compression_ratio = 9.0;
  c.engine.speed_limit = 800.0;

  int matched = 0;
  for (const double ratio : {1.0, 1.1, 1.2}) {
    c.drive.drive_ratio = ratio;
    const auto r = sweep::solve(c);
    matched += r.status == 0.0;
    std::printf("drive ratio %.2f: boost %.1f kPa, air %.3f kg/s, power %.0f kW, status %.0f\n",
                ratio, r.boost / 1e3, r.air_flow, r.power / 1e3, r.status);
  }
  return matched == 3 ? 0 : 1;
}
