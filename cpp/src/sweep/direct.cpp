#include "airchain/sweep/direct.hpp"

#include <cmath>

#include "airchain/sweep/courses.hpp"

namespace airchain::sweep {

namespace {

using Chain = chain::Chain<double>;
using Result = chain::Result<double>;
using Point = cycle::Point<double>;

/// Volumetric efficiency of a first match; cycles forget it.
constexpr double kGuess = 0.95;
/// The same of what burned.
constexpr cylinder::BurnedCharge<double> kBurned{0.35, 1100.0, 40.0, 0.1};
/// Rise of filling with charge temperature near a cycle's state, by common practice 0.3 to 0.5: it
/// sets only how fast the match and the cycle agree.
constexpr double kTemperatureExponent = 0.4;
/// Relative change of the state at the cylinder from one match to the next at which they agree. The
/// filling answers to it by a tenth or so.
constexpr double kSettled = 1e-4;
/// Times that a settled cycle may begin anew because its match has moved on.
constexpr int kMostTurns = 12;

bool in_range(const Point& point) {
  bool inside = true;
  base::for_each_field<Point>([&](const auto& f) { inside &= f.range.holds(point.*(f.member)); });
  return inside;
}

double share(double now, double before) { return std::abs(now - before) / std::abs(before); }

double change_between(const Point& now, const Point& before) {
  return std::max({share(now.plenum_pressure, before.plenum_pressure),
                   share(now.plenum_temperature, before.plenum_temperature),
                   share(now.exhaust_pressure, before.exhaust_pressure)});
}

Result without_answer(const Chain& chain, base::Status why = base::Status::not_converged) {
  Result r{};
  std::apply([&](const auto&... column) { ((r.*(column.member) = std::nan("")), ...); },
             Result::columns());
  r.engine_speed = chain.operation.engine_speed;
  r.status = double(why);
  r.flags = 0.0;
  return r;
}

/// What a cycle made of its charge.
cylinder::BurnedCharge<double> burned_by(const cycle::Setup& setup, double plenum_pressure,
                                         const cycle::CycleResult& result) {
  const double fuel = result.fresh_mass * setup.mixture.fuel_fraction *
                      setup.mixture.recipe.fuel.lower_heating_value;
  return {result.gross_imep * setup.crank.displacement() / fuel, result.exhaust_temperature,
          result.peak_pressure / (plenum_pressure * result.volumetric_efficiency),
          result.heat_loss / fuel};
}

/// One operating point: a match after every cycle, until cycle and match stand still.
class DirectCourse final : public cycle::Course {
 public:
  DirectCourse(const Chain& chain, Result& out) : chain_(&chain), held_(chain), out_(&out) {
    held_.cylinder = nullptr;
    hold({kGuess, 1.0, 0.0, kBurned}, held_.breathing.reference_temperature);
    point_ = matched();
  }

  /// Whether there is a cycle to run; where not, the result stands already.
  bool begins() {
    if (status_ == double(base::Status::outside_map)) {
      *out_ = chain::solve(held_);
      return false;
    }
    if (status_ < double(base::Status::not_converged) && in_range(point_)) return true;
    *out_ = without_answer(*chain_);
    return false;
  }

  Point point() const override { return point_; }

  bool moves(const cycle::CycleResult& result) override {
    if (!fills(result)) return false;
    hold(result);
    const Point next = matched();
    // The first cycles may lead astray.
    if (!in_range(next)) return false;
    point_ = next;
    return true;
  }

  bool take(const cycle::CycleResult& result) override {
    ++turns_;
    if (!fills(result)) {
      using base::Status;
      *out_ =
          without_answer(*chain_, result.refused ? Status::not_possible : Status::not_converged);
      return false;
    }
    hold(result);
    const Point next = matched();
    if (!in_range(next)) {
      *out_ = without_answer(*chain_);
      return false;
    }
    const bool agree = change_between(next, point_) < kSettled;
    point_ = next;
    if (!agree && turns_ < kMostTurns) return true;
    *out_ = chain::solve(held_);
    if (!(agree && result.converged) && out_->status == 0.0)
      out_->flags += double(base::Flag::cycle_not_settled);
    return false;
  }

 private:
  static bool fills(const cycle::CycleResult& result) { return result.volumetric_efficiency > 0.0; }
  void hold(const cycle::CycleResult& result) {
    hold({result.volumetric_efficiency, 1.0 - std::max(result.scavenging_loss, 0.0),
          result.pmep / point_.plenum_pressure,
          burned_by(*chain_->cylinder, point_.plenum_pressure, result)},
         point_.plenum_temperature);
  }
  void hold(const cylinder::HeldFilling<double>& filling, double temperature) {
    held_.breathing.held = filling;
    held_.breathing.reference_temperature = temperature;
    held_.breathing.temperature_exponent = kTemperatureExponent;
  }
  /// The state at the cylinder; that at the end of the speed line where the point lies beyond it.
  Point matched() {
    chain::Setup<double> setup(held_);
    setup.set_speed(held_);
    cylinder::Breathing<double>::Line breathing(held_.breathing, held_.operation.engine_speed);
    const auto m = chain::match(held_, setup, breathing);
    status_ = m.status;
    Point p;
    p.speed = held_.operation.engine_speed;
    p.plenum_pressure = m.path.plenum_pressure;
    p.plenum_temperature = m.path.charge_temperature;
    p.exhaust_pressure = m.demand.exhaust_pressure;
    p.half_burned = held_.combustion.phasing_at(p.plenum_pressure);
    return p;
  }

  const Chain* chain_;
  Chain held_;
  Result* out_;
  Point point_;
  double status_ = 0.0;
  int turns_ = 0;
};

}  // namespace

bool run_direct(const std::vector<Chain>& chains, Result* out, int threads,
                const Progress& progress, const cycle::Controls& controls) {
  base::require_that(!chains.empty(), "Sweep", "there are no points", "at least one");
  for (const Chain& chain : chains) {
    chain::validate(chain, chain::Cycles::are_run);
    base::require_fields(chain.operation);
    base::require_that(chain.cylinder != nullptr && chain.cylinder == chains[0].cylinder, "Sweep",
                       "chains of several cylinders", "chains of one cylinder");
  }
  std::vector<DirectCourse> courses;
  std::vector<Point> points;
  for (std::size_t i = 0; i < chains.size(); ++i) {
    DirectCourse course(chains[i], out[i]);
    if (!course.begins()) continue;
    points.push_back(course.point());
    courses.push_back(std::move(course));
  }
  const std::size_t before = chains.size() - courses.size();
  if (courses.empty()) return !progress || progress(before);
  const Progress counted = [&](std::size_t done) { return !progress || progress(before + done); };
  return run_courses(*chains[0].cylinder, points, controls, threads, counted, std::move(courses));
}

Chain held_at(const Chain& chain, const Result& solved) {
  Chain held = chain;
  held.cylinder = nullptr;
  held.operation.engine_speed = solved.engine_speed;
  const double trapped = solved.fuel_power * solved.trapping;
  const double rate = chain.engine.displaced_rate(solved.engine_speed);
  const double ratio = solved.plenum_pressure / solved.exhaust_pressure;
  const double together =
      chain.breathing.together_at(solved.engine_speed, ratio, solved.charge_temperature);
  held.breathing.held = {
      solved.volumetric_efficiency / (chain.breathing.scale * together),
      solved.trapping,
      solved.pumping_pressure / solved.plenum_pressure,
      {solved.indicated_pressure * rate / (trapped * chain.combustion.work_scale),
       solved.exhaust_temperature,
       solved.peak_pressure / (solved.plenum_pressure * solved.volumetric_efficiency),
       solved.wall_heat_flow / trapped}};
  held.breathing.reference_temperature = solved.charge_temperature;
  held.breathing.temperature_exponent = kTemperatureExponent;
  return held;
}

}  // namespace airchain::sweep
