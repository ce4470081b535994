#include "airchain/chain/timed.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "airchain/chain/solve.hpp"

namespace airchain::chain {

namespace {

constexpr double kLongestStep = 0.25;  // [s]
constexpr double kLongestPull = 3600.0;
constexpr double kHeatTolerance = 1e-10;
constexpr int kMostTurns = 12;

double heat_of(const Result<double>& r) { return std::isnan(r.cooler_heat) ? 0.0 : r.cooler_heat; }

struct Fold {
  const Chain<double>& chain;
  const cooler::IceTank* tank;
  double acceleration;
  const SolveInstant& solve_instant;

  Result<double> solved(double engine_speed, const cooler::TankState& state) const {
    Chain<double> c = chain;
    c.operation = {engine_speed, acceleration};
    if (std::isnan(state.water_temperature)) return solve_instant(c);
    c.cooler.coolant_temperature = state.water_temperature;
    Result<double> result = solve_instant(c);
    result.coolant_temperature = state.water_temperature;  // known without a match too
    return result;
  }

  Instant step(const Instant& now, double engine_speed, double duration) const {
    Instant next{now.time + duration, now.tank, now.result};
    if (tank == nullptr) {
      next.result = solved(engine_speed, next.tank);
      return next;
    }
    double heat = heat_of(now.result);
    for (int i = 0; i < kMostTurns; ++i) {
      next.tank = tank->after(now.tank, 0.5 * (heat_of(now.result) + heat), duration);
      next.result = solved(engine_speed, next.tank);
      const double before = heat;
      heat = heat_of(next.result);
      if (std::abs(heat - before) <= kHeatTolerance * std::abs(heat)) break;
    }
    return next;
  }
};

void check(const std::vector<double>& engine_speed, double acceleration) {
  base::require_that(!engine_speed.empty(), {.where = "timed_pull",
                                             .field = "engine_speed",
                                             .rule = "be at least one speed",
                                             .statement = "engine_speed is empty"});
  base::require("timed_pull", "acceleration", acceleration, "rad/s^2", base::above_up_to(0.0, 1e4));
  double before = 0.0;
  for (double speed : engine_speed) {
    base::require_fields(Operation<double>{speed, acceleration});
    base::require_that(speed > before, {.where = "timed_pull",
                                        .field = "engine_speed",
                                        .value = base::quantity_text(speed, "rad/s") + " after " +
                                                 base::quantity_text(before, "rad/s"),
                                        .rule = "be rising"});
    before = speed;
  }
  base::require("timed_pull", "duration", (before - engine_speed.front()) / acceleration, "s",
                base::between(0.0, kLongestPull), "raise the acceleration");
}

}  // namespace

std::vector<Instant> timed_pull(const Chain<double>& chain, const cooler::IceTank* tank,
                                const std::vector<double>& engine_speed, double acceleration) {
  validate(chain);
  return timed_pull(chain, tank, engine_speed, acceleration,
                    [](const Chain<double>& c) { return solve(c); });
}

std::vector<Instant> timed_pull(const Chain<double>& chain, const cooler::IceTank* tank,
                                const std::vector<double>& engine_speed, double acceleration,
                                const SolveInstant& solve_instant) {
  check(engine_speed, acceleration);
  const double none = std::nan("");
  if (tank != nullptr) base::require_fields(*tank);
  const cooler::TankState start =
      tank != nullptr ? tank->start() : cooler::TankState{none, none, none};
  const Fold fold{chain, tank, acceleration, solve_instant};
  double speed = engine_speed.front();
  std::vector<Instant> told{{0.0, start, fold.solved(speed, start)}};
  for (std::size_t i = 1; i < engine_speed.size(); ++i) {
    const double rise = engine_speed[i] - speed;
    const double whole = rise / acceleration;
    const int steps = tank != nullptr ? static_cast<int>(std::ceil(whole / kLongestStep)) : 1;
    Instant now = told.back();
    for (int k = 1; k <= steps; ++k) {
      const double here = k == steps ? engine_speed[i] : speed + rise * k / steps;
      now = fold.step(now, here, whole / steps);
    }
    told.push_back(now);
    speed = engine_speed[i];
  }
  return told;
}

}  // namespace airchain::chain
