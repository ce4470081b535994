#include "airchain/ambient/ambient.hpp"

#include <cmath>
#include <limits>

#include "airchain/base/constants.hpp"

namespace airchain::ambient {

namespace {

// [US Standard Atmosphere 1976] sea level and troposphere, with its own gas constant of air.
constexpr double kSeaLevelPressure = base::kStandardAtmosphere;
constexpr double kSeaLevelTemperature = 288.15;
constexpr double kLapseRate = 0.0065;
constexpr double kGasConstant = 8314.32 / 28.9644;
constexpr double kExponent = base::kStandardGravity / (kGasConstant * kLapseRate);

void require_altitude(double altitude) {
  base::require("StandardAtmosphere", "altitude", altitude, "m", base::between(-1000.0, 11000.0));
}

}  // namespace

double standard_temperature(double altitude) {
  require_altitude(altitude);
  return kSeaLevelTemperature - kLapseRate * altitude;
}

double standard_pressure(double altitude) {
  return kSeaLevelPressure *
         std::pow(standard_temperature(altitude) / kSeaLevelTemperature, kExponent);
}

double standard_density(double altitude) {
  return standard_pressure(altitude) / (kGasConstant * standard_temperature(altitude));
}

double density_altitude(double density) {
  base::require("density_altitude", "density", density, "kg/m^3", base::between(0.3, 1.7));
  const double ratio = density / standard_density(0.0);
  return kSeaLevelTemperature / kLapseRate * (1.0 - std::pow(ratio, 1.0 / (kExponent - 1.0)));
}

double station_pressure(double altimeter_setting, double altitude) {
  base::require("station_pressure", "altimeter_setting", altimeter_setting, "Pa",
                base::between(9e4, 1.1e5), "an altimeter setting is reduced to sea level");
  base::require("station_pressure", "altitude", altitude, "m", base::between(-500.0, 6000.0));
  const double setting_root = std::pow(altimeter_setting / kSeaLevelPressure, 1.0 / kExponent);
  return kSeaLevelPressure *
         std::pow(setting_root - kLapseRate * altitude / kSeaLevelTemperature, kExponent);
}

double relative_humidity_from_dew_point(double temperature, double dew_point) {
  base::require("Ambient", "temperature", temperature, "K", base::between(230.0, 330.0));
  base::require("Ambient", "dew_point", dew_point, "K", base::between(200.0, temperature),
                "the dew point cannot exceed the temperature");
  return gas::saturation_pressure(dew_point) / gas::saturation_pressure(temperature);
}

AirReport report(const Ambient<double>& ambient) {
  base::require_fields(ambient);
  const auto air = ambient.air();
  const auto mixture = gas::mixture_of(air, gas::FuelThermo<double>{});
  AirReport r;
  r.humidity_ratio = air.vapour;
  r.vapour_pressure = gas::vapour_pressure(air.vapour, air.pressure);
  r.density = gas::density(air, mixture);
  r.density_altitude = density_altitude(r.density);
  const double specific_gas_constant = mixture.gas_constant / air.gas_mass_ratio();
  r.speed_of_sound = std::sqrt(mixture.heat_capacity_ratio(air.temperature) *
                               specific_gas_constant * air.temperature);
  r.dew_point = r.vapour_pressure > 1e-2 ? gas::dew_point(r.vapour_pressure)
                                         : std::numeric_limits<double>::quiet_NaN();
  return r;
}

}  // namespace airchain::ambient
