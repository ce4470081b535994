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
  T burned;       ///< mass fraction of burned gas
  T energy;       ///< internal energy [J/kg]
  T sound_speed;  ///< [m/s]
};

/// Godunov flux between two sides by the HLLC solver [Toro, Spruce and Speares 1994; Toro 2009,
/// section 10.4]. Outer wave speeds after Einfeldt 1988 with plain means instead of his averages.
template <class T>
AIRCHAIN_INLINE Flux<T> hllc(const Side<T>& l, const Side<T>& r) {
  const T zero(0.0);
  const T half(0.5);
  const T mean_velocity = half * (l.velocity + r.velocity);
  const T mean_sound = half * (l.sound_speed + r.sound_speed);
  const T left = numerics::min(l.velocity - l.sound_speed, mean_velocity - mean_sound);
  const T right = numerics::max(r.velocity + r.sound_speed, mean_velocity + mean_sound);
  const T push_l = l.density * (left - l.velocity);
  const T push_r = r.density * (right - r.velocity);
  const T middle =
      (r.pressure - l.pressure + l.velocity * push_l - r.velocity * push_r) / (push_l - push_r);
  // The side that the contact leaves behind the face; its wave speed is cut where all waves run
  // to one side, so that the plain flux of that side remains.
  const auto from_left = middle >= zero;
  const T rho = where(from_left, l.density, r.density);
  const T u = where(from_left, l.velocity, r.velocity);
  const T p = where(from_left, l.pressure, r.pressure);
  const T y = where(from_left, l.burned, r.burned);
  const T wave = where(from_left, left, right);
  const T cut = where(from_left, numerics::min(left, zero), numerics::max(right, zero));
  const T energy = rho * (where(from_left, l.energy, r.energy) + half * u * u);
  const T inverse = T(1.0) / (wave - middle);
  const T squeeze = (wave - u) * inverse;
  const T rise = cut * rho * (squeeze - T(1.0));
  const T mass = rho * u + rise;
  const T star_momentum = rho * squeeze * middle;
  const T star_energy = squeeze * energy + (middle - u) * (star_momentum + p * inverse);
  return {mass, rho * u * u + p + cut * (star_momentum - rho * u),
          u * (energy + p) + cut * (star_energy - energy), mass * y};
}

/// Slope limiter: monotonized central difference [van Leer 1977] of the differences to the left
/// and right neighbour; second order where the field is smooth, never beyond a neighbour.
template <class T>
AIRCHAIN_INLINE T limited(T back, T ahead) {
  const T mean = T(0.5) * (back + ahead);
  const T least = T(2.0) * numerics::min(abs(back), abs(ahead));
  const T size = numerics::min(abs(mean), least);
  return where(back * ahead > T(0.0), where(mean > T(0.0), size, -size), T(0.0));
}

}  // namespace airchain::pipe
