#include "airchain/surge/loop.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/gas/nozzle.hpp"

namespace airchain::surge {

namespace {

using duct::Duct;
using Throttle = throttle::Throttle<double>;

/// The root of a throttle's or valve's flow at no pressure difference has no slope that steps could
/// follow: below this share of the fall that chokes, flow is taken as proportional to the fall.
constexpr double kStraight = 0.02;
/// Runge and Kutta's method bears 2.78 over the fastest rate; taken with some room.
constexpr double kBearable = 1.2;
/// A valve that limits boost is shut where the plenum has fallen to this share of its limit.
constexpr double kShutAgain = 0.98;

double share_at(double time, double begins, double takes) {
  return std::clamp((time - begins) / takes, 0.0, 1.0);
}

}  // namespace

Loop::Loop(const chain::Chain<double>& chain, const chain::Result<double>& open, const LiftOff& how,
           const ReliefValve& valve)
    : chain_(chain), how_(how), valve_(valve), here_(chain), setup_(chain) {
  setup_.set_speed(chain);
  characteristic_.emplace(chain.compressor.map->table().line(setup_.speed), how.shut_off_head,
                          open.map_place);
  breathing_.emplace(chain_.breathing, chain_.operation.engine_speed);
  const double temperature = open.throttle_inlet_temperature;
  gamma_ = setup_.gas.heat_capacity_ratio(temperature);
  const double fall = 1.0 - open.plenum_pressure / open.throttle_inlet_pressure;
  // No wider than what the throttle takes when open: the start is the match, to the last digits.
  straight_ = std::clamp(fall / (1.0 - Throttle::kCriticalRatio), 1e-4, kStraight);
  vent_ = open.bypass_flow / setup_.mass;
  vent_limit_ = setup_.ambient.pressure + chain_.bypass.opens_at;
  const double warmth = setup_.gas.gas_constant * temperature;
  start_.y = {open.compressor_flow / setup_.mass,
              std::log(open.pressure_ratio),
              open.throttle_inlet_pressure * how_.volume / warmth,
              open.throttle_inlet_pressure,
              open.plenum_pressure * how_.plenum_volume / warmth,
              open.plenum_pressure,
              open.air_flow};
}

void Loop::set_speed(double time) {
  if (!(how_.deceleration > 0.0)) return;
  here_.operation.engine_speed =
      chain_.operation.engine_speed - how_.deceleration * std::max(time, 0.0);
  setup_.set_speed(here_);
  breathing_.emplace(chain_.breathing, here_.operation.engine_speed);
  characteristic_->move_to(chain_.compressor.map->table().line(setup_.speed));
}

double Loop::throttle_opening(double time) const {
  return 1.0 - (1.0 - how_.shut_opening) * share_at(time, 0.0, how_.closing_time);
}

double Loop::bypass_opening(double time) const {
  return share_at(time, valve_.delay, valve_.opening_time);
}

double Loop::still_from() const {
  const bool fitted = valve_.effective_area > 0.0;
  return std::max(how_.closing_time, fitted ? valve_.delay + valve_.opening_time : 0.0);
}

double Loop::sound_speed() const {
  const double temperature =
      start_.y[State::pressure] * how_.volume / (start_.y[State::mass] * setup_.gas.gas_constant);
  return std::sqrt(gamma_ * setup_.gas.gas_constant / setup_.mass * temperature);
}

/// A rate is gamma R T/V dW/dp, dW/dp steepest where the flow is taken as straight.
double Loop::longest_step(double time) const {
  const double temperature =
      start_.y[State::pressure] * how_.volume / (start_.y[State::mass] * setup_.gas.gas_constant);
  const double per_root = 1.0 / std::sqrt(setup_.load_constant * temperature);
  const double whole_fall = 1.0 - Throttle::kCriticalRatio;
  const double plates = throttle_opening(time) * per_root * std::sqrt(2.0 / straight_) /
                        (whole_fall * std::sqrt(setup_.per_choked_load));
  const double valve = bypass_opening(time) * valve_.effective_area * per_root *
                       std::sqrt(2.0 / (kStraight * whole_fall));
  const double spring = gamma_ * setup_.gas.gas_constant * temperature;
  const double rate = spring * ((plates + valve) / how_.volume + plates / how_.plenum_volume);
  return std::min(how_.step, kBearable / rate);
}

/// Air that runs backwards loses pressure on its way out.
double Loop::inlet_pressure(double flow) const {
  const auto& entry = setup_.entry;
  const double load = chain::load_of(flow, setup_.load_constant, entry.temperature, entry.pressure);
  double lowest = 1.0;
  const double kept =
      chain::held(Duct<double>::ratio_from_inlet(setup_.inlet_resistance, load), lowest);
  return entry.pressure * (flow < 0.0 ? 2.0 - kept : kept);
}

/// phi = W/(n flow_scale) at the map's reference state.
double Loop::corrected(double flow) const {
  return flow / (setup_.dry_flow_factor * inlet_pressure(flow) * chain_.compressor.flow_scale *
                 setup_.speed);
}

double Loop::share(const State& state) const {
  return corrected(state.y[State::flow]) / characteristic_->left();
}

double Loop::steady_log_ratio(double flow) {
  return chain_.compressor.head_scale * setup_.speed * setup_.speed *
         characteristic_->at(corrected(flow)).log_ratio;
}

/// Air that runs backwards loses as much in ducts and cooler as it would forwards, so that less
/// pressure than the volume's stands behind the compressor.
double Loop::end_pressure(double flow, double log_ratio, double pressure, double hot,
                          double cool) const {
  const double outlet = inlet_pressure(flow) * std::exp(log_ratio);
  const double first = flow < 0.0 ? pressure : outlet;
  double p = first, lowest = 1.0;
  const auto lose = [&](double resistance, double temperature) {
    const double load = chain::load_of(flow, setup_.load_constant, temperature, p);
    p *= chain::held(Duct<double>::ratio_from_inlet(resistance, load), lowest);
  };
  lose(setup_.discharge_resistance, flow < 0.0 ? cool : hot);
  lose(setup_.cooler_resistance, flow < 0.0 ? cool : hot);
  lose(setup_.charge_duct_resistance, cool);
  return flow < 0.0 ? outlet + (first - p) : p;
}

/// The throttle's ellipse (throttle.hpp), solved for the flow:
///
///     q = 1 - ((r - rc)/(1 - rc))^2,   W^2 R T/p^2 = q choked load
double Loop::throttle_flow(double opening, double p1, double t1, double p2, double t2) const {
  const bool back = p2 > p1;
  const double high = back ? p2 : p1, warm = back ? t2 : t1;
  const double fall = 1.0 - (back ? p1 : p2) / high;
  const double z = std::min(fall / (1.0 - Throttle::kCriticalRatio), 1.0);
  const double kept = std::max(z, straight_);
  const double root = std::sqrt(kept * (2.0 - kept)) * std::min(z / straight_, 1.0);
  const double flow =
      opening * high * root / std::sqrt(setup_.per_choked_load * setup_.load_constant * warm);
  return back ? -flow : flow;
}

/// W = psi A p/sqrt(R T); the open air comes in where it has the higher pressure.
double Loop::bypass_flow(double opening, double p1, double t1) const {
  const double area = opening * valve_.effective_area;
  if (!(area > 0.0)) return 0.0;
  const auto& open = setup_.ambient;
  const bool back = open.pressure > p1;
  const double high = back ? open.pressure : p1, warm = back ? open.temperature : t1;
  const double fall = 1.0 - (back ? p1 : open.pressure) / high;
  constexpr double kShort = kStraight * (1.0 - Throttle::kCriticalRatio);
  const double psi = gas::nozzle_flow_function(1.0 - std::max(fall, kShort), gamma_) *
                     std::min(fall / kShort, 1.0);
  const double flow = psi * area * high / std::sqrt(setup_.load_constant * warm);
  return back ? -flow : flow;
}

double Loop::engine_flow(double p2, double t2, double exhaust_flow) const {
  chain::Path<double> p{};
  p.plenum_pressure = p2;
  p.cooler_outlet_temperature = t2;
  chain::add_fuel<false>(setup_, setup_.gas, t2, p);
  auto& line = const_cast<cylinder::Breathing<double>::Line&>(*breathing_);
  return chain::swallowed(setup_, p, chain::demand_of(chain_, setup_, line, p, exhaust_flow));
}

State Loop::rates(double time, const State& state, Moment* told) {
  set_speed(time);
  const auto& y = state.y;
  const double constant = setup_.gas.gas_constant;
  const double p1 = y[State::pressure], p2 = y[State::plenum_pressure];
  const double t1 = p1 * how_.volume / (y[State::mass] * constant);
  const double t2 = p2 * how_.plenum_volume / (y[State::plenum_mass] * constant);
  const double flow = y[State::flow];
  const double phi = corrected(flow);
  const auto there = characteristic_->at(phi);

  const double head = chain_.compressor.head_scale * setup_.speed * setup_.speed;
  const double work =
      head / chain_.compressor.efficiency_scale * there.work * setup_.sound_speed_squared;
  const double hot = setup_.gas_heating.temperature_after(work * setup_.mass);
  const double effectiveness = chain_.cooler.effectiveness_at(std::abs(flow) * setup_.mass);
  const double cooled = hot - effectiveness * (hot - setup_.coolant);
  const double end = end_pressure(flow, y[State::log_ratio], p1, hot, flow < 0.0 ? t1 : cooled);
  const double through = throttle_flow(throttle_opening(time), p1, t1, p2, t2);
  const double vented = bypass_flow(bypass_opening(time), p1, t1);
  const double drawn = engine_flow(p2, t2, y[State::exhaust_flow]);
  const double limited =
      vent_ > 0.0
          ? vent_ * std::clamp((p2 / vent_limit_ - kShutAgain) / (1.0 - kShutAgain), 0.0, 1.0)
          : 0.0;
  const double rotor = here_.operation.engine_speed * chain_.drive.speed_ratio();
  const double per_spring = gamma_ * constant;

  State d;
  d.y[State::flow] = how_.flow_area / how_.length * (end - p1) / setup_.mass;
  d.y[State::log_ratio] =
      (head * there.log_ratio - y[State::log_ratio]) * rotor / (2.0 * base::kPi * how_.lag);
  d.y[State::mass] = flow - through - vented;
  d.y[State::pressure] = per_spring / how_.volume *
                         (flow * (flow < 0.0 ? t1 : cooled) - through * (through < 0.0 ? t2 : t1) -
                          vented * (vented < 0.0 ? setup_.ambient.temperature : t1));
  d.y[State::plenum_mass] = through - drawn - limited;
  d.y[State::plenum_pressure] = per_spring / how_.plenum_volume *
                                (through * (through < 0.0 ? t2 : t1) - (drawn + limited) * t2);
  d.y[State::exhaust_flow] =
      (drawn - y[State::exhaust_flow]) * here_.operation.engine_speed / (4.0 * base::kPi);
  d.y[State::came] = flow;
  d.y[State::vented] = vented + limited;
  d.y[State::drawn] = drawn;
  if (told == nullptr) return d;
  const double mass = setup_.mass;
  const double unit = chain_.compressor.flow_scale * setup_.speed;
  *told = {time,
           flow * mass,
           through * mass,
           (vented + limited) * mass,
           drawn * mass,
           phi * unit,
           characteristic_->left() * unit,
           std::exp(y[State::log_ratio]),
           p1,
           t1,
           p2,
           throttle_opening(time),
           bypass_opening(time),
           here_.operation.engine_speed,
           rotor};
  return d;
}

State Loop::after(double time, const State& state, double step) {
  const auto moved = [&](const State& by, double share) {
    State s = state;
    for (std::size_t i = 0; i < State::parts; ++i) s.y[i] += share * step * by.y[i];
    return s;
  };
  const State a = rates(time, state);
  const State b = rates(time + 0.5 * step, moved(a, 0.5));
  const State c = rates(time + 0.5 * step, moved(b, 0.5));
  const State d = rates(time + step, moved(c, 1.0));
  State next = state;
  for (std::size_t i = 0; i < State::parts; ++i)
    next.y[i] += step / 6.0 * (a.y[i] + 2.0 * (b.y[i] + c.y[i]) + d.y[i]);
  return next;
}

}  // namespace airchain::surge
