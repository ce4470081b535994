#pragma once

#include <utility>

#include "airchain/cycle/closing_check.hpp"
#include "airchain/cycle/lanes.hpp"

// What a lane does between two cycles, one lane at a time.
namespace airchain::cycle {

// A point counts as settled when the changes still to come would sum up to less than the tolerance:
// changes that fall by a ratio q from cycle to cycle leave change q/(1 - q). Of the ratios that are
// measured only those between these are believed: the first cycle on a grid changes more than the
// next ones would tell, so that its ratio is too small.
inline constexpr double kLeastRatio = 0.3, kMostRatio = 0.7;
inline constexpr int kLeastCycles = 2;

template <class T>
template <class Next, class Step>
bool CourseRunner<T>::warm_next(Next& next, Step& step) {
  warm_place_ = warm_count_ = 0;
  Point<double> points[kLanes];
  StoredLane<T> starts[kLanes];
  int count = 0;
  for (; count < kLanes; ++count) {
    warm_[count].course = next();
    if (warm_[count].course == nullptr) break;
    points[count] = warm_[count].course->point();
  }
  if (count == 0) return false;
  if (coarsens_ && !warm_up_.run(points, count, starts, step)) return false;
  for (int i = 0; i < count; ++i) warm_[i].start = std::move(starts[i]);
  warm_count_ = count;
  return true;
}

template <class T>
void CourseRunner<T>::take_point(int i, const Point<double>& p) {
  put_point(kernel_, i, p);
  lanes_[i].cycles = 0;
  lanes_[i].unrest = 0.0;  // the cycle before belongs to another point
  lanes_[i].collector = {};
}

template <class T>
void CourseRunner<T>::move_point(int i, const Point<double>& p) {
  const double collector = of(kernel_.point.collector_temperature, i);
  put_point(kernel_, i, p);
  if (kernel_.setup().collector == Collector::follows)
    numerics::set_lane(kernel_.point.collector_temperature, i, collector);
}

template <class T>
void CourseRunner<T>::idle_like_the_first(int i) {
  for (int j = 0; j < kLanes; ++j) {
    if (lanes_[j].course == nullptr) continue;
    take_point(i, lanes_[j].course->point());
    break;
  }
  fill_lane(kernel_, i);
  begin_cycle(i);
}

/// Content of cylinder and both pipes: sum of cell content times volume, and the vessel's.
template <class T>
double stored(const Kernel<T>& k, int i, T pipe::Cell<T>::*member, const T& in_vessel) {
  const auto of = [&](const T& value) { return numerics::lane(value, i); };
  return of(k.intake_pipe.content(member)) + of(k.exhaust_pipe.content(member)) + of(in_vessel);
}

/// Notes what a lane's cycle begins with.
template <class T>
void note_stored(const Kernel<T>& k, int i, LaneCycles<T>& lane) {
  lane.stored_mass = stored(k, i, &pipe::Cell<T>::mass, k.vessel.mass);
  lane.stored_energy = stored(k, i, &pipe::Cell<T>::energy, k.vessel.energy);
}

template <class T>
void CourseRunner<T>::begin_cycle(int i) {
  start_cycle(kernel_, i);
  note_stored(kernel_, i, lanes_[i]);
}

/// What the tally of a cycle says. With V_d the displacement and the sums over the cycle:
///
///     eta_v = m_fresh R_fresh T_plenum/(p_plenum V_d),   imep = sum p dV/V_d
///     pmep = -(sum p dV from pi to 3 pi)/V_d,   gross imep = imep + pmep
///     scavenging loss = fresh out/fresh in,   half burned = start + y(1/2) duration
///     mass error = (mass in - mass stored)/m_trapped
///     energy error = (energy in + wall heat + fuel heat - heat loss - work - stored)/(m_c q)
///     m_c = max(m_fresh, m_trapped/1000),   q the mixture's heat [J/kg]
template <class T>
CycleResult result_of(const Kernel<T>& k, int i, const LaneCycles<T>& lane, double fresh_now) {
  const auto of = [](const T& value, int at) { return numerics::lane(value, at); };
  const auto& t = k.tally;
  const auto& setup = k.setup();
  const double displaced = setup.crank.displacement();
  const double fresh = of(k.trapped.fresh, i);
  CycleResult r{};
  r.volumetric_efficiency = fresh * k.gas().gas_constant(0.0) * of(k.point.plenum_temperature, i) /
                            (of(k.point.plenum_pressure, i) * displaced);
  r.trapped_mass = of(k.trapped.mass, i);
  r.fresh_mass = fresh;
  r.residual_fraction = of(k.trapped.residual, i);
  const double drawn = of(t.intake_fresh, i);
  // A cylinder that draws next to nothing loses none of it: shares of it would mean nothing.
  const bool draws = drawn > kLeastCharge * of(k.vessel.mass, i);
  r.scavenging_loss = draws ? of(t.exhaust_fresh, i) / drawn : 0.0;
  r.imep = of(t.work, i) / displaced;
  r.pmep = -of(t.exchange_work, i) / displaced;
  r.gross_imep = r.imep + r.pmep;
  r.peak_pressure = of(t.peak_pressure, i);
  r.peak_angle = of(t.peak_angle, i);
  r.heat_loss = of(t.heat, i);
  r.fuel_heat = of(t.released, i) - of(t.evaporation, i);
  r.knock_integral = of(t.knock, i);
  r.burn_duration = of(k.trapped.burn_duration, i);
  r.burn_start = of(k.trapped.burn_start, i);
  r.half_burned = r.burn_start + setup.burn.place_of(0.5) * r.burn_duration;
  r.air_mass = drawn * setup.mixture.air_fraction;
  r.fuel_mass = drawn * setup.mixture.fuel_fraction;
  r.exhaust_temperature = leaving_temperature(k, i);
  const double mass = stored(k, i, &pipe::Cell<T>::mass, k.vessel.mass) - lane.stored_mass;
  const double energy = stored(k, i, &pipe::Cell<T>::energy, k.vessel.energy) - lane.stored_energy;
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

/// How far a cycle was from the one before: the change of trapped fresh charge, or that of the mass
/// and energy stored in cylinder and pipes, over the trapped charge's, where that is more. Slow
/// changes of the gas in the pipes would else pass for rest.
///
///     max(|dm_fresh|/m_c, |dm_stored|/m, |dE_stored|/(p V/0.4)),   at inlet closing
template <class T>
double unrest_of(const Kernel<T>& k, int i, const LaneCycles<T>& lane, const CycleResult& r) {
  const auto of = [](const T& value, int at) { return numerics::lane(value, at); };
  const auto& v = k.vessel;
  const double mass = stored(k, i, &pipe::Cell<T>::mass, v.mass) - lane.stored_mass;
  const double energy = stored(k, i, &pipe::Cell<T>::energy, v.energy) - lane.stored_energy;
  // Of the trapped charge, counted from absolute zero.
  const double thermal = of(v.pressure, i) * of(v.volume, i) / (kQuickestRatio - 1.0);
  return numerics::max(abs(r.change),
                       numerics::max(abs(mass) / of(v.mass, i), abs(energy) / thermal));
}

/// A cycle burns the charge that was trapped before it and traps the next one. The result tells
/// that newer charge, and with it, in proportion, what its burning gives:
/// x = x_old m_fresh,new/m_fresh, imep = gross imep - pmep.
template <class T>
void tell_new_charge(CycleResult& r, double fresh_now) {
  if (r.fresh_mass < kLeastCharge * r.trapped_mass) return;
  const double more = fresh_now / r.fresh_mass;
  for (double* number : {&r.volumetric_efficiency, &r.trapped_mass, &r.fresh_mass, &r.gross_imep,
                         &r.peak_pressure, &r.heat_loss, &r.fuel_heat})
    *number *= more;
  r.imep = r.gross_imep - r.pmep;
}

template <class T>
void forget_numbers(CycleResult& r) {
  const double none = __builtin_nan(""), cycles = r.cycles;
  for (const auto& number : kResultNumbers) r.*number.member = none;
  r.cycles = cycles;
  r.converged = false;
}

/// What changes of this size would still sum up to: unrest q/(1 - q), q = unrest/unrest before,
/// 0.3 to 0.7.
template <class T>
double still_to_come(double unrest, double before) {
  const double ratio = before > 0.0 ? unrest / before : kLeastRatio;
  const double q = numerics::min(numerics::max(ratio, kLeastRatio), kMostRatio);
  return unrest * q / (1.0 - q);
}

/// A point has converged when what is still to come is less than the tolerance.
template <class T>
bool CourseRunner<T>::end_cycle(int i) {
  Lane& lane = lanes_[i];
  auto& k = kernel_;
  ++lane.cycles;
  const double mass = of(k.vessel.mass, i);
  const double fresh = mass - of(k.vessel.burned_mass, i);
  CycleResult r = result_of(k, i, lane, fresh);
  // Where back flow leaves no fresh charge, rounding may leave less than none.
  const bool finite =
      mass > 0.0 && fresh > -1e-9 * mass && fresh < 1.0 && of(k.tally.work, i) * 0.0 == 0.0;
  const double unrest = unrest_of(k, i, lane, r);
  r.converged = finite && lane.cycles >= kLeastCycles &&
                still_to_come<T>(unrest, lane.unrest) < controls_.tolerance;
  lane.unrest = unrest;
  if (finite) {
    tell_new_charge<T>(r, fresh);
    follow_collector(k, i, lane.collector);
  } else {
    forget_numbers<T>(r);
  }
  if (finite && !r.converged && lane.cycles < controls_.most_cycles) {
    if (lane.course->moves(r)) move_point(i, lane.course->point());
  } else {
    r.refused = finite && !possible(r, k.setup().crank.displacement(), k.point.plenum_pressure,
                                    k.point.exhaust_pressure, i);
    if (r.refused) forget_numbers<T>(r);
    if (!lane.course->take(r)) return true;
    lane.cycles = 0;
    lane.unrest = 0.0;  // the cycle before belongs to another point
    move_point(i, lane.course->point());
    if (!finite || r.refused) fill_lane(k, i);
  }
  begin_cycle(i);
  return false;
}

}  // namespace airchain::cycle
