#include "airchain/chain/lift_off.hpp"

#include <cmath>

#include "airchain/chain/solve.hpp"
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

struct Seen {
  bool possible;
  std::uint32_t odd;
};

/// The closing check of the chain, as far as there is no engine.
Seen look_at(const Chain<double>& c, const Setup<double>& setup, const Match<double>& m,
             const LiftOff& found) {
  Result<double> r{};
  tell_stations(c, setup, m.path, r);
  tell_compressor(c, setup, m, r);
  const auto compressor = compressor_verdict(m.path, r, m.place);
  const bool possible = compressor.possible && m.path.lowest_duct_ratio > kLowestDuctRatio &&
                        found.left_flow > 0.0 && found.flow > 0.0 && found.pressure > 0.0 &&
                        within(found.temperature, kPossibleCharge) && found.effective_area > 0.0;
  return {possible, compressor.likely ? 0 : static_cast<std::uint32_t>(base::Flag::odd_compressor)};
}

LiftOff without_numbers(base::Status status, const LiftOff& found) {
  const double none = std::nan("");
  return {status, found.flags, found.rotor_speed, none, none, none, none, none};
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
  LiftOff found{};
  found.flags = static_cast<std::uint32_t>(compressor::left_flag(map.data().left_end));
  found.rotor_speed = chain.operation.engine_speed * chain.drive.speed_ratio();
  using base::Status;
  if (setup.speed > kFarthestSpeed + 1e-9) return without_numbers(Status::outside_map, found);

  auto line = map.table().line(setup.speed);
  const double left = line.one_at<CompressorMap::phi>(0.0);
  const auto root = numerics::bracketed_root<double>(
      [&](double x) { return line.one_at<CompressorMap::phi>(x) / left - flow_over_left; }, 0.0,
      1.0, 0.2, 0.5, 1e-12, 1e-14);
  if (root.above > 0.0) return without_numbers(Status::beyond_choke, found);
  if (root.converged < 1.0) return without_numbers(Status::not_converged, found);
  Match<double> m{};
  Path<double> at_left;
  boosted_path<false>(chain, setup, line, 0.0, at_left);
  boosted_path<false>(chain, setup, line, root.x, m.path);
  m.place = root.x;
  found.left_flow = at_left.flow * setup.mass;
  found.flow = m.path.flow * setup.mass;
  found.pressure = m.path.throttle_inlet_pressure;
  found.temperature = m.path.cooler_outlet_temperature;
  found.effective_area = opening(setup, m.path.flow, found.pressure, found.temperature);
  const auto seen = look_at(chain, setup, m, found);
  found.flags |= seen.odd;
  return seen.possible ? found : without_numbers(Status::not_possible, found);
}

}  // namespace airchain::chain
