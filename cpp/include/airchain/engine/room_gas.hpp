#pragma once

#include "airchain/cycle/kernel.hpp"
#include "airchain/numerics/root.hpp"
#include "airchain/pipe/ends.hpp"

// Gas of a room, and what crosses its mouths.
namespace airchain::engine {

/// What crosses a mouth in a step, into the room: mass [kg], energy [J], burned mass [kg].
template <class T>
struct Amount {
  double mass = 0.0, energy = 0.0, burned = 0.0;

  AIRCHAIN_INLINE void add(const Amount& b) {
    mass += b.mass;
    energy += b.energy;
    burned += b.burned;
  }
  AIRCHAIN_INLINE Amount over(double time) const {
    return {time * mass, time * energy, time * burned};
  }
};

/// Flux at a mouth times area and time.
template <class T>
AIRCHAIN_INLINE Amount<T> amount_of(double area_time, const pipe::Flux<T>& flux, int lane) {
  return {area_time * numerics::lane(flux.mass, lane),
          area_time * numerics::lane(flux.energy, lane),
          area_time * numerics::lane(flux.burned, lane)};
}

/// Gas of a room as its pipes see it.
template <class T>
struct RoomGas {
  double pressure, temperature, burned;
};

/// Flow through an opening into a room [per second], and the room's pressure half a step on, set in
/// `now`, that agrees with it: they answer to each other faster than a step where they are nearly
/// level, as in `cycle::Kernel::settled_pressure`. `now` holds half a step of the flow of the step
/// before, `last`, which is taken out.
///
///     p = p_still + 0.75 dt R/V (m' (T - u/cv) + E'/cv),   m', E' of `pipe::orifice_flux` at p
template <class T, class Gas>
AIRCHAIN_INLINE Amount<T> opening_flow(const Gas& gas, double area, double volume, double dt,
                                       const RoomGas<T>& outside, const Amount<T>& last,
                                       RoomGas<T>& now) {
  auto inside = pipe::still_gas(gas, now.pressure, now.temperature, now.burned);
  const auto from = pipe::still_gas(gas, outside.pressure, outside.temperature, outside.burned);
  const double per_energy = 1.0 / inside.heat;
  const double per_mass = inside.temperature - inside.energy * per_energy;
  const double half = 0.5 * dt * inside.gas_constant / volume;
  const double push = cycle::kFlowWeight * half;
  const double before = half * (per_mass * last.mass + per_energy * last.energy);
  const double still = numerics::max(now.pressure - before, 1e-2 * now.pressure);
  const double scale = 1.0 / still;
  pipe::Flux<double> flux{};
  const auto surplus = [&](double pressure) AIRCHAIN_INLINE_LAMBDA {
    inside.pressure = pressure;
    flux = pipe::orifice_flux(from, inside);
    const double rate = area * (per_mass * flux.mass + per_energy * flux.energy);
    return scale * (pressure - still - push * rate);
  };
  const auto root = numerics::bracketed_root<double>(
      surplus, numerics::min(still, outside.pressure), numerics::max(still, outside.pressure),
      now.pressure, scale, 1e-9, 1e-13);
  surplus(root.x);
  now.pressure = root.x;
  return {area * flux.mass, area * flux.energy, area * flux.burned};
}

}  // namespace airchain::engine
