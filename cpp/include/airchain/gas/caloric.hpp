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
  template <class T>
  AIRCHAIN_INLINE Settled<T> settled(T energy, T, T) const {
    const T inverse((ratio - 1.0) / constant);
    return {energy * inverse, T(constant / (ratio - 1.0)), inverse, T(0.0)};
  }
};

}  // namespace airchain::gas
