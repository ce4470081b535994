#pragma once

#include "airchain/gas/species.hpp"
#include "airchain/gas/stream.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::gas {

/// What thermodynamics needs to know of a fuel.
template <class T>
struct FuelThermo {
  T gas_constant{0.0};          ///< of the vapour [J/(kg K)]
  T vapour_heat_capacity{0.0};  ///< taken as constant [J/(kg K)]
  T liquid_heat_capacity{0.0};  ///< taken as constant [J/(kg K)]
  T latent_heat{0.0};           ///< at the datum temperature [J/kg]
  T vapour_pressure{0.0};       ///< over the liquid at the datum temperature [Pa]
};

/// Enthalpy about one temperature, to find a temperature from an enthalpy rise.
///
///     (h(T0 + x) - h(T0)) / cp(T0) = x + b[0] x^2 + b[1] x^3 + b[2] x^4 + b[3] x^5
///
/// exactly, for heat capacities of fourth degree. Its reversion to the fifth term, corrected by one
/// step of third order, is within 1e-9 K to x = 200 K either way; farther a Newton step follows,
/// good to 400 K.
template <class T>
struct HeatingCurve {
  T start;  ///< T0 [K]
  T per_heat_capacity;
  T b[4];
  T reverted[3];  ///< third to fifth coefficient of the reversion

  /// T of h(T) - h(T0) = rise [J/kg dry air]: x of the polynomial above, T = T0 + x.
  AIRCHAIN_INLINE T temperature_after(T rise) const {
    const T r = rise * per_heat_capacity;
    const T r2 = r * r;
    T x = (r - b[0] * r2) + (r2 * r) * (reverted[0] + (r * reverted[1] + r2 * reverted[2]));
    const T step = miss(x, r) / slope(x);
    x = x - (step + step * step * (b[0] + T(3.0) * x * b[1]));
    const auto far = numerics::abs(x) > T(200.0);
    if (numerics::any(far)) [[unlikely]]
      x = numerics::where(far, x - miss(x, r) / slope(x), x);
    return start + x;
  }

 private:
  /// f(x) = x + b[0] x^2 + b[1] x^3 + b[2] x^4 + b[3] x^5 - r.
  AIRCHAIN_INLINE T miss(T x, T r) const {
    const T x2 = x * x;
    return (x - r) + x2 * ((b[0] + x * b[1]) + x2 * (b[2] + x * b[3]));
  }
  /// df/dx = 1 + 2 b[0] x + 3 b[1] x^2 + 4 b[2] x^3 + 5 b[3] x^4.
  AIRCHAIN_INLINE T slope(T x) const {
    const T x2 = x * x;
    return (T(1.0) + T(2.0) * b[0] * x) +
           x2 * ((T(3.0) * b[1] + T(4.0) * b[2] * x) + T(5.0) * b[3] * x2);
  }
};

/// Enthalpy, heat capacity and gas constant of humid air with fuel, per kg of DRY AIR.
///
///     h(T) = h_air + w h_vapour + l (c_l (T - T0) - h_fg) + the same for fuel;  gases 0 at T0
///
/// Ideal gases with variable heat capacity (200 to 1000 K). Left out: real-gas effects (below
/// 0.3 % in enthalpy rise up to 5 bar), dissolved gases, the volume of the liquids.
template <class T>
struct Mixture {
  T a[5];              // enthalpy coefficients: cp_k / (k + 1)
  T offset;            // makes h zero at the datum for gases, minus the latent heat for liquids
  T liquid_heat{0.0};  // heat capacity of the liquids carried [J/(K kg dry air)]
  T gas_constant;      // [J/(K kg dry air)]

  /// Adds fuel that is all liquid.
  AIRCHAIN_INLINE void add_liquid_fuel(T amount, const FuelThermo<T>& fuel) {
    const T heat = amount * fuel.liquid_heat_capacity;
    liquid_heat += heat;
    a[0] += heat;
    offset -= heat * T(kDatumTemperature) + amount * fuel.latent_heat;
  }
  /// h = sum of a_k T^(k+1) + offset [J/kg dry air].
  AIRCHAIN_INLINE T enthalpy(T t) const {
    return ((((a[4] * t + a[3]) * t + a[2]) * t + a[1]) * t + a[0]) * t + offset;
  }
  /// cp = dh/dT = sum of (k + 1) a_k T^k [J/(K kg dry air)], liquids with it.
  AIRCHAIN_INLINE T heat_capacity(T t) const {
    return (((T(5.0) * a[4] * t + T(4.0) * a[3]) * t + T(3.0) * a[2]) * t + T(2.0) * a[1]) * t +
           a[0];
  }
  /// Of the gas phase [1]: gamma = cp/(cp - R), cp without the liquids.
  AIRCHAIN_INLINE T heat_capacity_ratio(T t) const {
    const T cp = heat_capacity(t) - liquid_heat;
    return cp / (cp - gas_constant);
  }
  /// Taylor's series about T0 = t over cp, and its reversion:
  ///
  ///     b[k] = (d^(k+2) h/dT^(k+2))/((k + 2)! cp)
  ///     x = r - b0 r^2 + (2 b0^2 - b1) r^3 + (5 b0 b1 - 5 b0^3 - b2) r^4
  ///         + (6 b0 b2 + 3 b1^2 + 14 b0^4 - 21 b0^2 b1 - b3) r^5,   r = rise/cp
  AIRCHAIN_INLINE HeatingCurve<T> heating_from(T t) const {
    HeatingCurve<T> curve;
    curve.start = t;
    const T per = T(1.0) / heat_capacity(t);
    curve.per_heat_capacity = per;
    T* b = curve.b;
    b[0] = (((T(10.0) * a[4] * t + T(6.0) * a[3]) * t + T(3.0) * a[2]) * t + a[1]) * per;
    b[1] = ((T(10.0) * a[4] * t + T(4.0) * a[3]) * t + a[2]) * per;
    b[2] = (T(5.0) * a[4] * t + a[3]) * per;
    b[3] = a[4] * per;
    const T square = b[0] * b[0];
    curve.reverted[0] = T(2.0) * square - b[1];
    curve.reverted[1] = b[0] * (T(5.0) * b[1] - T(5.0) * square) - b[2];
    curve.reverted[2] = T(6.0) * b[0] * b[2] + T(3.0) * b[1] * b[1] +
                        square * (T(14.0) * square - T(21.0) * b[1]) - b[3];
    return curve;
  }
  /// Temperature [K] of h(T) = h(near) + rise [J/kg dry air].
  AIRCHAIN_INLINE T temperature_after(T near, T rise) const {
    return heating_from(near).temperature_after(rise);
  }
  /// s(t2) - s(t1) at constant pressure [J/(K kg dry air)].
  ///
  ///     ds = a_0 ln(t2/t1) + sum over k from 1 of (k + 1)/k a_k (t2^k - t1^k)
  AIRCHAIN_INLINE T entropy_rise(T t1, T t2) const {
    return entropy_rise(t1, t2, numerics::log(t2 / t1));
  }
  AIRCHAIN_INLINE T entropy_rise(T t1, T t2, T log_temperature_ratio) const {
    const T d = t2 - t1;
    const T sum = t1 + t2;
    const T square_sum = t1 * t1 + t1 * t2 + t2 * t2;
    const T cube_sum = sum * (t1 * t1 + t2 * t2);
    return a[0] * log_temperature_ratio +
           d * (T(2.0) * a[1] + T(1.5) * a[2] * sum + T(4.0 / 3.0) * a[3] * square_sum +
                T(1.25) * a[4] * cube_sum);
  }
  /// Enthalpy rise [J/kg dry air] of an isentropic change from t1 over a logarithm of pressure
  /// ratio.
  ///
  ///     dh = h(t2) - h(t1),   ds(t1, t2) = R ln(p2/p1)
  AIRCHAIN_INLINE T isentropic_rise(T t1, T log_pressure_ratio) const {
    const T ds = gas_constant * log_pressure_ratio;
    const T half = t1 * (T(1.0) + T(0.5) * ds / heat_capacity(t1));
    T x = ds / heat_capacity(half);  // ln(t2/t1)
    T t2 = t1 * numerics::exp(x);
    for (int i = 0; i < 2; ++i) {
      const T step = (ds - entropy_rise(t1, t2, x)) / heat_capacity(t2);
      x += step;
      t2 = t2 * (T(1.0) + step * (T(1.0) + step * (T(0.5) + step * T(1.0 / 6.0))));
    }
    return enthalpy(t2) - enthalpy(t1);
  }
};

/// Humid air with fuel of these masses per dry air [kg/kg]:
///
///     a_k = (R_air a_k,air + w R_water a_k,water)/(k + 1),   a_0 += l c_l + f_l c_f,l + f_v c_f,v
///     R = R_air + w R_water + f_v R_f,   offset = -h of the a_k at T0 - l h_fg - f_l h_fg,f
template <class T>
AIRCHAIN_INLINE Mixture<T> mixture_of(T vapour, T liquid_water, T fuel_vapour, T fuel_liquid,
                                      const FuelThermo<T>& fuel) {
  Mixture<T> m;
  T datum(0.0);
  double power = 1.0;
  for (int k = 0; k < 5; ++k) {
    constexpr double r_air = kDryAir.gas_constant();
    constexpr double r_water = kWater.gas_constant();
    m.a[k] = T(r_air * kDryAir.a[k] / (k + 1)) + vapour * T(r_water * kWater.a[k] / (k + 1));
    power *= kDatumTemperature;
    datum += m.a[k] * T(power);
  }
  m.liquid_heat =
      liquid_water * T(kLiquidWaterHeatCapacity) + fuel_liquid * fuel.liquid_heat_capacity;
  const T linear = m.liquid_heat + fuel_vapour * fuel.vapour_heat_capacity;
  m.a[0] += linear;
  m.offset = -(datum + linear * T(kDatumTemperature)) -
             (liquid_water * T(kWaterLatentHeat) + fuel_liquid * fuel.latent_heat);
  m.gas_constant = T(kDryAir.gas_constant()) + vapour * T(kWater.gas_constant()) +
                   fuel_vapour * fuel.gas_constant;
  return m;
}

/// The same of what a stream carries.
template <class T>
AIRCHAIN_INLINE Mixture<T> mixture_of(const Stream<T>& s, const FuelThermo<T>& fuel) {
  return mixture_of(s.vapour, s.liquid_water, s.fuel_vapour, s.fuel_liquid, fuel);
}

/// Density of the gas phase [kg/m^3], ideal gas: rho = p m/(R T), gas mass m and gas constant R per
/// kg dry air.
template <class T>
AIRCHAIN_INLINE T density(T pressure, T temperature, T gas_mass_ratio, T gas_constant) {
  return pressure * gas_mass_ratio / (gas_constant * temperature);
}
template <class T>
AIRCHAIN_INLINE T density(const Stream<T>& s, const Mixture<T>& m) {
  return density(s.pressure, s.temperature, s.gas_mass_ratio(), m.gas_constant);
}

}  // namespace airchain::gas
