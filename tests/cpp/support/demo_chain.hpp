#pragma once

#include <cstdint>
#include <memory>

#include "airchain/chain/chain.hpp"
#include "airchain/chain/result.hpp"
#include "airchain/compressor/meanline_map.hpp"
#include "compressor/test_meanline_machines.hpp"

namespace airchain::test {

/// Whether a solved point carries a flag.
inline bool has(const chain::Result<double>& point, base::Flag flag) {
  return (static_cast<std::uint32_t>(point.flags) & static_cast<std::uint32_t>(flag)) != 0;
}

/// An invented boosted engine of seven litres: a vaneless race blower of the mean-line tests.
inline chain::Chain<double> boosted_chain() {
  namespace comp = compressor;
  static const auto map = std::make_shared<const comp::CompressorMap>(comp::CompressorMap::from(
      comp::predict_map(comp::race_blower(35.0), comp::predicted_speeds(comp::kRaceDesignSpeed))));
  chain::Chain<double> c;
  c.operation.engine_speed = 700.0;
  c.ambient = {98e3, 300.0, 0.5};
  c.inlet = {1.0, 0.015};
  c.compressor.map = map;
  c.drive.step_up = 5.2;
  c.discharge = {0.8, 0.01};
  c.cooler.effectiveness = 0.75;
  c.cooler.coolant_temperature = 300.0;
  c.cooler.loss_coefficient = 2.0;
  c.cooler.area = 0.014;
  c.charge_duct = {0.5, 0.012};
  c.fuel = fuel::generic_fuel("race_gasoline_leaded").fuel;
  c.breathing.table = cylinder::breathing_table(
      {300.0, 500.0, 650.0, 800.0}, {0.9, 1.3, 2.0},
      {0.88, 0.90, 0.93, 0.97, 1.0, 1.03, 0.98, 1.01, 1.04, 0.92, 0.95, 0.98});
  c.engine.displacement = 7e-3;
  c.engine.stroke = 0.1016;
  c.engine.compression_ratio = 9.2;
  c.engine.speed_limit = 820.0;
  return c;
}

inline chain::Chain<double> plain_chain() {
  auto c = boosted_chain();
  c.compressor.map = nullptr;
  return c;
}

}  // namespace airchain::test
