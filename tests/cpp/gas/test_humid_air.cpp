#include <gtest/gtest.h>

#include <cmath>

#include "airchain/gas/humid_air.hpp"
#include "airchain/gas/mixture.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::gas {

using base::kZeroCelsius;
using test::published;

namespace {

void expect_saturation(const std::string& file, double relative) {
  for (const auto& row : published(file)) {
    const double expected = row.number("saturation_pressure_pa");
    const double t = row.number("temperature_degc");
    EXPECT_NEAR(saturation_pressure(t + kZeroCelsius), expected, relative * expected) << t;
  }
}

struct Air {
  Stream<double> stream;
  Mixture<double> mixture;

  explicit Air(const test::PublishedRow& row) {
    stream.pressure = row.number("pressure_pa");
    stream.temperature = row.number("temperature_degc") + kZeroCelsius;
    const double share = row.number("relative_humidity");
    stream.vapour =
        humidity_ratio(share * saturation_pressure(stream.temperature), stream.pressure);
    mixture = mixture_of(stream, FuelThermo<double>{});
  }
};

}  // namespace

// Half a unit of the seventh figure; computed from the printed equations.
TEST(SaturationPressure, AgreesWithHylandAndWexler) {
  expect_saturation("hyland_wexler_1983.csv", 5e-7);
}
// ASHRAE's table is of a later formulation; 3e-4 is how far the two lie apart.
TEST(SaturationPressure, AgreesWithAshraeTable) {
  expect_saturation("ashrae_2017_water.csv", 3e-4);
}
TEST(SaturationPressure, AgreesWithIapws) { expect_saturation("iapws_if97.csv", 5e-4); }

TEST(HumidityRatio, AgreesWithAshrae) {
  // 1e-4: the source has 0.621945 where our air, of its own composition, gives 0.621936.
  for (const auto& row : published("ashrae_2017_moist_air.csv", "quantity", "humidity_ratio"))
    EXPECT_NEAR(Air(row).stream.vapour, row.number("value"), 1e-4 * row.number("value"));
}

TEST(MoistAir, AgreesWithIdealGasTables) {
  // 1e-4: molar mass of air 28.9647 there, 28.9665 here (with 0.04 % carbon dioxide).
  for (const auto& row : published("ashrae_2017_moist_air.csv", "quantity", "density_kg_m3")) {
    const Air air(row);
    EXPECT_NEAR(density(air.stream, air.mixture), row.number("value"), 1e-4);
  }
  for (const auto& row :
       published("ashrae_2017_moist_air.csv", "quantity", "gas_constant_j_kg_k")) {
    const Air air(row);
    EXPECT_NEAR(air.mixture.gas_constant / air.stream.gas_mass_ratio(), row.number("value"), 0.03);
  }
}

TEST(MoistAir, AgreesWithAshraeGamma) {
  // 0.1 %, as the source: its heat capacities are rounded constants.
  for (const auto& row : published("ashrae_2017_moist_air.csv", "quantity", "gamma")) {
    const Air air(row);
    EXPECT_NEAR(air.mixture.heat_capacity_ratio(air.stream.temperature), row.number("value"),
                1.4e-3);
  }
}

// Real gas against ideal gas: 0.1 %.
TEST(MoistAir, AgreesWithCipm2007) {
  for (const auto& row : published("cipm_2007.csv")) {
    const Air air(row);
    const double expected = row.number("density_kg_m3");
    EXPECT_NEAR(density(air.stream, air.mixture), expected, 1e-3 * expected);
  }
}

// [CoolProp 7.2.0] HAPropsSI('H','T',298.15,'P',101325,'R',0.5) = 50423.45 J per kg of dry air,
// counted from dry air and liquid water at 0 degC. 0.35 %: left out here are the enhancement factor
// (0.5 % of the vapour, 126 J) and the real-gas heat capacity of air (0.14 % of it, 35 J).
TEST(MoistAir, AgreesWithCoolPropEnthalpy) {
  const double w = humidity_ratio(0.5 * saturation_pressure(298.15), 101325.0);
  const FuelThermo<double> none;
  const double warm = mixture_of(w, 0.0, 0.0, 0.0, none).enthalpy(298.15);
  const double datum = mixture_of(0.0, w, 0.0, 0.0, none).enthalpy(273.15);
  EXPECT_NEAR(warm - datum, 50423.45, 0.0035 * 50423.45);
}

TEST(VapourPressure, UndoesHumidityRatio) {
  for (const double pv : {0.0, 800.0, 3000.0, 20000.0})
    EXPECT_NEAR(vapour_pressure(humidity_ratio(pv, 9.5e4), 9.5e4), pv, 1e-11);
}

TEST(DewPoint, UndoesSaturationPressure) {
  for (double t = 200.0; t < 460.0; t += 7.0)
    EXPECT_NEAR(dew_point(saturation_pressure(t)), t, 1e-8) << t;
}

TEST(SaturationPressure, IceAndLiquidMeetAtTheTriplePoint) {
  const double below = saturation_pressure(273.15 - 1e-9);
  EXPECT_NEAR(below, saturation_pressure(273.15), 1e-3 * below);
}

TEST(SaturationPressure, LanesAgreeBitwiseWithPlainNumbers) {
  test::expect_lanes_agree([](auto t) { return saturation_pressure(t); },
                           {255.0, 273.15, 300.0, 373.15});
}

TEST(DewPoint, NamesTheBadInput) {
  test::expect_refusal([] { dew_point(0.0); },
                       "dew_point: vapour_pressure = 0 Pa; must be between 0.01 and 1.5e+06 Pa");
}

// p/(R T) of dry air with R = 8314.462618/28.9647 J/(kg K); vapour at equal pressure takes its
// place.
TEST(DryAirDensity, AgreesWithTheIdealGasLawAndFallsWithHumidity) {
  EXPECT_NEAR(dry_air_density(101325.0, 288.15, 0.0), 101325.0 / (8314.462618 / 28.9647 * 288.15),
              1e-4);
  const double w = 0.02;
  const double vapour_share = w / (w + kWaterToAirMassRatio);
  EXPECT_NEAR(dry_air_density(101325.0, 300.0, w),
              (1.0 - vapour_share) * dry_air_density(101325.0, 300.0, 0.0), 1e-12);
}

TEST(SurelyHeldPressure, LiesBelowSaturation) {
  for (double t = 175.0; t <= 473.0; t += 0.5)
    EXPECT_LT(surely_held_pressure(t), saturation_pressure(t)) << t;
  EXPECT_GT(surely_held_pressure(330.0), 0.5 * saturation_pressure(330.0));
}

}  // namespace airchain::gas
