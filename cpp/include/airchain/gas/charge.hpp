#pragma once

#include "airchain/gas/caloric.hpp"
#include "airchain/gas/dissociation.hpp"
#include "airchain/gas/species.hpp"

// Gas of an engine's cycle: fresh charge and burned gas, frozen compositions that mix.
namespace airchain::gas {

/// The ranges of the polynomials meet at this temperature [K].
inline constexpr double kRangeBoundary = 1000.0;

/// One class of gas per kilogram: sensible internal energy and heat capacity over temperature,
///
///     u(T) = sum of c_k T^(k+1) - R T + offset,   u + R T = 0 at the datum temperature
///
/// in two ranges that meet with one value. Heat capacities in J/(kg K).
struct GasClass {
  double gas_constant = 0.0;
  double low[5] = {};
  double high[5] = {};

  /// Adds `mass` m kilograms of a species per kilogram of the class: R += m R_i, c_k += m R_i a_k.
  constexpr void add(double mass, const Species& species) {
    const double r = mass * species.gas_constant();
    gas_constant += r;
    for (int k = 0; k < 5; ++k) {
      low[k] += r * species.a[k];
      high[k] += r * species.high[k];
    }
  }
  /// Adds something of constant heat capacity and no volume, such as droplets: c_0 += m c.
  constexpr void add_liquid(double mass, double heat_capacity) {
    low[0] += mass * heat_capacity;
    high[0] += mass * heat_capacity;
  }
  /// Adds fuel vapour, whose heat capacity is known near 350 K. Its course over temperature is that
  /// of known vapours, between which fuels lie by the oxygen z in their molecule C H_y O_z:
  ///
  ///     cp = cp(350 K) (w_1 s_1 + w_2 s_2 + ...),   s = cp_k(T)/cp_k(350 K)
  ///     z = 0 a gasoline: two molecules of iso-octane to one of toluene (H/C 1.91); z = 0.5
  ///     ethanol, z = 1 methanol; straight between
  ///
  /// Range 200 to 6000 K. Left out: a vapour breaks up above some 1200 K where it does not burn.
  constexpr void add_fuel_vapour(double mass, double constant, double heat_capacity,
                                 double oxygen_ratio) {
    gas_constant += mass * constant;
    const double ethanol = oxygen_ratio < 0.5 ? 2.0 * oxygen_ratio : 2.0 - 2.0 * oxygen_ratio;
    const double methanol = oxygen_ratio < 0.5 ? 0.0 : 2.0 * oxygen_ratio - 1.0;
    const double c = mass * heat_capacity;
    add_shape(c * (1.0 - ethanol - methanol), kIsoOctane, 2.0, kToluene, 1.0);
    add_shape(c * ethanol, kEthanol, 1.0, kEthanol, 0.0);
    add_shape(c * methanol, kMethanol, 1.0, kMethanol, 0.0);
  }

 private:
  /// c_k += heat a_k/cp(350 K) of a mixture by moles.
  constexpr void add_shape(double heat, const Species& one, double share, const Species& other,
                           double rest) {
    constexpr double kFrom = 350.0;
    double at = 0.0;
    for (int k = 4; k >= 0; --k) at = at * kFrom + share * one.a[k] + rest * other.a[k];
    for (int k = 0; k < 5; ++k) {
      low[k] += heat / at * (share * one.a[k] + rest * other.a[k]);
      high[k] += heat / at * (share * one.high[k] + rest * other.high[k]);
    }
  }
};

/// Two classes as the kernels need them, and a third for a cylinder in which droplets evaporate:
/// the fresh charge with all of its fuel as vapour. Range: 200 to 3500 K. Compositions are fixed;
/// what equilibrium adds in a cylinder comes from `Dissociation`. Left out: real-gas effects.
class Charge {
 public:
  constexpr Charge(const GasClass& fresh, const GasClass& burned) : Charge(fresh, burned, fresh) {}
  constexpr Charge(const GasClass& fresh, const GasClass& burned, const GasClass& evaporated)
      : fresh_(energy_of(fresh)),
        rise_(energy_of(burned) - fresh_),
        vapour_(energy_of(evaporated) - fresh_),
        r_fresh_(fresh.gas_constant),
        r_rise_(burned.gas_constant - fresh.gas_constant),
        r_vapour_(evaporated.gas_constant - fresh.gas_constant) {}

  /// R = R_fresh + y (R_burned - R_fresh) [J/(kg K)], y the burned mass fraction.
  template <class T>
  AIRCHAIN_INLINE T gas_constant(T burned) const {
    return T(r_fresh_) + burned * T(r_rise_);
  }
  /// With some of the mass a fresh charge whose droplets have evaporated.
  template <class T>
  AIRCHAIN_INLINE T gas_constant(T burned, T evaporated) const {
    return gas_constant(burned) + evaporated * T(r_vapour_);
  }
  /// Enthalpy that a fresh charge's vapour has over its droplets, 0 at the datum [J/kg of charge].
  template <class T>
  AIRCHAIN_INLINE T vapour_enthalpy(T t) const {
    const auto hot = t > T(kRangeBoundary);
    T c[6];
    for (int k = 0; k < 6; ++k) c[k] = numerics::where(hot, T(vapour_.high[k]), T(vapour_.low[k]));
    return polynomial(c, t) + T(r_vapour_) * t;
  }
  /// Change of the gas constant with the burned mass fraction,
  /// dR/dy = R_burned - R_fresh [J/(kg K)].
  double gas_constant_rise() const { return r_rise_; }
  /// 1/R = 1/R_fresh + y (1/R_burned - 1/R_fresh), straight between the classes: within a quarter
  /// of (R_burned/R_fresh - 1)^2.
  template <class T>
  AIRCHAIN_INLINE T near_inverse_constant(T burned) const {
    const double fresh = 1.0 / r_fresh_;
    return T(fresh) + burned * T(1.0 / (r_fresh_ + r_rise_) - fresh);
  }
  /// u(T, y) = u_fresh(T) + y (u_burned(T) - u_fresh(T)) [J/kg], cv = du/dT, and du/dy.
  template <class T>
  AIRCHAIN_INLINE Caloric<T> caloric(T t, T burned) const {
    const Mixed<T> mixed(*this, t, burned);
    return {mixed.energy(t), mixed.heat(t), polynomial(mixed.d, t)};
  }
  /// State of an internal energy from a guess of its temperature, in the range of the guess. A
  /// guess that was nearly right stays so: u(T, y) = energy by `settled_by` about the guess.
  template <class T>
  AIRCHAIN_INLINE Settled<T> settled(T energy, T burned, T guess) const {
    return settled_in(Mixed<T>(*this, guess, burned), energy, guess);
  }
  /// With some of the mass a fresh charge whose droplets have evaporated, and what equilibrium adds
  /// to the burned gas at the guess. The heat capacity is that of the fixed composition.
  template <class T>
  AIRCHAIN_INLINE Settled<T> settled(T energy, T burned, T evaporated, T guess,
                                     const Dissociated<T>& more) const {
    const Mixed<T> mixed(*this, guess, burned, evaporated);
    const T heat = mixed.heat(guess) + burned * more.heat;
    auto found = settled_by<T>({guess, mixed.energy(guess) + burned * more.energy, heat,
                                mixed.heat_slope(guess) + burned * more.slope},
                               T(1.0) / heat, energy);
    found.burned_rise = polynomial(mixed.d, guess);
    found.heat -= burned * (more.heat + more.slope * (found.temperature - guess));
    return found;
  }
  /// What `settled` needs about a temperature, for energies and mixtures to come: a cell of a pipe
  /// keeps it for many steps.
  ///
  ///     u(t0), u'(t0), u''(t0) of fresh gas, and of burned less fresh gas
  template <class T>
  AIRCHAIN_INLINE Expansion<T> expansion(T t) const {
    const Mixed<T> fresh(*this, t, T(0.0));
    Mixed<T> rise = fresh;
    for (int k = 0; k < 6; ++k) rise.c[k] = fresh.d[k];
    return {t,
            fresh.energy(t),
            fresh.heat(t),
            fresh.heat_slope(t),
            rise.energy(t),
            rise.heat(t),
            rise.heat_slope(t)};
  }

 private:
  /// Internal energy as a polynomial, constant term first.
  struct Energy {
    double low[6] = {};
    double high[6] = {};
    constexpr Energy operator-(const Energy& b) const {
      Energy e;
      for (int k = 0; k < 6; ++k) {
        e.low[k] = low[k] - b.low[k];
        e.high[k] = high[k] - b.high[k];
      }
      return e;
    }
  };
  /// sum = c_0 + c_1 t + ... + c_5 t^5 by Horner.
  static constexpr double value(const double* c, double t) {
    double sum = 0.0;
    for (int k = 5; k >= 0; --k) sum = sum * t + c[k];
    return sum;
  }
  /// u = c_0 + (R a_0 - R) T + R a_1 T^2/2 + ... + R a_4 T^5/5, with c_0 such that u + R T = 0 at
  /// the datum and both ranges meet.
  static constexpr Energy energy_of(const GasClass& g) {
    Energy e;
    for (int k = 0; k < 5; ++k) {
      e.low[k + 1] = g.low[k] / (k + 1);
      e.high[k + 1] = g.high[k] / (k + 1);
    }
    e.low[0] = -value(e.low, kDatumTemperature);
    e.high[0] = value(e.low, kRangeBoundary) - value(e.high, kRangeBoundary);
    e.low[1] -= g.gas_constant;
    e.high[1] -= g.gas_constant;
    return e;
  }
  /// The same sum = c_0 + c_1 t + ... + c_5 t^5.
  template <class T>
  AIRCHAIN_INLINE static T polynomial(const T* c, T t) {
    // In pairs: a chain of single steps would make every cell wait.
    const T t2 = t * t;
    return (c[0] + c[1] * t) + t2 * ((c[2] + c[3] * t) + t2 * (c[4] + c[5] * t));
  }

  /// Coefficients of the mixture and of burned less fresh gas in the range of a temperature.
  template <class T>
  struct Mixed {
    T c[6], d[6];

    AIRCHAIN_INLINE Mixed(const Charge& charge, T t, T burned) {
      using numerics::where;
      const auto hot = t > T(kRangeBoundary);
      for (int k = 0; k < 6; ++k) {
        d[k] = where(hot, T(charge.rise_.high[k]), T(charge.rise_.low[k]));
        c[k] = where(hot, T(charge.fresh_.high[k]), T(charge.fresh_.low[k])) + burned * d[k];
      }
    }
    AIRCHAIN_INLINE Mixed(const Charge& charge, T t, T burned, T evaporated)
        : Mixed(charge, t, burned) {
      using numerics::where;
      const auto hot = t > T(kRangeBoundary);
      for (int k = 0; k < 6; ++k)
        c[k] += evaporated * where(hot, T(charge.vapour_.high[k]), T(charge.vapour_.low[k]));
    }
    AIRCHAIN_INLINE T energy(T t) const { return polynomial(c, t); }
    /// cv = sum of k c_k t^(k-1) [J/(kg K)].
    AIRCHAIN_INLINE T heat(T t) const {
      const T t2 = t * t;
      return (c[1] + T(2.0) * c[2] * t) +
             t2 * ((T(3.0) * c[3] + T(4.0) * c[4] * t) + t2 * (T(5.0) * c[5]));
    }
    /// dcv/dt = sum of k (k - 1) c_k t^(k-2) [J/(kg K^2)].
    AIRCHAIN_INLINE T heat_slope(T t) const {
      return (T(2.0) * c[2] + T(6.0) * c[3] * t) + t * t * (T(12.0) * c[4] + T(20.0) * c[5] * t);
    }
  };

  template <class T>
  AIRCHAIN_INLINE static Settled<T> settled_in(const Mixed<T>& mixed, T energy, T guess) {
    const T heat = mixed.heat(guess);
    auto found = settled_by<T>({guess, mixed.energy(guess), heat, mixed.heat_slope(guess)},
                               T(1.0) / heat, energy);
    found.burned_rise = polynomial(mixed.d, guess);
    return found;
  }

  Energy fresh_, rise_, vapour_;
  double r_fresh_, r_rise_, r_vapour_;
};

}  // namespace airchain::gas
