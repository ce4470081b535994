#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/pipe/flux.hpp"

namespace airchain::cycle {

/// What a cycle adds up, each term on its own. Flows count into the cylinder and into the pipes
/// from outside.
template <class T>
struct Tally {
  T plenum_mass, plenum_energy;        ///< from the plenum into the runner
  T collector_mass, collector_energy;  ///< from behind the primary into it
  T leaving_mass, leaving_heat;        ///< out behind the primary, outward flow alone
  T intake_mass, intake_fresh;         ///< through the intake valve
  T exhaust_fresh;                     ///< fresh charge through the exhaust valve, out
  T work, exchange_work;               ///< p dV, and its part from bottom centre to bottom centre
  T heat, released;
  T evaporation;  ///< latent heat that droplets took in the cylinder before they burned
  T burned;       ///< share of the charge burned
  T knock;
  T peak_pressure, peak_angle;

  AIRCHAIN_INLINE void add_outside(T plenum, const pipe::Flux<T>& drawn, T collector,
                                   const pipe::Flux<T>& expelled) {
    plenum_mass -= plenum * drawn.mass;
    plenum_energy -= plenum * drawn.energy;
    collector_mass -= collector * expelled.mass;
    collector_energy -= collector * expelled.energy;
    const auto leaving = expelled.mass > T(0.0);
    leaving_mass += numerics::where(leaving, collector * expelled.mass, T(0.0));
    leaving_heat += numerics::where(leaving, collector * expelled.energy, T(0.0));
  }
  AIRCHAIN_INLINE void add_valves(T intake, const pipe::Flux<T>& in, T exhaust,
                                  const pipe::Flux<T>& out) {
    intake_mass += intake * in.mass;
    intake_fresh += intake * (in.mass - in.burned);
    exhaust_fresh -= exhaust * (out.mass - out.burned);
  }
  AIRCHAIN_INLINE void add_cylinder(T angle, T work_done, T heat_lost, T heat_released, T share) {
    work += work_done;
    const auto exchange = (angle > T(base::kPi)) & (angle < T(3.0 * base::kPi));
    exchange_work += numerics::where(exchange, work_done, T(0.0));
    heat += heat_lost;
    released += heat_released;
    burned = share;
  }
  AIRCHAIN_INLINE void add_peak(T pressure, T angle) {
    peak_angle = numerics::where(pressure > peak_pressure, angle, peak_angle);
    peak_pressure = numerics::max(pressure, peak_pressure);
  }
};

}  // namespace airchain::cycle
