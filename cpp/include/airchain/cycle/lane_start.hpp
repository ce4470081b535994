#pragma once

#include <array>
#include <cmath>

#include "airchain/cycle/kernel.hpp"

// How one lane of a kernel starts: its point, gas at rest or a flow put aside, and a cycle.
namespace airchain::cycle {

/// A collector that follows what leaves the primary is first sought near what gas has there (fitted
/// to cycles of one engine, within 25 K of them); that sets only how soon a cycle repeats itself.
///
///     T = 900 K + 11.8 K sqrt(w s/rad) + 150 K ln(p_plenum/p_exhaust)
template <class T>
void put_point(Kernel<T>& k, int i, const Point<double>& p) {
  const double usual =
      900.0 + 11.8 * std::sqrt(p.speed) + 150.0 * std::log(p.plenum_pressure / p.exhaust_pressure);
  const auto put = [&](T& value, double x) { numerics::set_lane(value, i, x); };
  put(k.point.speed, p.speed);
  put(k.point.plenum_pressure, p.plenum_pressure);
  put(k.point.plenum_temperature, p.plenum_temperature);
  put(k.point.exhaust_pressure, p.exhaust_pressure);
  put(k.point.half_burned, p.half_burned);
  put(k.point.spark, p.spark);
  put(k.point.collector_temperature,
      k.setup().collector == Collector::held ? p.collector_temperature : usual);
}

/// Share of the trapped mass below which a flow measures nothing.
inline constexpr double kLeastCharge = 1e-3;

/// Mean over the gas that leaves behind the primary, by its enthalpy; that of the gas there where
/// none leaves. The share of fresh charge in it is neglected.
///
///     u(T) + R T = (sum of enthalpy that left)/(sum of mass that left),   burned gas; T in K
template <class T>
double leaving_temperature(const Kernel<T>& k, int i) {
  const auto of = [&](const T& value) { return numerics::lane(value, i); };
  const double mass = of(k.tally.leaving_mass);
  if (!(mass > 0.0)) return of(k.point.collector_temperature);
  const double enthalpy = of(k.tally.leaving_heat) / mass;
  const double gas_constant = k.gas().gas_constant(1.0);
  double t = 1000.0;
  for (int n = 0; n < 6; ++n) {
    const auto at = k.gas().caloric(t, 1.0);
    t += (enthalpy - at.energy - gas_constant * t) / (at.heat + gas_constant);
  }
  return t;
}

/// Seeks the collector's temperature that is that of what leaves, where the setup has it so:
///
///     T_collector = T_leaving(T_collector)
///
/// Gas that came back leaves again, cooled on its way, so that each cycle brings it nearer: slowly
/// where much comes back, since the changes then fall by up to 0.85 from cycle to cycle. Once they
/// are seen to fall, what is still to come is added at a stroke (Aitken's extrapolation):
///
///     T <- T_leaving + d q/(1 - q),   d = T_leaving - T_collector,   q = d/d before, at most 0.85
class CollectorSearch {
 public:
  /// The temperature [K] of the next cycle's collector.
  double next(double collector, double leaving) {
    constexpr double kMost = 0.85, kLeast = 0.55;
    constexpr double kSmall = 0.2;  // [K], a step that no longer matters
    const double step = leaving - collector;
    const double ratio = step / step_;
    step_ = step;
    ++plain_;
    if (plain_ < kPlain || !(ratio > kLeast && ratio < 1.0) || step * step < kSmall * kSmall)
      return leaving;
    plain_ = 0;
    const double q = ratio < kMost ? ratio : kMost;
    return leaving + step * q / (1.0 - q);
  }

 private:
  static constexpr int kPlain = 3;  // cycles that follow as they come, before each stroke
  double step_ = 0.0;
  int plain_ = 0;
};

/// Sets the collector of a lane's next cycle. Too little gas to tell leaves it as it was.
template <class T>
void follow_collector(Kernel<T>& k, int i, CollectorSearch& search) {
  if (k.setup().collector == Collector::held) return;
  const auto of = [&](const T& value) { return numerics::lane(value, i); };
  if (of(k.tally.leaving_mass) > kLeastCharge * of(k.trapped.mass))
    numerics::set_lane(k.point.collector_temperature, i,
                       search.next(of(k.point.collector_temperature), leaving_temperature(k, i)));
}

/// What passes from one cycle to the next beside the flow in the pipes.
template <class T>
std::array<T*, 12> cylinder_numbers(Kernel<T>& k) {
  auto& v = k.vessel;
  return {&v.mass,      &v.burned_mass, &v.energy,           &v.temperature,
          &v.pressure,  &v.volume,      &k.open_area,        &k.bare_mass_rate,
          &k.mass_rate, &k.energy_rate, &k.bare_energy_rate, &k.burned_rate};
}

/// Gas at rest in cylinder and pipes: m = p V/(R T), T = 1.15 T_plenum, 8 % of it burned.
template <class T>
void fill_lane(Kernel<T>& k, int i) {
  constexpr double kWarming = 1.15, kResidual = 0.08;  // a guess: the cycles forget it
  const auto of = [&](const T& value) { return numerics::lane(value, i); };
  k.forget_ends(i);
  const T none(0.0), all(1.0);
  k.intake_pipe.fill_lane(i, {k.point.plenum_pressure, k.point.plenum_temperature, none});
  k.exhaust_pipe.fill_lane(i, {k.point.exhaust_pressure, k.point.collector_temperature, all});
  const double volume = k.setup().crank.at(k.start_angle()).volume;
  const double pressure = of(k.point.plenum_pressure);
  const double t = kWarming * of(k.point.plenum_temperature);
  const double mass = pressure * volume / (k.gas().gas_constant(kResidual) * t);
  const double energy = mass * k.gas().caloric(t, kResidual).energy;
  for (T* rate : cylinder_numbers(k)) numerics::set_lane(*rate, i, 0.0);
  const auto put = [&](T& value, double x) { numerics::set_lane(value, i, x); };
  put(k.vessel.mass, mass);
  put(k.vessel.burned_mass, kResidual * mass);
  put(k.vessel.energy, energy);
  put(k.vessel.temperature, t);
  put(k.vessel.pressure, pressure);
  put(k.vessel.volume, volume);
}

/// One lane's cylinder and pipes at the end of a cycle.
template <class T>
struct StoredLane {
  using Flow = typename pipe::Pipe<T, gas::Charge>::StoredFlow;
  double cylinder[12] = {};
  double collector_temperature = 0.0;
  Flow intake, exhaust;

  /// False where the cycle has failed.
  bool sound() const {
    double sum = 0.0;
    for (double x : cylinder) sum += x;
    for (const Flow* flow : {&intake, &exhaust})
      for (const auto& c : flow->cells)
        sum += c.mass + c.momentum + c.energy + c.burned_mass + c.temperature;
    return sum * 0.0 == 0.0 && cylinder[0] > 0.0;
  }
};

template <class T>
StoredLane<T> stored_lane(Kernel<T>& k, int i) {
  StoredLane<T> stored{{},
                       numerics::lane(k.point.collector_temperature, i),
                       k.intake_pipe.stored_lane(i),
                       k.exhaust_pipe.stored_lane(i)};
  double* number = stored.cylinder;
  for (T* x : cylinder_numbers(k)) *number++ = numerics::lane(*x, i);
  return stored;
}

template <class T>
void restore_lane(Kernel<T>& k, int i, const StoredLane<T>& stored) {
  k.forget_ends(i);
  k.intake_pipe.restore_lane(i, stored.intake);
  k.exhaust_pipe.restore_lane(i, stored.exhaust);
  numerics::set_lane(k.point.collector_temperature, i, stored.collector_temperature);
  const double* number = stored.cylinder;
  for (T* x : cylinder_numbers(k)) numerics::set_lane(*x, i, *number++);
}

/// Starts a lane's cycle from what its cylinder and pipes hold.
template <class T>
void start_cycle(Kernel<T>& k, int i) {
  const auto of = [&](const T& value) { return numerics::lane(value, i); };
  const auto put = [&](T& value, double x) { numerics::set_lane(value, i, x); };
  auto& v = k.vessel;
  const double mass = of(v.mass), burned = of(v.burned_mass);
  const double residual = burned / mass;
  const auto& burn = k.setup().burn;
  const double duration =
      burn.duration_at(of(k.point.speed), k.setup().mixture.recipe.lambda, residual);
  const double start = k.setup().phasing == Phasing::spark
                           ? of(k.point.spark)
                           : burn.start_of(of(k.point.half_burned), duration);
  put(k.angle, k.start_angle());
  put(k.trapped.mass, mass);
  put(k.trapped.fresh, mass - burned);
  put(k.trapped.residual, residual);
  put(k.trapped.pressure, of(v.pressure));
  put(k.trapped.temperature, of(v.temperature));
  put(k.trapped.volume, of(v.volume));
  put(k.trapped.burn_start, start > k.start_angle() ? start : k.start_angle());
  put(k.trapped.burn_duration, duration);
  put(k.unburned_temperature, of(v.temperature));
  put(k.droplets.square, 1.0);
  auto& t = k.tally;
  for (T* sum : {&t.plenum_mass,
                 &t.plenum_energy,
                 &t.collector_mass,
                 &t.collector_energy,
                 &t.leaving_mass,
                 &t.leaving_heat,
                 &t.intake_mass,
                 &t.intake_fresh,
                 &t.exhaust_fresh,
                 &t.work,
                 &t.exchange_work,
                 &t.heat,
                 &t.released,
                 &t.evaporation,
                 &t.burned,
                 &t.knock,
                 &t.peak_pressure,
                 &t.peak_angle,
                 &k.intake_pipe.wall_heat,
                 &k.exhaust_pipe.wall_heat})
    put(*sum, 0.0);
}

/// True where a lane has come to the end of its cycle, or lost its way.
template <class T>
bool at_end(const Kernel<T>& k, int i) {
  return !(numerics::lane(k.angle, i) < k.end_angle() - 1e-9);
}

}  // namespace airchain::cycle
