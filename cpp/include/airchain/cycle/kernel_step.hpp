#pragma once

#include "airchain/cycle/kernel.hpp"

// A step of the kernel from outside in: its length, and what passes the pipes' ends.
namespace airchain::cycle {

template <class T>
AIRCHAIN_INLINE auto Kernel<T>::breathe(pipe::Pipe<T, Gas>& pipe, const pipe::EndGas<T>& outside,
                                        const pipe::EndGas<T>& cylinder, T area_ratio, T dt)
    -> Breath {
  Breath breath;
  if (pipe.size() == 0) {
    const auto flux = pipe::orifice_flux(outside, cylinder);
    breath.valve = {area_ratio * flux.mass, flux.momentum, area_ratio * flux.energy,
                    area_ratio * flux.burned};
    breath.outer = {T(0.0) - breath.valve.mass, flux.momentum, T(0.0) - breath.valve.energy,
                    T(0.0) - breath.valve.burned};
    return breath;
  }
  pipe.advance(
      dt,
      [&](const pipe::EndGas<T>& gas) {
        const auto end = pipe::open_end(gas, outside);
        breath.outer = end.flux;
        return end;
      },
      [&](const pipe::EndGas<T>& gas) {
        const auto end = pipe::throat_end(gas, cylinder, area_ratio);
        breath.valve = end.flux;
        return end;
      });
  return breath;
}

template <class T>
AIRCHAIN_INLINE void Kernel<T>::breathe_together(const Doors& doors,
                                                 const pipe::EndGas<T>& cylinder, T dt, Breath& in,
                                                 Breath& out) {
  using pipe::first_of, pipe::second_of, pipe::joined;
  intake_pipe.prepare(dt);
  exhaust_pipe.prepare(dt);
  const auto outer = pipe::open_end(joined(intake_pipe.left_gas(), exhaust_pipe.left_gas()),
                                    joined(doors.plenum, doors.collector), outer_memory_);
  const auto valve =
      pipe::throat_end(joined(intake_pipe.right_gas(), exhaust_pipe.right_gas()),
                       joined(cylinder, cylinder), {doors.intake, doors.exhaust}, valve_memory_);
  intake_pipe.finish(dt, first_of(outer), first_of(valve));
  exhaust_pipe.finish(dt, second_of(outer), second_of(valve));
  in = {first_of(outer).flux, first_of(valve).flux};
  out = {second_of(outer).flux, second_of(valve).flux};
}

template <class T>
AIRCHAIN_INLINE T Kernel<T>::longest_step() const {
  const T crossing = numerics::min(intake_pipe.crossing_time(), exhaust_pipe.crossing_time());
  const T longest = T(controls_.largest_step) / point.speed;
  const T left = (T(end_angle()) - angle) / point.speed;
  const T steady = numerics::min(T(controls_.courant) * crossing, T(kFilling) * filling_time());
  return numerics::min(numerics::min(steady, longest), left);
}

template <class T>
template <class Watch>
AIRCHAIN_INLINE void Kernel<T>::step(Watch&& watch) {
  const T dt = longest_step();
  const auto [in, out] = advance(dt, still_outside());
  watch(*this, dt, in.valve, out.valve);
}

template <class T>
AIRCHAIN_INLINE auto Kernel<T>::advance(T dt, const Outside& outside) -> Breaths {
  const T middle = angle + T(0.5) * dt * point.speed;
  const auto drops = evaporation(dt, middle);
  Half half = half_step(dt, middle, drops);
  const Doors doors{outside.plenum, outside.collector,
                    setup_.intake_valve.area.at(middle) * T(1.0 / intake_area_),
                    setup_.exhaust_valve.area.at(middle) * T(1.0 / exhaust_area_)};
  open_area = T(intake_area_) * doors.intake + T(exhaust_area_) * doors.exhaust;
  Breath in, out;
  if (bare()) {
    half.gas.pressure = settled_pressure(half, dt, doors);
    in = breathe(intake_pipe, doors.plenum, half.gas, doors.intake, dt);
    out = breathe(exhaust_pipe, doors.collector, half.gas, doors.exhaust, dt);
  } else {
    breathe_together(doors, half.gas, dt, in, out);
  }
  tally.add_outside(T(plenum_area_) * dt, in.outer, T(collector_area_) * dt, out.outer);
  finish_step(dt, middle, half, drops, in.valve, out.valve);
  return {in, out};
}

}  // namespace airchain::cycle
