#pragma once

#include "airchain/pipe/pipe.hpp"

// The parts of a step of `Pipe`.
namespace airchain::pipe {

template <class T, class Gas>
AIRCHAIN_INLINE void Pipe<T, Gas>::halves(Halves& out, int i, T dt, const Ghost& l,
                                          const Ghost& r) const {
  const Cell<T>& c = cell(i);
  const T half(0.5);
  T d_rho = limited(c.mass - l.density, r.density - c.mass);
  T d_u = limited(c.velocity - l.velocity, r.velocity - c.velocity);
  T d_p = limited(c.pressure - l.pressure, r.pressure - c.pressure);
  T d_y = limited(c.burned - l.burned, r.burned - c.burned);
  const T h = half * dt * T(shape_.inverse_width);
  const T spread = half * dt * c.velocity * T(shape_.widening[i]);
  const T stiffness = c.mass * c.sound_speed * c.sound_speed;
  T rho = c.mass - h * (c.velocity * d_rho + c.mass * d_u) - c.mass * spread;
  T u = c.velocity - h * (c.velocity * d_u + d_p * c.inverse_mass);
  T p = c.pressure - h * (c.velocity * d_p + stiffness * d_u) - stiffness * spread;
  T y = c.burned - h * c.velocity * d_y;
  // Next to a vacuum the cell's own state serves: first order, but positive.
  constexpr double kLeast = 0.1;
  const auto sound = ((rho - half * abs(d_rho)) > T(kLeast) * c.mass) &
                     ((p - half * abs(d_p)) > T(kLeast) * c.pressure);
  const T zero(0.0);
  rho = where(sound, rho, c.mass);
  u = where(sound, u, c.velocity);
  p = where(sound, p, c.pressure);
  y = where(sound, y, c.burned);
  d_rho = half * where(sound, d_rho, zero);
  d_u = half * where(sound, d_u, zero);
  d_p = half * where(sound, d_p, zero);
  d_y = half * where(sound, d_y, zero);
  // One division for the temperatures of both faces. Their sound speed only bounds the waves.
  const T y_l = y - d_y, y_r = y + d_y;
  const T heavy_l = (rho - d_rho) * gas_.gas_constant(y_l);
  const T heavy_r = (rho + d_rho) * gas_.gas_constant(y_r);
  const T inverse = T(1.0) / (heavy_l * heavy_r);
  const auto energy = [&](T temperature, T burned) {
    return c.inner_energy + c.heat * (temperature - c.temperature) +
           c.burned_rise * (burned - c.burned);
  };
  const T t_l = (p - d_p) * heavy_r * inverse;
  const T t_r = (p + d_p) * heavy_l * inverse;
  out.left = {rho - d_rho, u - d_u, p - d_p, y_l, energy(t_l, y_l), c.sound_speed};
  out.right = {rho + d_rho, u + d_u, p + d_p, y_r, energy(t_r, y_r), c.sound_speed};
  out.pressure = p;
  out.velocity = u;
}

template <class T, class Gas>
AIRCHAIN_INLINE void Pipe<T, Gas>::update(int i, T dt, const Halves& half, const Flux<T>& in,
                                          const Flux<T>& out) {
  Cell<T>& c = at(i);
  const T enter = dt * T(shape_.entry[i]);
  const T leave = dt * T(shape_.exit[i]);
  // Stanton number f/2 Pr^(-2/3) with the Prandtl number of air, 0.71.
  constexpr double kPrandtlFactor = 1.2564;
  const T rub = T(0.5 * shape_.friction_factor) * c.mass * abs(half.velocity) * T(shape_.wetted[i]);
  const T heat =
      T(kPrandtlFactor) * rub * (c.heat + c.gas_constant) * (wall_temperature - c.temperature);
  c.mass += enter * in.mass - leave * out.mass;
  c.momentum += enter * in.momentum - leave * out.momentum +
                dt * (half.pressure * T(shape_.widening[i]) - rub * half.velocity);
  c.energy += enter * in.energy - leave * out.energy + dt * heat;
  wall_heat += dt * heat * T(shape_.volume[i]);
  c.burned_mass += enter * in.burned - leave * out.burned;
}

template <class T, class Gas>
AIRCHAIN_INLINE T Pipe<T, Gas>::derive(Cell<T>& c) const {
  c.inverse_mass = T(1.0) / c.mass;
  c.velocity = c.momentum * c.inverse_mass;
  c.burned = c.burned_mass * c.inverse_mass;
  c.inner_energy = c.energy * c.inverse_mass - T(0.5) * c.velocity * c.velocity;
  const auto gas = gas_.settled(c.inner_energy, c.burned, c.temperature);
  c.temperature = gas.temperature;
  c.heat = gas.heat;
  c.burned_rise = gas.burned_rise;
  c.gas_constant = gas_.gas_constant(c.burned);
  c.pressure = c.mass * c.gas_constant * c.temperature;
  const T ratio = T(1.0) + c.gas_constant * gas.inverse_heat;
  c.sound_speed = sqrt(ratio * c.gas_constant * c.temperature);
  return abs(c.velocity) + c.sound_speed;
}

}  // namespace airchain::pipe
