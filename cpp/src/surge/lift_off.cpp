#include "airchain/surge/lift_off.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "airchain/chain/solve.hpp"
#include "airchain/surge/loop.hpp"

namespace airchain::surge {

namespace {

using base::Status;

/// A moment is told every so often [s].
constexpr double kTold = 1e-3;
/// A swing of flow below this share of that at the left end is none.
constexpr double kNoSwing = 0.02;
/// Search of an area: where it begins without one, its ends, its first steps, how close it comes.
constexpr double kFirstArea = 1e-3, kLeastArea = 1e-6, kMostArea = 0.1;
constexpr double kStride = 1.4, kCloseness = 1.002;
constexpr double kMostOpening = 5.0, kLeastOpening = 0.001;
constexpr double kSlowestCrank = 20.0;  // [rad/s]

void check(const chain::Chain<double>& chain, const LiftOff& how, const ReliefValve& valve) {
  chain::validate(chain);
  base::require_fields(chain.operation);
  base::require_fields(how);
  base::require_fields(valve);
  base::require_that(chain.supercharged(), {.where = "lift_off",
                                            .field = "compressor",
                                            .rule = "have one",
                                            .statement = "the chain has no compressor"});
  const double longest =
      std::max(how.closing_time, valve.delay + valve.opening_time) + how.duration;
  const double last = chain.operation.engine_speed - how.deceleration * longest;
  base::require_that(last >= kSlowestCrank,
                     {.where = LiftOff::kName,
                      .field = "deceleration",
                      .value = base::quantity_text(how.deceleration, "rad/s^2"),
                      .rule = "leave the crank turning at " +
                              base::quantity_text(kSlowestCrank, "rad/s") + " or more",
                      .hint = "shorten the duration"});
}

/// The open chain, solved: what every course of it starts from.
chain::Result<double> opened(const chain::Chain<double>& chain, const LiftOff& how,
                             const ReliefValve& valve) {
  check(chain, how, valve);
  return chain::solve(chain);
}

/// What stands in `Course`, gathered step by step.
class Watch {
 public:
  Watch(const Loop& loop, double from, double left_flow)
      : loop_(loop), from_(from), left_flow_(left_flow) {}

  void see(double time, const State& now) {
    const double flow = now.y[State::flow], share = loop_.share(now);
    lowest_share = std::min(lowest_share, share);
    lowest_flow = std::min(lowest_flow, flow);
    highest_pressure = std::max(highest_pressure, now.y[State::pressure]);
    if (share < 1.0) time_left += time - last_time_;
    if (flow < 0.0 && last_flow_ >= 0.0) ++reversals;
    last_time_ = time;
    last_flow_ = flow;
    if (time < from_) return;
    held_share = std::min(held_share, share);
    times_.push_back(time);
    flows_.push_back(flow);
    pressures_.push_back(now.y[State::pressure]);
  }

  /// By the first and last rise of the flow through the middle of its swing.
  double frequency() const {
    if (times_.empty()) return std::nan("");
    const auto [low, high] = std::minmax_element(flows_.begin(), flows_.end());
    if (*high - *low < kNoSwing * left_flow_) return std::nan("");
    const double middle = 0.5 * (*low + *high);
    double first = 0.0, last = 0.0;
    int rises = 0;
    for (std::size_t i = 1; i < flows_.size(); ++i) {
      if (!(flows_[i - 1] < middle && flows_[i] >= middle)) continue;
      const double part = (middle - flows_[i - 1]) / (flows_[i] - flows_[i - 1]);
      last = times_[i - 1] + part * (times_[i] - times_[i - 1]);
      if (++rises == 1) first = last;
    }
    return rises > 1 ? (rises - 1) / (last - first) : std::nan("");
  }
  double pressure_swing() const {
    const auto [low, high] = std::minmax_element(pressures_.begin(), pressures_.end());
    return pressures_.empty() ? std::nan("") : *high - *low;
  }

  double lowest_share = base::kInfinity, held_share = base::kInfinity;
  double lowest_flow = base::kInfinity, highest_pressure = 0.0;
  double time_left = 0.0;
  int reversals = 0;

 private:
  const Loop& loop_;
  double from_, left_flow_;
  double last_time_ = 0.0, last_flow_ = 0.0;
  std::vector<double> times_, flows_, pressures_;
};

bool is_sound(const State& s) {
  return s.y[State::pressure] > 0.0 && s.y[State::plenum_pressure] > 0.0 &&
         s.y[State::mass] > 0.0 && s.y[State::plenum_mass] > 0.0 &&
         std::abs(s.y[State::flow]) < base::kInfinity &&
         std::abs(s.y[State::log_ratio]) < base::kInfinity;
}

/// Steps from event to event, so that no step runs over a corner in the openings. `see` says
/// whether to go on.
template <class See>
void run(Loop& loop, const std::vector<double>& events, State& now, See&& see) {
  double begin = 0.0;
  for (const double end : events) {
    if (!(end > begin)) continue;
    const double longest = std::min(loop.longest_step(begin), loop.longest_step(end));
    const auto steps = static_cast<long>(std::ceil((end - begin) / longest));
    const double step = (end - begin) / static_cast<double>(steps);
    for (long k = 0; k < steps; ++k) {
      const double time = begin + static_cast<double>(k) * step;
      now = loop.after(time, now, step);
      if (!see(k + 1 < steps ? begin + static_cast<double>(k + 1) * step : end)) return;
    }
    begin = end;
  }
}

std::vector<double> events_of(const Loop& loop, const LiftOff& how, const ReliefValve& valve) {
  std::vector<double> events{how.closing_time};
  if (valve.effective_area > 0.0) {
    events.push_back(valve.delay);
    events.push_back(valve.delay + valve.opening_time);
  }
  std::sort(events.begin(), events.end());
  events.push_back(loop.still_from() + 0.5 * how.duration);
  events.push_back(loop.still_from() + how.duration);
  return events;
}

/// Everything held by both volumes, what went out, less what came in, over what came in.
double error_of(const State& start, const State& end) {
  const double stayed = end.y[State::mass] + end.y[State::plenum_mass] - start.y[State::mass] -
                        start.y[State::plenum_mass];
  const double out = end.y[State::vented] + end.y[State::drawn];
  return (stayed + out - end.y[State::came]) / std::max(out, start.y[State::mass]);
}

void forget_numbers(Course& c) {
  std::apply([&](const auto&... n) { ((c.*(n.member) = std::nan("")), ...); }, Course::numbers());
}

Kind kind_of(const Course& c) {
  if (c.reversals > 0.0) return Kind::deep;
  if (c.held_share < 1.0) return Kind::mild;
  return c.lowest_share < 1.0 ? Kind::passing : Kind::none;
}

/// Whether a valve is enough; ends as soon as that is settled.
bool leaves_room(const chain::Chain<double>& chain, const chain::Result<double>& open,
                 const LiftOff& how, const ReliefValve& valve, double wanted) {
  Loop loop(chain, open, how, valve);
  State now = loop.start();
  const double from = loop.still_from() + 0.5 * how.duration;
  bool enough = true;
  run(loop, events_of(loop, how, valve), now, [&](double time) {
    const double share = loop.share(now);
    enough = is_sound(now) && share >= (time < from ? 1.0 : wanted);
    return enough;
  });
  return enough;
}

/// The last number from `good` towards `bad` that passes, by halving the distance in logarithms.
template <class Passes>
double edge(double good, double bad, Passes&& passes) {
  while (std::max(good / bad, bad / good) > kCloseness) {
    const double middle = std::sqrt(good * bad);
    (passes(middle) ? good : bad) = middle;
  }
  return good;
}

}  // namespace

Course lift_off(const chain::Chain<double>& chain, const LiftOff& how, const ReliefValve& valve) {
  const auto open = opened(chain, how, valve);
  Course c{};
  c.status = open.status;
  c.flags = open.flags;
  forget_numbers(c);
  if (c.status > 0.0) return c;

  Loop loop(chain, open, how, valve);
  State now = loop.start();
  Moment moment{};
  loop.rates(0.0, now, &moment);
  c.moments.push_back(moment);
  const double surge_flow = moment.compressor_flow * moment.surge_flow / moment.corrected_flow;
  const double mass = loop.carried();
  const double from = loop.still_from() + 0.5 * how.duration;
  Watch watch(loop, from, surge_flow / mass);
  watch.see(0.0, now);
  const auto events = events_of(loop, how, valve);
  bool sound = true;
  run(loop, events, now, [&](double time) {
    sound = is_sound(now);
    if (!sound) return false;
    watch.see(time, now);
    if (time < c.moments.back().time + kTold * (1.0 - 1e-9) && time < events.back()) return true;
    loop.rates(time, now, &moment);
    c.moments.push_back(moment);
    return true;
  });
  if (!sound) {
    c.status = double(Status::not_converged);
    c.moments.clear();
    return c;
  }
  c.lowest_share = watch.lowest_share;
  c.held_share = watch.held_share;
  c.lowest_flow = watch.lowest_flow * mass;
  c.time_left = watch.time_left;
  c.reversals = watch.reversals;
  c.pressure_swing = watch.pressure_swing();
  c.frequency = watch.frequency();
  c.surge_flow = surge_flow;
  c.highest_pressure = watch.highest_pressure;
  c.mass_error = error_of(loop.start(), now);
  const double stiffness = how.flow_area / (how.length * how.volume);
  c.helmholtz = loop.sound_speed() / (2.0 * base::kPi) * std::sqrt(stiffness);
  const double tip = open.tip_speed;
  if (tip > 0.0)
    c.b_parameter =
        0.5 * tip / loop.sound_speed() * std::sqrt(how.volume / (how.flow_area * how.length));
  c.kind = kind_of(c);
  return c;
}

double needed_area(const chain::Chain<double>& chain, const LiftOff& how, const ReliefValve& valve,
                   double wanted) {
  base::require("lift_off", "wanted", wanted, "1", base::between(1.0, 3.0));
  const auto open = opened(chain, how, valve);
  if (open.status > 0.0) return std::nan("");
  const auto passes = [&](double area) {
    ReliefValve v = valve;
    v.effective_area = area;
    return leaves_room(chain, open, how, v, wanted);
  };
  if (passes(0.0)) return 0.0;
  double good = valve.effective_area > 0.0 ? valve.effective_area : kFirstArea;
  if (passes(good)) {
    double bad = good / kStride;
    while (bad > kLeastArea && passes(bad)) good = std::exchange(bad, bad / kStride);
    return edge(good, bad, passes);
  }
  double bad = good;
  while (!passes(good *= kStride)) {
    if (good > kMostArea) return base::kInfinity;
    bad = good;
  }
  return edge(good, bad, passes);
}

double longest_opening(const chain::Chain<double>& chain, const LiftOff& how,
                       const ReliefValve& valve, double wanted) {
  base::require("lift_off", "wanted", wanted, "1", base::between(1.0, 3.0));
  const auto open = opened(chain, how, valve);
  if (open.status > 0.0) return std::nan("");
  const auto passes = [&](double time) {
    ReliefValve v = valve;
    v.opening_time = time;
    return leaves_room(chain, open, how, v, wanted);
  };
  if (passes(kMostOpening)) return kMostOpening;
  if (!passes(kLeastOpening)) return std::nan("");
  return edge(kLeastOpening, kMostOpening, passes);
}

}  // namespace airchain::surge
