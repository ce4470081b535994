#include <gtest/gtest.h>

#include <cmath>

#include "airchain/ambient/ambient.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::ambient {

using test::expect_refusal;
using test::published;

namespace {

Ambient<double> warm_day() { return {98e3, 303.15, 0.6}; }

}  // namespace

TEST(StandardAtmosphere, AgreesWithUsStandardAtmosphere1976) {
  // The printed figures; pressure within 2e-6, where the exponent 5.255880 was rounded.
  for (const auto& row : published("standard_atmosphere_1976.csv")) {
    const double h = row.number("altitude_m");
    EXPECT_NEAR(standard_temperature(h), row.number("temperature_k"), 5e-4) << h;
    const double pressure = row.number("pressure_pa");
    EXPECT_NEAR(standard_pressure(h), pressure, 2e-6 * pressure) << h;
    const double density = row.number("density_kg_m3");
    EXPECT_NEAR(standard_density(h), density, 1e-5 * density) << h;
  }
}

// [US Standard Atmosphere 1976] sea level: 1.2250 kg/m^3, 340.294 m/s with gamma 1.4.
TEST(AirReport, AgreesWithStandardSeaLevel) {
  const auto air = report({101325.0, 288.15, 0.0});
  EXPECT_NEAR(air.density, 1.2250, 1.5e-4);  // its air is 7e-5 lighter by the mole
  EXPECT_NEAR(air.density_altitude, 0.0, 1.0);
  EXPECT_NEAR(air.speed_of_sound, 340.294, 0.1);
}

TEST(AirReport, AgreesWithStandardSpeedOfSound) {
  for (const auto& row : published("standard_atmosphere_1976.csv")) {
    const auto air = report({row.number("pressure_pa"), row.number("temperature_k"), 0.0});
    // 4e-4: gamma of real composition is 1.4012 in the cold, the standard's 1.4.
    EXPECT_NEAR(air.speed_of_sound, row.number("speed_of_sound_m_s"), 0.15);
    EXPECT_NEAR(air.density_altitude, row.number("altitude_m"), 1.5);
  }
}

TEST(DensityAltitude, UndoesStandardDensity) {
  for (double h = -1000.0; h <= 10000.0; h += 500.0)
    EXPECT_NEAR(density_altitude(standard_density(h)), h, 1e-8);
}

TEST(DensityAltitude, RisesWithHeatAndHumidityAndFallsWithPressure) {
  const auto reference = report(warm_day()).density_altitude;
  EXPECT_GT(report({98e3, 313.15, 0.6}).density_altitude, reference);
  EXPECT_GT(report({98e3, 303.15, 0.9}).density_altitude, reference);
  EXPECT_LT(report({100e3, 303.15, 0.6}).density_altitude, reference);
}

TEST(StationPressure, IsTheStandardPressureUnderTheStandardSetting) {
  for (const double h : {-300.0, 0.0, 250.0, 1600.0, 4000.0})
    EXPECT_NEAR(station_pressure(101325.0, h), standard_pressure(h), 1e-8) << h;
}

TEST(StationPressure, IsTheSettingAtSeaLevel) {
  EXPECT_NEAR(station_pressure(100914.0, 0.0), 100914.0, 1e-8);
}

TEST(AirReport, HasOneVapourPressureThroughout) {
  const auto air = report(warm_day());
  EXPECT_NEAR(air.humidity_ratio, warm_day().humidity_ratio(), 1e-16);
  EXPECT_NEAR(air.vapour_pressure, 0.6 * gas::saturation_pressure(303.15), 1e-8);
  EXPECT_NEAR(relative_humidity_from_dew_point(303.15, air.dew_point), 0.6, 1e-9);
}

// [ASHRAE Handbook Fundamentals 2017, ch. 1 eq. 37] a fit of the dew point from 0 to 93 degC, good
// to 0.1 K (coefficients from memory).
TEST(AirReport, AgreesWithAshraeDewPointFit) {
  const auto air = report(warm_day());
  const double alpha = std::log(air.vapour_pressure / 1e3);
  const double fit = 6.54 + 14.526 * alpha + 0.7389 * alpha * alpha +
                     0.09486 * alpha * alpha * alpha +
                     0.4569 * std::pow(air.vapour_pressure / 1e3, 0.1984);
  EXPECT_NEAR(air.dew_point - 273.15, fit, 0.1);
}

TEST(AirReport, DryAirHasNoDewPoint) {
  EXPECT_TRUE(std::isnan(report({1e5, 300.0, 0.0}).dew_point));
}

TEST(Ambient, HumidAirIsLighterAndItsLanesAgreeBitwise) {
  EXPECT_LT(report({1e5, 305.0, 1.0}).density, report({1e5, 305.0, 0.0}).density);
  test::expect_lanes_agree(
      [](auto share) {
        using T = decltype(share);
        return Ambient<T>{T(1e5), T(300.0), share}.air().vapour;
      },
      {0.0, 0.3, 0.7, 1.0});
}

TEST(Ambient, NamesTheBadInput) {
  test::expect_every_field_guarded(warm_day());
  expect_refusal([] { report({1e5, 25.0, 0.5}); }, "did you mean 25 degC?");
  expect_refusal(
      [] {
        report({1e5, 300.0, 55.0});
      },
      "Ambient: relative_humidity = 55; must be between 0 and 1");
}

TEST(AmbientBuilders, NameTheBadInput) {
  expect_refusal([] { relative_humidity_from_dew_point(290.0, 295.0); },
                 "Ambient: dew_point = 295 K; must be between 200 and 290 K; the dew point");
  expect_refusal([] { station_pressure(8e4, 1600.0); }, "an altimeter setting is reduced to sea");
  expect_refusal([] { standard_pressure(2e4); }, "StandardAtmosphere: altitude = 20000 m");
  expect_refusal([] { density_altitude(-1.0); }, "density_altitude: density = -1 kg/m^3");
}

}  // namespace airchain::ambient
