// One matched point of an invented boosted engine on three pairs of gears. The Python twin,
// one_point.py, reads the same engine from one_point.toml and prints the same lines.
#include <cstdio>

#include "airchain/sweep/sweep.hpp"

using namespace airchain;

namespace {

using base::kRpm;

chain::Chain<double> invented_chain() {
  compressor::MapData map;
  map.name = "typed in by hand, invented";
  map.lines = {
      {3000.0, {0.40, 0.62, 0.82, 0.90}, {1.62, 1.60, 1.50, 1.35}, {0.72, 0.77, 0.74, 0.62}},
      {4000.0, {0.62, 0.88, 1.10, 1.18}, {2.30, 2.25, 2.05, 1.75}, {0.72, 0.77, 0.74, 0.62}},
      {5000.0, {0.90, 1.18, 1.40, 1.47}, {3.40, 3.28, 2.92, 2.45}, {0.71, 0.76, 0.73, 0.62}}};
  map.tip_diameter = 0.2;

  chain::Chain<double> c;
  c.operation.engine_speed = 6500.0 * kRpm;
  c.ambient = {98e3, 300.0, 0.4};
  c.inlet = {1.0, 0.015};
  c.compressor.map =
      std::make_shared<const compressor::CompressorMap>(compressor::CompressorMap::from(map));
  c.cooler.effectiveness = 0.75;
  c.cooler.coolant_temperature = 303.0;
  c.fuel = fuel::generic_fuel("gasoline_premium").fuel;
  c.breathing.table = cylinder::breathing_table({3000.0 * kRpm, 5000.0 * kRpm, 7500.0 * kRpm},
                                                {1.0}, {0.90, 1.0, 0.93});
  c.engine.displacement = 7e-3;
  c.engine.stroke = 0.1016;
  c.engine.compression_ratio = 9.0;
  c.engine.speed_limit = 7600.0 * kRpm;
  return c;
}

}  // namespace

int main() {
  chain::Chain<double> c = invented_chain();
  struct Level {
    const char* name;
    drive::GearPair gears;
  };
  for (const Level& level : {Level{"even", {40, 40}}, {"middle", {42, 38}}, {"long", {44, 36}}}) {
    c.drive = drive::reduce({level.gears, drive::StepUp{5.0}}, c.drive);
    const auto point = sweep::solve(c);
    const char* status = base::kStatusNames[static_cast<std::size_t>(point.status)];
    std::printf("%s: %.3f kW at %.3f kPa, %s\n", level.name, point.power / 1e3, point.boost / 1e3,
                status);
  }
}
