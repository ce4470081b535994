#pragma once

#include "airchain/gas/caloric.hpp"
#include "airchain/numerics/root.hpp"
#include "airchain/pipe/flux.hpp"

// What stands at the end of a pipe. Every condition picks the state that the wave running into the
// pipe leaves behind (an isentropic expansion or a shock), so the flux is that of the exact
// Riemann problem at the end. Velocities count outward, out of the pipe. Heat capacities are those
// of the gas at hand, held constant across the wave and the nozzle; the energy that crosses is
// exact.
namespace airchain::pipe {

/// Gas with the properties that a wave or a nozzle needs.
template <class T>
struct EndGas {
  T pressure, temperature, velocity;
  T burned;
  T energy;        ///< internal energy [J/kg]
  T heat;          ///< heat capacity at constant volume [J/(kg K)]
  T gas_constant;  ///< [J/(kg K)]

  /// gamma = 1 + R/cv [1].
  AIRCHAIN_INLINE T heat_ratio() const { return T(1.0) + gas_constant / heat; }
  /// rho = p/(R T) [kg/m^3].
  AIRCHAIN_INLINE T density() const { return pressure / (gas_constant * temperature); }
  /// a = sqrt(gamma R T) [m/s].
  AIRCHAIN_INLINE T sound_speed() const { return sqrt(heat_ratio() * gas_constant * temperature); }
  /// h = u + R T [J/kg].
  AIRCHAIN_INLINE T enthalpy() const { return energy + gas_constant * temperature; }
};

/// Gas at rest outside, for example a plenum, the atmosphere or a cylinder.
template <class T, class Gas>
AIRCHAIN_INLINE EndGas<T> still_gas(const Gas& gas, T pressure, T temperature, T burned) {
  const auto at = gas.caloric(temperature, burned);
  return {pressure, temperature, T(0.0), burned, at.energy, at.heat, gas.gas_constant(burned)};
}

/// Flux out of the pipe and the state at its end, from which the last cell takes its slope.
template <class T>
struct End {
  Flux<T> flux;  ///< outward; momentum as pressure on the end
  T density, velocity, pressure, burned;
};

template <class T>
struct Wave {
  T velocity, temperature;
};

/// State behind the wave that a pressure at the end sends into the pipe: expansion by the
/// isentrope, compression by the Rankine-Hugoniot shock [Toro 2009, section 3.1], r = p/p_in.
///
///     r up to 1: v = u + 2 a/(g - 1) (1 - r^((g - 1)/(2 g))),   T = T_in r^((g - 1)/g)
///     above:     v = u + (1 - r) a sqrt(2/(g ((g + 1) r + g - 1)))
///                T = T_in r ((g - 1) r + g + 1)/((g + 1) r + g - 1)
template <class T>
AIRCHAIN_INLINE Wave<T> wave_at(const EndGas<T>& in, T pressure) {
  const T g = in.heat_ratio();
  const T a = in.sound_speed();
  const T r = pressure / in.pressure;
  const T x = numerics::quick_pow(r, T(0.5) * (g - T(1.0)) / g);
  const T up = (g + T(1.0)) * r + (g - T(1.0));
  const T down = (g - T(1.0)) * r + (g + T(1.0));
  const auto shock = r > T(1.0);
  const T fan = T(2.0) * a / (g - T(1.0)) * (T(1.0) - x);
  const T jump = (T(1.0) - r) * a * sqrt(T(2.0) / (g * where(shock, up, T(1.0))));
  return {in.velocity + where(shock, jump, fan),
          in.temperature * where(shock, r * down / up, x * x)};
}

/// Pressure on a closed end [Pa]: the gas is brought to rest by a shock or an expansion, M = u/a.
///
///     M above 0: p = p_in (1 + g M (k + sqrt(1 + k^2))),   k = (g + 1) M/4
///     else:      p = p_in (1 + (g - 1) M/2)^(2 g/(g - 1))
template <class T>
AIRCHAIN_INLINE T closed_pressure(const EndGas<T>& in) {
  const T g = in.heat_ratio();
  const T mach = in.velocity / in.sound_speed();
  const T k = T(0.25) * (g + T(1.0)) * mach;
  const T shock = T(1.0) + g * mach * (k + sqrt(T(1.0) + k * k));
  const T x = numerics::max(T(1.0) + T(0.5) * (g - T(1.0)) * mach, T(1e-3));
  const T fan = numerics::quick_pow(x, T(2.0) * g / (g - T(1.0)));
  return in.pressure * where(mach > T(0.0), shock, fan);
}

/// Flux of gas that has run through the wave: it leaves, or stands.
///
///     rho v,   p + rho v^2,   rho v (u + p/rho + v^2/2),   rho v y,   u = u_in + cv (T - T_in)
template <class T>
AIRCHAIN_INLINE End<T> leaving_end(const EndGas<T>& in, T pressure, const Wave<T>& wave) {
  const T density = pressure / (in.gas_constant * wave.temperature);
  const T energy = in.energy + in.heat * (wave.temperature - in.temperature);
  const T mass = density * wave.velocity;
  const T total = energy + pressure / density + T(0.5) * wave.velocity * wave.velocity;
  return {{mass, pressure + mass * wave.velocity, mass * total, mass * in.burned},
          density,
          wave.velocity,
          pressure,
          in.burned};
}

/// Flux of gas from outside that enters at a velocity (negative), its total enthalpy kept.
///
///     rho v,   p + rho v^2,   rho v h0,   rho v y0,   T = T0 - v^2/(2 cp)
template <class T>
AIRCHAIN_INLINE End<T> entering_end(const EndGas<T>& outside, T pressure, T velocity) {
  const T heat = outside.heat + outside.gas_constant;
  const T temperature = outside.temperature - T(0.5) * velocity * velocity / heat;
  const T density = pressure / (outside.gas_constant * temperature);
  const T mass = density * velocity;
  return {{mass, pressure + mass * velocity, mass * outside.enthalpy(), mass * outside.burned},
          density,
          velocity,
          pressure,
          outside.burned};
}

template <class T, class Condition>
AIRCHAIN_INLINE End<T> where(Condition c, const End<T>& a, const End<T>& b) {
  return {{where(c, a.flux.mass, b.flux.mass), where(c, a.flux.momentum, b.flux.momentum),
           where(c, a.flux.energy, b.flux.energy), where(c, a.flux.burned, b.flux.burned)},
          where(c, a.density, b.density),
          where(c, a.velocity, b.velocity),
          where(c, a.pressure, b.pressure),
          where(c, a.burned, b.burned)};
}

/// Speed of gas that has been brought from rest to the speed of sound [m/s]:
/// v = sqrt(2 g/(g + 1) R T0).
template <class T>
AIRCHAIN_INLINE T critical_speed(const EndGas<T>& rest) {
  const T g = rest.heat_ratio();
  return sqrt(T(2.0) * g / (g + T(1.0)) * rest.gas_constant * rest.temperature);
}

/// What an end remembers of its roots in the last two steps, to start the next near it: the root of
/// the last step, 0 where there was none, the one before it, and the last slope. Every lane has its
/// own memory and forgets it alone.
template <class T>
struct EndMemory {
  T root{0.0}, older{0.0}, slope{1.0};

  AIRCHAIN_INLINE auto usable() const { return (root > T(0.0)) & (older > T(0.0)); }
  /// The root of this step, if it goes on as it went: x = 2 root - older, within low and high.
  AIRCHAIN_INLINE T start(T low, T high, T guess) const {
    const T ahead = root + (root - older);
    return where(usable(), numerics::min(numerics::max(ahead, low), high), guess);
  }
  AIRCHAIN_INLINE T slope_or(T guess) const { return where(usable(), slope, guess); }
  template <class Condition>
  AIRCHAIN_INLINE void keep(Condition there, const numerics::Root<T>& found) {
    older = root;
    root = where(there, found.x, T(0.0));
    slope = where(there, T(1.0) / found.per_slope, T(1.0));
  }
  /// A step without a root in any lane.
  AIRCHAIN_INLINE void pass() {
    older = root;
    root = T(0.0);
    slope = T(1.0);
  }
  void forget(int lane) {
    for (T* x : {&root, &older}) numerics::set_lane(*x, lane, 0.0);
    numerics::set_lane(slope, lane, 1.0);
  }
};

/// Mistake that a root at an end may keep: of the speed at an open end [m/s], of the flow through a
/// throat [kg/(s m^2)]. Roots a hundred times closer move volumetric efficiency by less than 1e-5
/// (root of the mean square over 200 points of five engines).
inline constexpr double kSpeedTolerance = 1e-4, kFlowTolerance = 1e-3;

/// An end with v = 0 at `closed_pressure`.
template <class T>
AIRCHAIN_INLINE End<T> closed_end(const EndGas<T>& in) {
  const T p = closed_pressure(in);
  return leaving_end(in, p, Wave<T>{T(0.0), wave_at(in, p).temperature});
}

/// Gas that leaves an open end against a pressure: at that pressure when slower than sound, else
/// with the sonic state of the expansion; undisturbed when it arrives faster than sound and no
/// shock can run in.
///
///     sonic: v = ((g - 1) u + 2 a)/(g + 1),   T = T_in (v/a)^2,   p = p_in (v/a)^(2 g/(g - 1))
///     no shock runs in: u - a sqrt(((g + 1) r + g - 1)/(2 g)) > 0,   r = p/p_in, at least 1
template <class T>
AIRCHAIN_INLINE End<T> outflow_end(const EndGas<T>& in, T pressure, const Wave<T>& wave) {
  const T one(1.0);
  const T g = in.heat_ratio();
  const T a = in.sound_speed();
  const T u = in.velocity;
  const auto fast = u > a;
  const auto choked = (wave.velocity > sqrt(g * in.gas_constant * wave.temperature)) & !fast;
  const T sonic = numerics::max(((g - one) * u + T(2.0) * a) / (g + one), T(1e-3) * a);
  const T x = sonic / a;
  const T r = numerics::max(pressure / in.pressure, one);
  const T shock = u - a * sqrt(((g + one) * r + (g - one)) / (T(2.0) * g));
  const auto untouched = fast & (shock > T(0.0));
  T p = where(untouched, in.pressure, pressure);
  if (any(choked)) {
    const T sonic_pressure = in.pressure * numerics::quick_pow(x, T(2.0) * g / (g - one));
    p = where(choked, sonic_pressure, p);
  }
  const T t = where(choked, in.temperature * x * x, wave.temperature);
  const T v = where(choked, sonic, wave.velocity);
  return leaving_end(in, p, Wave<T>{where(untouched, u, v), where(untouched, in.temperature, t)});
}

/// End open to gas at rest: leaving gas is a free jet at the pressure outside; entering gas is
/// accelerated without loss, at most to sound. Left out: the vena contracta of a sharp edge, and
/// the end correction (`cycle::Runner` makes its pipe longer by it).
///
///     entering at w: p = p0 (1 - w^2/(2 cp T0))^(g/(g - 1)),   w = -v of `wave_at` p
template <class T>
AIRCHAIN_INLINE End<T> open_end(const EndGas<T>& in, const EndGas<T>& outside,
                                EndMemory<T>& memory) {
  const auto wave = wave_at(in, outside.pressure);
  const auto leaving = wave.velocity > T(0.0);
  const End<T> out = outflow_end(in, outside.pressure, wave);
  if (!any(!leaving)) {
    memory.pass();
    return out;
  }
  const T g = outside.heat_ratio();
  const T power = g / (g - T(1.0));
  const T heat = outside.heat + outside.gas_constant;
  const T t0 = outside.temperature;
  const T sonic = critical_speed(outside);
  const T guess = numerics::min(numerics::max(T(0.0) - wave.velocity, T(0.0)), sonic);
  T pressure(0.0);  // at the speed that was tried last: in the end the root
  const auto surplus = [&](T w) AIRCHAIN_INLINE_LAMBDA {
    pressure = outside.pressure * numerics::quick_pow(T(1.0) - T(0.5) * w * w / (heat * t0), power);
    return w + wave_at(in, pressure).velocity;
  };
  const auto root =
      numerics::bracketed_root<T>(surplus, T(0.0), sonic, memory.start(T(0.0), sonic, guess),
                                  memory.slope_or(T(1.0)), kSpeedTolerance, 1e-13);
  memory.keep(!leaving, root);
  return where(leaving, out, entering_end(outside, pressure, T(0.0) - root.x));
}

/// An open end that remembers nothing.
template <class T>
AIRCHAIN_INLINE End<T> open_end(const EndGas<T>& in, const EndGas<T>& outside) {
  EndMemory<T> none;
  return open_end(in, outside, none);
}

/// Gas upstream of a throat, and the pressure behind it.
template <class T>
struct Upstream {
  T gas_constant, heat;            ///< heat capacity at constant pressure
  T pressure, temperature, total;  ///< static, static, total temperature
  T behind;
};

/// Steady isentropic mass flow through a throat per area of the throat [kg/(s m^2)], choked where
/// it must be.
///
///     W/A = p/(R T) sqrt(2 cp (T0 - T)),   T = T_up (p/p_up)^(R/cp),   p = behind
///     choked: T = 2 T0/(g + 1),   p = p_up (T/T_up)^(cp/R)
template <class T>
AIRCHAIN_INLINE T throat_flow(const Upstream<T>& up) {
  const T power = up.heat / up.gas_constant;  // gamma / (gamma - 1)
  const T g = up.heat / (up.heat - up.gas_constant);
  const T sonic = T(2.0) / (g + T(1.0)) * up.total;
  T t = up.temperature * numerics::quick_pow(up.behind / up.pressure, T(1.0) / power);
  T p = up.behind;
  const auto choked = t < sonic;
  if (any(choked)) {
    t = where(choked, sonic, t);
    p = where(choked, up.pressure * numerics::quick_pow(t / up.temperature, power), up.behind);
  }
  const T speed = sqrt(numerics::max(T(2.0) * up.heat * (up.total - t), T(0.0)));
  return p / (up.gas_constant * t) * speed;
}

/// Flux from one gas at rest to another through an opening, per area of the opening: m = W/A of
/// `throat_flow`, p of the lower side, m h and m y of the higher.
template <class T>
AIRCHAIN_INLINE Flux<T> orifice_flux(const EndGas<T>& from, const EndGas<T>& to) {
  const auto forth = from.pressure > to.pressure;
  const T r = where(forth, from.gas_constant, to.gas_constant);
  const T t = where(forth, from.temperature, to.temperature);
  const T high = numerics::max(from.pressure, to.pressure);
  const T low = numerics::min(from.pressure, to.pressure);
  const T flow = throat_flow<T>({r, r + where(forth, from.heat, to.heat), high, t, t, low});
  const T mass = where(forth, flow, T(0.0) - flow);
  return {mass, low, mass * where(forth, from.enthalpy(), to.enthalpy()),
          mass * where(forth, from.burned, to.burned)};
}

/// Opening between a pipe and gas at rest: the throat of a valve or a nozzle.
///
/// Steady isentropic flow to the throat, in the direction of the pressure, choked where it must
/// be; gas that enters the pipe keeps the throat's pressure and spreads over the pipe with its
/// total enthalpy, its speed in the throat lost [Benson 1982, constant-pressure valve, from
/// memory]. It enters at most at the speed of sound: nothing in the pipe can reach back to hasten
/// it further, and the pipe's own gas expands away from there. `area_ratio` is effective area over
/// the pipe's, 0 to 1.
template <class T>
class Throat {
 public:
  AIRCHAIN_INLINE Throat(const EndGas<T>& in, const EndGas<T>& outside, T area_ratio)
      : in_(in), outside_(outside), ratio_(area_ratio), sonic_(T(0.0) - critical_speed(outside)) {}

  AIRCHAIN_INLINE End<T> end(EndMemory<T>& memory) const {
    const T wall = closed_pressure(in_);
    const auto open = ratio_ > T(0.0);
    const auto leaving = (wall > outside_.pressure) | !open;
    // A closed lane among open ones is found at once: nothing but the wall's pressure to search.
    const T other = where(open, outside_.pressure, wall);
    const T low = numerics::min(wall, other);
    const T high = numerics::max(wall, other);
    // Between closed, where the wall's pressure stands, and wide open; any start finds the root.
    constexpr double kHalfway = 0.2;
    const T part = ratio_ / (ratio_ + T(kHalfway));
    const T guess = wall + part * (outside_.pressure - wall);
    Wave<T> wave;  // at the pressure that was tried last: in the end the root
    const auto root = numerics::bracketed_root<T>(
        [&](T p) AIRCHAIN_INLINE_LAMBDA { return surplus(p, leaving, wave); }, low, high,
        memory.start(low, high, guess), memory.slope_or((T(1.0) + ratio_) / in_.sound_speed()),
        kFlowTolerance, 1e-14);
    memory.keep(open, root);
    const T p = where(open, root.x, wall);
    const T v = where(open, wave.velocity, T(0.0));
    return where(leaving, leaving_end(in_, p, Wave<T>{v, wave.temperature}),
                 entering_end(outside_, p, numerics::max(v, sonic_)));
  }

 private:
  /// Throat flow against pipe flow, signed so that it rises with the pressure at the end:
  /// leaving f = area_ratio W/A - rho v, entering f = -rho v - area_ratio W/A.
  template <class Condition>
  AIRCHAIN_INLINE T surplus(T pressure, Condition leaving, Wave<T>& wave) const {
    const T half(0.5);
    wave = wave_at(in_, pressure);
    const T r = where(leaving, in_.gas_constant, outside_.gas_constant);
    const T heat = r + where(leaving, in_.heat, outside_.heat);
    const T v = where(leaving, wave.velocity, numerics::max(wave.velocity, sonic_));
    const T t_up = where(leaving, wave.temperature, outside_.temperature);
    const T p_up = where(leaving, pressure, outside_.pressure);
    const T p_down = where(leaving, outside_.pressure, pressure);
    const T total = t_up + where(leaving, half * v * v / heat, T(0.0));
    const T throat = ratio_ * throat_flow<T>({r, heat, p_up, t_up, total, p_down});
    const T t_pipe = where(leaving, t_up, total - half * v * v / heat);
    const T pipe = pressure / (r * t_pipe) * v;
    return where(leaving, throat - pipe, T(0.0) - pipe - throat);
  }

  EndGas<T> in_;
  EndGas<T> outside_;
  T ratio_, sonic_;  // fastest entry, inward
};

template <class T>
AIRCHAIN_INLINE End<T> throat_end(const EndGas<T>& in, const EndGas<T>& outside, T area_ratio,
                                  EndMemory<T>& memory) {
  if (!any(area_ratio > T(0.0))) {
    memory.pass();
    return closed_end(in);
  }
  return Throat<T>(in, outside, area_ratio).end(memory);
}
/// A throat that remembers nothing.
template <class T>
AIRCHAIN_INLINE End<T> throat_end(const EndGas<T>& in, const EndGas<T>& outside, T area_ratio) {
  EndMemory<T> none;
  return throat_end(in, outside, area_ratio, none);
}

}  // namespace airchain::pipe
