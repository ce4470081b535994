#pragma once

#include "airchain/cycle/lanes.hpp"

// What a lane does between two cycles, one lane at a time.
namespace airchain::cycle {

/// Share of the trapped mass below which fresh charge no longer measures its own changes.
inline constexpr double kLeastCharge = 1e-3;

template <class T>
void CourseRunner<T>::take_point(int i, const Point<double>& p) {
  Point<T>& k = kernel_.point;
  put(k.speed, i, p.speed);
  put(k.plenum_pressure, i, p.plenum_pressure);
  put(k.plenum_temperature, i, p.plenum_temperature);
  put(k.exhaust_pressure, i, p.exhaust_pressure);
  put(k.half_burned, i, p.half_burned);
  put(k.spark, i, p.spark);
  put(k.collector_temperature, i, p.collector_temperature);
  lanes_[i].cycles = lanes_[i].calm = 0;
  // A first cycle like the last one of the point before proves nothing of this one.
  lanes_[i].work = 0.0;
}

template <class T>
void CourseRunner<T>::fill(int i) {
  constexpr double kWarming = 1.15, kResidual = 0.08;  // a guess: the cycles forget it
  auto& k = kernel_;
  const T none(0.0), all(1.0);
  k.intake_pipe.fill_lane(i, {k.point.plenum_pressure, k.point.plenum_temperature, none});
  k.exhaust_pipe.fill_lane(i, {k.point.exhaust_pressure, k.point.collector_temperature, all});
  const double volume = k.setup().crank.at(k.start_angle()).volume;
  const double pressure = of(k.point.plenum_pressure, i);
  const double t = kWarming * of(k.point.plenum_temperature, i);
  const double mass = pressure * volume / (k.gas().gas_constant(kResidual) * t);
  put(k.vessel.mass, i, mass);
  put(k.vessel.burned_mass, i, kResidual * mass);
  put(k.vessel.energy, i, mass * k.gas().caloric(t, kResidual).energy);
  put(k.vessel.temperature, i, t);
  put(k.vessel.pressure, i, pressure);
  put(k.vessel.volume, i, volume);
  put(k.open_area, i, 0.0);
  put(k.bare_mass_rate, i, 0.0);
  put(k.bare_energy_rate, i, 0.0);
  put(k.mass_rate, i, 0.0);
  put(k.energy_rate, i, 0.0);
  put(k.burned_rate, i, 0.0);
}

template <class T>
void CourseRunner<T>::idle_like_the_first(int i) {
  for (int j = 0; j < kLanes; ++j) {
    if (lanes_[j].course == nullptr) continue;
    take_point(i, lanes_[j].course->point());
    break;
  }
  fill(i);
  begin_cycle(i);
}

template <class T>
double CourseRunner<T>::stored(int i, T pipe::Cell<T>::*member, const T& in_vessel) const {
  return of(kernel_.intake_pipe.content(member), i) + of(kernel_.exhaust_pipe.content(member), i) +
         of(in_vessel, i);
}

template <class T>
void CourseRunner<T>::begin_cycle(int i) {
  auto& k = kernel_;
  auto& v = k.vessel;
  const double mass = of(v.mass, i), burned = of(v.burned_mass, i);
  const double residual = burned / mass;
  const auto& burn = k.setup().burn;
  const double duration =
      burn.duration_at(of(k.point.speed, i), k.setup().mixture.recipe.lambda, residual);
  const double start = k.setup().phasing == Phasing::spark
                           ? of(k.point.spark, i)
                           : burn.start_of(of(k.point.half_burned, i), duration);
  put(k.angle, i, k.start_angle());
  put(k.trapped.mass, i, mass);
  put(k.trapped.fresh, i, mass - burned);
  put(k.trapped.residual, i, residual);
  put(k.trapped.pressure, i, of(v.pressure, i));
  put(k.trapped.temperature, i, of(v.temperature, i));
  put(k.trapped.volume, i, of(v.volume, i));
  put(k.trapped.burn_start, i, start > k.start_angle() ? start : k.start_angle());
  put(k.trapped.burn_duration, i, duration);
  put(k.unburned_temperature, i, of(v.temperature, i));
  auto& t = k.tally;
  for (T* sum :
       {&t.plenum_mass, &t.plenum_energy, &t.collector_mass, &t.collector_energy, &t.leaving_mass,
        &t.leaving_heat, &t.intake_mass, &t.intake_fresh, &t.exhaust_fresh, &t.work,
        &t.exchange_work, &t.heat, &t.released, &t.burned, &t.knock, &t.peak_pressure,
        &t.peak_angle, &k.intake_pipe.wall_heat, &k.exhaust_pipe.wall_heat})
    put(*sum, i, 0.0);
  lanes_[i].stored_mass = stored(i, &pipe::Cell<T>::mass, v.mass);
  lanes_[i].stored_energy = stored(i, &pipe::Cell<T>::energy, v.energy);
}

/// Mean over the gas that leaves behind the primary, by its enthalpy; that of the gas there where
/// none leaves. The share of fresh charge in it is neglected.
template <class T>
double CourseRunner<T>::leaving_temperature(int i) const {
  const auto& k = kernel_;
  const double mass = of(k.tally.leaving_mass, i);
  if (!(mass > 0.0)) return of(k.point.collector_temperature, i);
  const double enthalpy = of(k.tally.leaving_heat, i) / mass;
  const double gas_constant = k.gas().gas_constant(1.0);
  double t = 1000.0;
  for (int n = 0; n < 6; ++n) {
    const auto at = k.gas().caloric(t, 1.0);
    t += (enthalpy - at.energy - gas_constant * t) / (at.heat + gas_constant);
  }
  return t;
}

template <class T>
CycleResult CourseRunner<T>::result_of(int i, double fresh_now) const {
  const auto& k = kernel_;
  const auto& t = k.tally;
  const auto& setup = k.setup();
  const Lane& lane = lanes_[i];
  const double displaced = setup.crank.displacement();
  const double fresh = of(k.trapped.fresh, i);
  CycleResult r{};
  r.volumetric_efficiency = fresh * k.gas().gas_constant(0.0) * of(k.point.plenum_temperature, i) /
                            (of(k.point.plenum_pressure, i) * displaced);
  r.trapped_mass = of(k.trapped.mass, i);
  r.fresh_mass = fresh;
  r.residual_fraction = of(k.trapped.residual, i);
  const double drawn = of(t.intake_fresh, i);
  r.scavenging_loss = drawn != 0.0 ? of(t.exhaust_fresh, i) / drawn : 0.0;
  r.imep = of(t.work, i) / displaced;
  r.pmep = -of(t.exchange_work, i) / displaced;
  r.gross_imep = r.imep + r.pmep;
  r.peak_pressure = of(t.peak_pressure, i);
  r.peak_angle = of(t.peak_angle, i);
  r.heat_loss = of(t.heat, i);
  r.fuel_heat = of(t.released, i);
  r.knock_integral = of(t.knock, i);
  r.burn_duration = of(k.trapped.burn_duration, i);
  r.burn_start = of(k.trapped.burn_start, i);
  r.half_burned = r.burn_start + setup.burn.place_of(0.5) * r.burn_duration;
  r.air_mass = drawn * setup.mixture.air_fraction;
  r.fuel_mass = drawn * setup.mixture.fuel_fraction;
  r.exhaust_temperature = leaving_temperature(i);
  const double mass = stored(i, &pipe::Cell<T>::mass, k.vessel.mass) - lane.stored_mass;
  const double energy = stored(i, &pipe::Cell<T>::energy, k.vessel.energy) - lane.stored_energy;
  r.mass_error = (of(t.plenum_mass, i) + of(t.collector_mass, i) - mass) / r.trapped_mass;
  const double walls = of(k.intake_pipe.wall_heat, i) + of(k.exhaust_pipe.wall_heat, i);
  const double charge = numerics::max(fresh, kLeastCharge * r.trapped_mass);
  r.energy_error = (of(t.plenum_energy, i) + of(t.collector_energy, i) + walls + r.fuel_heat -
                    r.heat_loss - of(t.work, i) - energy) /
                   (charge * setup.mixture.heat);
  r.change = (fresh_now - fresh) / charge;
  r.cycles = lane.cycles;
  return r;
}

template <class T>
bool CourseRunner<T>::end_cycle(int i) {
  Lane& lane = lanes_[i];
  auto& k = kernel_;
  ++lane.cycles;
  const double mass = of(k.vessel.mass, i);
  const double fresh = mass - of(k.vessel.burned_mass, i);
  CycleResult r = result_of(i, fresh);
  const double work = of(k.tally.work, i);
  // Where back flow leaves no fresh charge, rounding may leave less than none.
  const bool finite = mass > 0.0 && fresh > -1e-9 * mass && fresh < 1.0 && work * 0.0 == 0.0;
  const double swing = work / lane.work - 1.0;
  const bool calm = r.change < controls_.tolerance && r.change > -controls_.tolerance &&
                    swing < controls_.tolerance && swing > -controls_.tolerance;
  lane.calm = calm ? lane.calm + 1 : 0;
  lane.work = work;
  r.converged = finite && lane.calm >= 1;
  if (finite && !r.converged && lane.cycles < controls_.most_cycles) {
    begin_cycle(i);
    return false;
  }
  if (!finite) {
    const double none = __builtin_nan("");
    for (const auto& number : kResultNumbers) r.*number.member = none;
    r.cycles = lane.cycles;
  }
  if (!lane.course->take(r)) return true;
  take_point(i, lane.course->point());
  if (!finite) fill(i);
  begin_cycle(i);
  return false;
}

}  // namespace airchain::cycle
