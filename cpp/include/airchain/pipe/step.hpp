#pragma once

#include "airchain/pipe/pipe.hpp"

// The parts of a step of `Pipe`, block by block of cells: a block stays in the nearest cache, and
// in it short loops of independent bodies keep the processor busier than a long one.
namespace airchain::pipe {

/// Cells of a block.
inline constexpr int kBlock = 10;

/// Largest share of its density or pressure that a cell may lose at a face half a step on.
inline constexpr double kMostLoss = 0.9;

template <class T, class Gas>
void Pipe<T, Gas>::prepare(const T& dt) {
  const int n = size();
  halves(first_, 0, dt, from_left_end(), ahead_of(0));
  halves(last_, n - 1, dt, ahead_of(n - 2), to_right_end());
}

template <class T, class Gas>
void Pipe<T, Gas>::finish(const T& dt, const End<T>& left, const End<T>& right) {
  const int n = size();
  const T minus(-1.0);
  Faces faces[kBlock + 1];  // of the block's cells and the one behind it
  Flux<T> outflow[kBlock];
  faces[0].become(first_);
  FlowState<T> back = ahead_of(0);
  Flux<T> inflow{minus * left.flux.mass, left.flux.momentum, minus * left.flux.energy,
                 minus * left.flux.burned};
  T heat(0.0);
  T fastest(0.0);
  for (int from = 0; from < n; from += kBlock) {
    const int to = from + kBlock < n ? from + kBlock : n;
    for (int i = from + 1; i <= to && i + 1 < n; ++i) {
      const FlowState<T> ahead = ahead_of(i);
      halves(faces[i - from], i, dt, back, ahead);
      back = ahead;
    }
    if (to + 1 >= n) faces[n - 1 - from].become(last_);
    for (int i = from; i < to && i + 1 < n; ++i) {
      const Faces* face = faces + (i - from);
      outflow[i - from] =
          hllc(face[0].right, cell(i).sound_speed, face[1].left, cell(i + 1).sound_speed);
    }
    if (to == n) outflow[n - 1 - from] = right.flux;
    for (int i = from; i < to; ++i) {
      heat += update(i, dt, faces[i - from], inflow, outflow[i - from]) * T(shape_.volume[i]);
      inflow = outflow[i - from];
    }
    derive_block(from, to);
    for (int i = from; i < to; ++i) fastest = numerics::max(fastest, wave_speed(cell(i)));
    if (to < n) faces[0].become(faces[kBlock]);
  }
  wall_heat += heat;
  fastest_ = fastest;
  left_ = {left.density, minus * left.velocity, left.pressure, left.burned};
  right_ = {right.density, right.velocity, right.pressure, right.burned};
}

/// Faces of a cell half a step on [Toro 2009, section 14.4]: q = q_i - d -+ s, s half of the slope,
/// h = dt/dx, c = h s_u + dt/2 u (dA/dx)/A.
///
///     d_rho = h u s_rho + rho c,   d_u = h u s_u + h s_p/rho,   d_p = h u s_p + gamma p c,
///     d_y = h u s_y,   d_e = h u s_e + (e + p) c,   s_e = energy_rise(s)
template <class T, class Gas>
AIRCHAIN_INLINE void Pipe<T, Gas>::halves(Faces& out, int i, T dt, const FlowState<T>& back,
                                          const FlowState<T>& ahead) const {
  const Cell<T>& c = cell(i);
  // Half of the cell's slopes, and what half a step takes off the cell's middle.
  FlowState<T> half{
      half_slope(back.density, ahead.density), half_slope(back.velocity, ahead.velocity),
      half_slope(back.pressure, ahead.pressure), half_slope(back.burned, ahead.burned)};
  const T h = dt * T(shape_.inverse_width);
  const T drift = h * c.velocity;
  T squeeze = h * half.velocity + T(0.5) * dt * T(shape_.widening[i]) * c.velocity;
  FlowState<T> fall{drift * half.density + c.mass * squeeze,
                    drift * half.velocity + h * half.pressure * c.inverse_mass,
                    drift * half.pressure + c.stiffness * squeeze, drift * half.burned};
  // Next to a vacuum the cell's own state serves: first order, but positive.
  const auto sound = ((fall.density + abs(half.density)) < T(kMostLoss) * c.mass) &
                     ((fall.pressure + abs(half.pressure)) < T(kMostLoss) * c.pressure);
  if (any(!sound)) {
    const T zero(0.0);
    squeeze = where(sound, squeeze, zero);
    for (FlowState<T>* p : {&half, &fall})
      for (T* x : {&p->density, &p->velocity, &p->pressure, &p->burned})
        *x = where(sound, *x, zero);
  }
  const FlowState<T> middle = state_of(c) - fall;
  const T rise = energy_rise(c, half);
  const T internal = c.mass * c.inner_energy;
  // What is squeezed takes its enthalpy along.
  const T energy = internal - (drift * rise + squeeze * (internal + c.pressure));
  out.left = {middle.density - half.density, middle.velocity - half.velocity,
              middle.pressure - half.pressure, middle.burned - half.burned, energy - rise};
  out.right = {middle.density + half.density, middle.velocity + half.velocity,
               middle.pressure + half.pressure, middle.burned + half.burned, energy + rise};
  out.pressure = middle.pressure;
  out.velocity = middle.velocity;
}

/// Internal energy per volume e = rho u(t, y) with t = p/(rho R(y)), straight about the cell:
///
///     de = cv/R dp + (u - cv t) drho + rho (u_y - cv t R_y/R) dy
template <class T, class Gas>
AIRCHAIN_INLINE T Pipe<T, Gas>::energy_rise(const Cell<T>& c, const FlowState<T>& d) const {
  const T per_constant = gas_.near_inverse_constant(c.burned);
  const T thermal = c.heat * c.temperature;
  const T per_burned =
      c.mass * (c.burned_rise - thermal * (T(gas_.gas_constant_rise()) * per_constant));
  return c.heat * per_constant * d.pressure + (c.inner_energy - thermal) * d.density +
         per_burned * d.burned;
}

/// Contents at the end of the step, per volume; F A/V in at the left face less out at the right:
///
///     q += dt ((F A)_in - (F A)_out)/V
///     momentum += dt (p dA/dx/A - b u),   energy += dt b cp Pr^(-2/3) (T_wall - T),
///     b = f/2 rho |u| P/A,   Pr = 0.71
template <class T, class Gas>
AIRCHAIN_INLINE T Pipe<T, Gas>::update(int i, T dt, const Faces& face, const Flux<T>& in,
                                       const Flux<T>& out) {
  Cell<T>& c = at(i);
  const T enter = dt * T(shape_.entry[i]);
  const T leave = dt * T(shape_.exit[i]);
  // Stanton number f/2 Pr^(-2/3) with the Prandtl number of air, 0.71.
  constexpr double kPrandtlFactor = 1.2564;
  const T rub = T(0.5 * shape_.friction_factor * shape_.wetted[i]) * c.mass * abs(face.velocity);
  const T heat = dt * (T(kPrandtlFactor) * rub * (c.heat + c.gas_constant) *
                       (wall_temperature - c.temperature));
  c.mass += enter * in.mass - leave * out.mass;
  c.momentum += enter * in.momentum - leave * out.momentum +
                dt * (face.pressure * T(shape_.widening[i]) - rub * face.velocity);
  c.energy += enter * in.energy - leave * out.energy + heat;
  c.burned_mass += enter * in.burned - leave * out.burned;
  return heat;
}

/// The gas of a cell from its contents per volume:
///
///     v = momentum/m,   y = burned mass/m,   T of u = energy/m - v^2/2,   p = m R T
///     gamma p = (1 + R/cv) p,   a = sqrt(gamma p/m)
template <class T, class Gas>
AIRCHAIN_INLINE void Pipe<T, Gas>::derive_by_series(Cell<T>& c) const {
  // One division for the inverses of mass and heat capacity.
  const T capacity = c.mass * c.about.heat + c.burned_mass * c.about.heat_rise;
  const T shared = T(1.0) / (c.mass * capacity);
  c.inverse_mass = capacity * shared;
  c.velocity = c.momentum * c.inverse_mass;
  c.burned = c.burned_mass * c.inverse_mass;
  c.inner_energy = c.energy * c.inverse_mass - T(0.5) * c.velocity * c.velocity;
  const auto gas = c.about.settled(c.inner_energy, c.burned, c.mass * c.mass * shared);
  c.temperature = gas.temperature;
  c.heat = gas.heat;
  c.burned_rise = gas.burned_rise;
  c.gas_constant = gas_.gas_constant(c.burned);
  c.pressure = c.mass * c.gas_constant * c.temperature;
  c.stiffness = (T(1.0) + c.gas_constant * gas.inverse_heat) * c.pressure;
  c.sound_speed = sqrt(c.stiffness * c.inverse_mass);
}

template <class T, class Gas>
AIRCHAIN_INLINE void Pipe<T, Gas>::renew_series(Cell<T>& c, T guess) const {
  c.about = where(beyond_series(c), gas_.expansion(guess), c.about);
  derive_by_series(c);
}

/// The cells of a block. Those whose series must be renewed wait until all have been derived: a
/// branch in each cell would be guessed wrongly often, and the processor would begin anew.
template <class T, class Gas>
AIRCHAIN_INLINE void Pipe<T, Gas>::derive_block(int from, int to) {
  bool beyond[kBlock];
  T guess[kBlock];
  for (int i = from; i < to; ++i) {
    guess[i - from] = cell(i).temperature;
    derive_by_series(at(i));
    beyond[i - from] = any(beyond_series(cell(i)));
  }
  for (int i = from; i < to; ++i)
    if (beyond[i - from]) renew_series(at(i), guess[i - from]);
}

template <class T, class Gas>
AIRCHAIN_INLINE T Pipe<T, Gas>::derive(Cell<T>& c) const {
  const T guess = c.temperature;
  derive_by_series(c);
  if (any(beyond_series(c))) renew_series(c, guess);
  return wave_speed(c);
}

}  // namespace airchain::pipe
