#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/gas/species.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::gas {

using numerics::where;

/// Saturation pressure of water [Pa] over liquid (from 0 degC up) or ice (below).
///
///     ln p = C1/T + C2 + C3 T + C4 T^2 + C5 T^3 + C6 T^4 + C7 ln T
///
/// [Hyland and Wexler 1983, as in ASHRAE Handbook Fundamentals 2017, ch. 1 eqs 5 and 6];
/// 173.15 to 473.15 K. Left out: the enhancement factor of water in air (0.5 % at 1 bar).
template <class T>
AIRCHAIN_INLINE T saturation_pressure(T t) {
  const T log_t = numerics::log(t);
  const T ice =
      T(-5.6745359e3) / t + T(6.3925247) +
      t * (T(-9.677843e-3) + t * (T(6.2215701e-7) + t * (T(2.0747825e-9) + t * T(-9.484024e-13)))) +
      T(4.1635019) * log_t;
  const T liquid = T(-5.8002206e3) / t + T(1.3914993) +
                   t * (T(-4.8640239e-2) + t * (T(4.1764768e-5) + t * T(-1.4452093e-8))) +
                   T(6.5459673) * log_t;
  return numerics::exp(numerics::where(t < T(base::kZeroCelsius), ice, liquid));
}

/// A quick lower bound of the saturation pressure [Pa]; 0 below 273.15 K. First terms, rounded
/// down, of its series in x = t - 273.15 K, whose terms are all positive; to 473.15 K.
///
///     p = 610 + 44 x + 1.4 x^2 + 0.025 x^3
template <class T>
AIRCHAIN_INLINE T surely_held_pressure(T t) {
  const T x = numerics::max(t - T(base::kZeroCelsius), T(0.0));
  return where(x > T(0.0), T(610.0) + x * (T(44.0) + x * (T(1.4) + x * T(0.025))), T(0.0));
}

/// Water vapour per dry air [kg/kg] at a vapour pressure [Pa], both ideal gases.
///
///     w = 0.622 p_v/(p - p_v)            [ASHRAE Fundamentals 2017, ch. 1 eq. 20, from memory]
template <class T>
AIRCHAIN_INLINE T humidity_ratio(T vapour_pressure, T pressure) {
  return T(kWaterToAirMassRatio) * vapour_pressure / (pressure - vapour_pressure);
}

/// Partial pressure of the vapour [Pa] at a humidity ratio: p_v = p w/(0.622 + w).
template <class T>
AIRCHAIN_INLINE T vapour_pressure(T humidity_ratio, T pressure) {
  return pressure * humidity_ratio / (T(kWaterToAirMassRatio) + humidity_ratio);
}

/// Dry air in a volume of humid air [kg/m^3], ideal gases; less than the density by the vapour.
///
///     rho_dry = p/((R_air + w R_water) T)
template <class T>
AIRCHAIN_INLINE T dry_air_density(T pressure, T temperature, T humidity_ratio) {
  return pressure /
         ((T(kDryAir.gas_constant()) + humidity_ratio * T(kWater.gas_constant())) * temperature);
}

/// Temperature [K] at which the vapour pressure saturates, p_sat(T) = p_v; 180 to 470 K, Newton on
/// ln p.
double dew_point(double vapour_pressure);

}  // namespace airchain::gas
