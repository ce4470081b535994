#pragma once

#include "airchain/base/guards.hpp"
#include "airchain/gas/humid_air.hpp"
#include "airchain/gas/mixture.hpp"

namespace airchain::ambient {

/// The air the engine starts from: station (not sea-level) pressure, temperature, humidity.
template <class T>
struct Ambient {
  static constexpr const char* kName = "Ambient";
  T pressure{base::kRequired};
  T temperature{base::kRequired};
  T relative_humidity{0.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{field("pressure", &Ambient::pressure, "Pa", base::between(4e4, 1.1e5),
                            "absolute pressure at the station, as a barometer on site reads"),
                      field("temperature", &Ambient::temperature, "K", base::between(230.0, 330.0),
                            "air temperature in the shade"),
                      field("relative_humidity", &Ambient::relative_humidity, "1",
                            base::between(0.0, 1.0), "vapour pressure over saturation pressure")};
  }

  /// Water vapour per dry air [kg/kg], both ideal gases:
  ///
  ///     w = 0.622 p_v/(p - p_v),   p_v = phi p_sat(T)
  AIRCHAIN_INLINE T humidity_ratio() const {
    return gas::humidity_ratio(relative_humidity * gas::saturation_pressure(temperature), pressure);
  }
  /// Still air, no flow yet.
  AIRCHAIN_INLINE gas::Stream<T> air() const {
    gas::Stream<T> s;
    s.pressure = pressure;
    s.temperature = temperature;
    s.vapour = humidity_ratio();
    return s;
  }
};

/// What a weather desk would say of the air, SI.
struct AirReport {
  double density;           ///< [kg/m^3]
  double vapour_pressure;   ///< [Pa]
  double humidity_ratio;    ///< [kg/kg dry air]
  double dew_point;         ///< [K]; NaN in dry air, which has none
  double density_altitude;  ///< [m]
  double speed_of_sound;    ///< [m/s]
};
/// Humid air as an ideal gas, R and gamma those of a kilogram of it:
///
///     rho = (1 + w) p/((R_air + w R_water) T),   a = sqrt(gamma R T)
///
/// with `density_altitude` and `gas::dew_point`. Throws InputError for fields out of range.
AirReport report(const Ambient<double>& ambient);

/// Relative humidity [1] of air at `temperature` [K] with `dew_point` [K] (over ice below 0 degC):
///
///     phi = p_sat(T_dew)/p_sat(T)
double relative_humidity_from_dew_point(double temperature, double dew_point);

/// Station pressure [Pa] from an altimeter setting [Pa] and the station's altitude [m]:
/// the standard-atmosphere altitude of the setting is added to the station's
/// [US Standard Atmosphere 1976 troposphere]; -500 to 6000 m.
///
///     p = p0 ((p_setting/p0)^(1/n) - L h/T0)^n
double station_pressure(double altimeter_setting, double altitude);

/// US Standard Atmosphere 1976 in the troposphere, geopotential altitude h of -1000 to 11000 m;
/// pressure [Pa], temperature [K] and density [kg/m^3].
///
///     T = T0 - L h,   p = p0 (T/T0)^n,   rho = p/(R T),   n = g0/(R L) = 5.256
///     p0 = 101325 Pa,  T0 = 288.15 K,  L = 0.0065 K/m,  R = 8314.32/28.9644 J/(kg K)
double standard_pressure(double altitude);
double standard_temperature(double altitude);
double standard_density(double altitude);

/// Geopotential altitude [m] at which the standard atmosphere has this density [kg/m^3].
///
///     h = T0/L (1 - (rho/rho0)^(1/(n - 1)))
double density_altitude(double density);

}  // namespace airchain::ambient
