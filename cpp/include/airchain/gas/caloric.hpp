#pragma once

#include "airchain/numerics/elementary.hpp"

namespace airchain::gas {

/// Internal energy of a gas of two classes and its slopes, at one temperature and composition.
template <class T>
struct Caloric {
  T energy;       ///< sensible internal energy, 0 at the datum as an enthalpy [J/kg]
  T heat;         ///< heat capacity at constant volume [J/(kg K)]
  T burned_rise;  ///< change of energy with the burned mass fraction [J/kg]
};

/// The same found from an energy, with what a gas-dynamics step needs of it.
template <class T>
struct Settled {
  T temperature;
  T heat, inverse_heat;
  T burned_rise;
};

/// Internal energy of a mixture about a temperature, to second order:
///
///     u(t) = energy + heat (t - t0) + slope/2 (t - t0)^2
template <class T>
struct Series {
  T temperature, energy, heat, slope;
};

/// Temperature and heat capacity of an internal energy, by the inverse of its series,
///
///     t = t0 + d - c'/(2 c) d^2,   d = (wanted - u)/c
///
/// `inverse_heat` is 1/c. Below 2e-3 K for a series 20 K off, 0.02 K for one 40 K off.
template <class T>
AIRCHAIN_INLINE Settled<T> settled_by(const Series<T>& about, T inverse_heat, T wanted) {
  const T d = (wanted - about.energy) * inverse_heat;
  const T bend = about.slope * inverse_heat * d;
  return {about.temperature + d * (T(1.0) - T(0.5) * bend), about.heat * (T(1.0) + bend),
          inverse_heat * (T(1.0) - bend), T(0.0)};
}

/// The series of every mixture of two classes about one temperature: of the fresh gas, and what
/// a burned share adds.
template <class T>
struct Expansion {
  T temperature;
  T energy, heat, slope;
  T energy_rise, heat_rise, slope_rise;

  /// The series of one mixture, y its burned share: u = u_fresh + y u_rise, and so its slopes.
  AIRCHAIN_INLINE Series<T> of(T burned) const {
    return {temperature, energy + burned * energy_rise, heat + burned * heat_rise,
            slope + burned * slope_rise};
  }
  /// `settled_by` of that series, and du/dy = energy_rise + heat_rise (t - t0) at what it found.
  AIRCHAIN_INLINE Settled<T> settled(T wanted, T burned, T inverse_heat) const {
    auto found = settled_by(of(burned), inverse_heat, wanted);
    found.burned_rise = energy_rise + heat_rise * (found.temperature - temperature);
    return found;
  }
};

template <class T, class Condition>
AIRCHAIN_INLINE Expansion<T> where(Condition c, const Expansion<T>& a, const Expansion<T>& b) {
  using numerics::where;
  return {where(c, a.temperature, b.temperature),
          where(c, a.energy, b.energy),
          where(c, a.heat, b.heat),
          where(c, a.slope, b.slope),
          where(c, a.energy_rise, b.energy_rise),
          where(c, a.heat_rise, b.heat_rise),
          where(c, a.slope_rise, b.slope_rise)};
}

/// Gas of constant heat capacity; both classes are the same.
struct PerfectGas {
  double constant;  ///< specific gas constant [J/(kg K)]
  double ratio;     ///< of heat capacities

  /// R = constant [J/(kg K)].
  template <class T>
  AIRCHAIN_INLINE T gas_constant(T) const {
    return T(constant);
  }
  /// Change of the gas constant with the burned mass fraction: dR/dy = 0.
  double gas_constant_rise() const { return 0.0; }
  /// 1/R = 1/constant [kg K/J].
  template <class T>
  AIRCHAIN_INLINE T near_inverse_constant(T) const {
    return T(1.0 / constant);
  }
  /// cv = R/(gamma - 1), u = cv T: counted from 0 K, where `Charge` counts from the datum.
  template <class T>
  AIRCHAIN_INLINE Caloric<T> caloric(T temperature, T) const {
    const T heat(constant / (ratio - 1.0));
    return {heat * temperature, heat, T(0.0)};
  }
  /// The same as a series: u = cv t0 + cv (t - t0).
  template <class T>
  AIRCHAIN_INLINE Expansion<T> expansion(T temperature) const {
    const T heat(constant / (ratio - 1.0)), none(0.0);
    return {temperature, heat * temperature, heat, none, none, none, none};
  }
};

}  // namespace airchain::gas
