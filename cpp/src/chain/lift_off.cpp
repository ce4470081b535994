#include "airchain/chain/lift_off.hpp"

#include <cmath>

#include "airchain/chain/path.hpp"
#include "airchain/gas/nozzle.hpp"
#include "airchain/numerics/root.hpp"

namespace airchain::chain {

namespace {

using compressor::CompressorMap;

/// Effective area that passes a dry-air flow from a total state to an ambient pressure.
double opening(const Setup<double>& setup, double flow, double pressure, double temperature) {
  const double ratio = setup.ambient.pressure / pressure;
  if (ratio >= 1.0) return base::kInfinity;
  const double gamma = setup.gas.heat_capacity_ratio(temperature);
  return flow * std::sqrt(setup.load_constant * temperature) /
         (pressure * gas::nozzle_flow_function(ratio, gamma));
}

}  // namespace

LiftOff lift_off(const Chain<double>& chain, double flow_over_left) {
  validate(chain);
  base::require_fields(chain.operation);
  base::require_that(chain.supercharged(), {.where = "lift_off",
                                            .field = "compressor",
                                            .rule = "have one",
                                            .statement = "the chain has no compressor"});
  base::require("lift_off", "flow_over_left", flow_over_left, "1", base::between(1.0, 3.0));
  const auto& map = *chain.compressor.map;
  Setup<double> setup(chain);
  setup.set_speed(chain);
  const double none = std::nan("");
  LiftOff found{base::Status::outside_map, 0, none, none, none, none, none, none};
  found.flags = static_cast<std::uint32_t>(compressor::left_flag(map.data().left_end));
  found.rotor_speed = chain.operation.engine_speed * chain.drive.speed_ratio();
  if (setup.speed > kFarthestSpeed + 1e-9) return found;

  auto line = map.table().line(setup.speed);
  const double left = line.one_at<CompressorMap::phi>(0.0);
  const auto root = numerics::bracketed_root<double>(
      [&](double x) { return line.one_at<CompressorMap::phi>(x) / left - flow_over_left; }, 0.0,
      1.0, 0.2, 0.5, 1e-12, 1e-14);
  found.status = root.above > 0.0       ? base::Status::beyond_choke
                 : root.converged < 1.0 ? base::Status::not_converged
                                        : base::Status::matched;
  if (found.status != base::Status::matched) return found;
  Path<double> at_left, path;
  boosted_path<false>(chain, setup, line, 0.0, at_left);
  boosted_path<false>(chain, setup, line, root.x, path);
  found.left_flow = at_left.flow * setup.mass;
  found.flow = path.flow * setup.mass;
  found.pressure = path.throttle_inlet_pressure;
  found.temperature = path.cooler_outlet_temperature;
  found.effective_area = opening(setup, path.flow, found.pressure, found.temperature);
  return found;
}

}  // namespace airchain::chain
