#pragma once

#include "airchain/numerics/elementary.hpp"

namespace airchain::pipe {

using numerics::abs;
using numerics::any;
using numerics::sqrt;
using numerics::where;

/// What crosses a face, per area and time: mass, momentum with pressure, energy, burned mass.
template <class T>
struct Flux {
  T mass, momentum, energy, burned;
};

/// The gas on one side of a face.
template <class T>
struct Side {
  T density, velocity, pressure;
  T burned;  ///< mass fraction of burned gas
  T energy;  ///< internal energy per volume [J/m^3]
};

/// Godunov flux between two sides by the HLLC solver [Toro, Spruce and Speares 1994; Toro 2009,
/// section 10.4]. Outer wave speeds after Einfeldt 1988 with plain means instead of his averages;
/// the speeds of sound are those of the cells, since they only bound the waves.
///
///     S_l = min(u_l - a_l, u_m - a_m),   S_r = max(u_r + a_r, u_m + a_m),   m the mean of both
///     S = (p_l - p_r + rho_r u_r (S_r - u_r) - rho_l u_l (S_l - u_l))
///         /(rho_r (S_r - u_r) - rho_l (S_l - u_l))
///     F = F_k + S_k (U*_k - U_k),   k left where S is at least 0;  S_l at most 0, S_r at least 0
///     U*_k = x rho_k (1, S, E_k + (S - u_k) (S + p_k/(rho_k (S_k - u_k)))),
///     x = (S_k - u_k)/(S_k - S),   E = e/rho + u^2/2
template <class T>
AIRCHAIN_INLINE Flux<T> hllc(const Side<T>& l, T sound_l, const Side<T>& r, T sound_r) {
  const T zero(0.0);
  const T half(0.5);
  const T mean_velocity = half * (l.velocity + r.velocity);
  const T mean_sound = half * (sound_l + sound_r);
  const T left = numerics::min(l.velocity - sound_l, mean_velocity - mean_sound);
  const T right = numerics::max(r.velocity + sound_r, mean_velocity + mean_sound);
  const T push_l = l.density * (left - l.velocity);
  const T push_r = r.density * (right - r.velocity);
  const T force = l.pressure - r.pressure + r.velocity * push_r - l.velocity * push_l;
  const T weight = push_r - push_l;  // the contact runs at force/weight
  // The side that the contact leaves behind the face; its wave speed is cut where all waves run
  // to one side, so that the plain flux of that side remains.
  const auto from_left = force >= zero;
  const T rho = where(from_left, l.density, r.density);
  const T u = where(from_left, l.velocity, r.velocity);
  const T p = where(from_left, l.pressure, r.pressure);
  const T y = where(from_left, l.burned, r.burned);
  const T wave = where(from_left, left, right);
  const T cut = where(from_left, numerics::min(left, zero), numerics::max(right, zero));
  const T energy = where(from_left, l.energy, r.energy) + half * rho * u * u;
  // One division for the contact's speed and for 1/(wave - middle).
  const T gap = wave * weight - force;
  const T shared = T(1.0) / (weight * gap);
  const T middle = force * gap * shared;
  const T inverse = weight * weight * shared;
  const T squeeze = (wave - u) * inverse;
  const T rise = cut * rho * (squeeze - T(1.0));
  const T mass = rho * u + rise;
  const T star_momentum = rho * squeeze * middle;
  const T star_energy = squeeze * energy + (middle - u) * (star_momentum + p * inverse);
  return {mass, rho * u * u + p + cut * (star_momentum - rho * u),
          u * (energy + p) + cut * (star_energy - energy), mass * y};
}

/// Half of a limited difference over a cell, from the differences to its neighbours: a quarter of
/// their sum, at most either of them, 0 where they disagree (monotonized central limiter
/// [van Leer 1977]); second order where the field is smooth, never beyond a neighbour.
///
///     s = minmod(back, ahead, (back + ahead)/4)
template <class T>
AIRCHAIN_INLINE T half_slope(T back, T ahead) {
  const T zero(0.0);
  const T mean = T(0.25) * (back + ahead);
  const T low = numerics::min(numerics::max(back, ahead), zero);
  const T high = numerics::max(numerics::min(back, ahead), zero);
  return numerics::min(numerics::max(mean, low), high);
}

}  // namespace airchain::pipe
