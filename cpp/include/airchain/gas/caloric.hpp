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

/// Gas of constant heat capacity; both classes are the same.
struct PerfectGas {
  double constant;  ///< specific gas constant [J/(kg K)]
  double ratio;     ///< of heat capacities

  template <class T>
  AIRCHAIN_INLINE T gas_constant(T) const {
    return T(constant);
  }
  template <class T>
  AIRCHAIN_INLINE Caloric<T> caloric(T temperature, T) const {
    const T heat(constant / (ratio - 1.0));
    return {heat * temperature, heat, T(0.0)};
  }
};

/// Temperature of a gas from its internal energy, Newton from a guess; `at` takes the properties
/// there. Two steps leave below 1e-3 K for a guess 100 K off, below 1e-7 K for one 10 K off.
template <class T, class Gas>
AIRCHAIN_INLINE T temperature_of(const Gas& gas, T energy, T burned, T guess, Caloric<T>& at) {
  at = gas.caloric(guess, burned);
  const T near = guess + (energy - at.energy) / at.heat;
  at = gas.caloric(near, burned);
  const T change = (energy - at.energy) / at.heat;
  at.energy = energy;
  return near + change;
}

}  // namespace airchain::gas
