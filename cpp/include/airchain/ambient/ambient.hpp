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
AirReport report(const Ambient<double>& ambient);

/// Relative humidity of air at `temperature` with `dew_point` (over ice below 0 degC).
double relative_humidity_from_dew_point(double temperature, double dew_point);

/// Station pressure [Pa] from an altimeter setting [Pa] and the station's altitude [m]:
/// the standard-atmosphere altitude of the setting is added to the station's
/// [US Standard Atmosphere 1976 troposphere]; -500 to 6000 m.
double station_pressure(double altimeter_setting, double altitude);

/// US Standard Atmosphere 1976 in the troposphere, geopotential altitude -1000 to 11000 m.
double standard_pressure(double altitude);
double standard_temperature(double altitude);
double standard_density(double altitude);

/// Geopotential altitude [m] at which the standard atmosphere has this density [kg/m^3].
double density_altitude(double density);

}  // namespace airchain::ambient
