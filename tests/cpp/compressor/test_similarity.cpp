#include "airchain/compressor/similarity.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/gas/humid_air.hpp"
#include "compressor/test_map_nasa.hpp"

namespace airchain::compressor {

namespace {

// Humidity is of the air at the inlet; its vapour pressure is relative humidity times saturation.
double humidity_of(const NasaReading& r) {
  return gas::humidity_ratio(r.relative_humidity * gas::saturation_pressure(r.temperature),
                             r.pressure);
}

}  // namespace

// [NASA/CR-2014-218114] 78 readings of flow as measured and corrected; 2.4e-4 is the difference of
// ideal-gas from real-gas gamma in its reference, see tests/published/SOURCES.md.
TEST(CorrectedFlow, AgreesWithNasaReadings) {
  const ReferenceState reference{518.67 / 1.8, 14.7 * kPsi, gas::kDryAir.gas_constant(),
                                 dry_air_gamma(518.67 / 1.8)};
  for (const NasaReading& r : nasa_readings()) {
    const double w = humidity_of(r);
    const double flow =
        corrected_flow(reference, r.mass_flow / (1.0 + w), r.pressure, r.temperature, w);
    EXPECT_NEAR(flow / r.flow, 1.0, 2.4e-4);
  }
}

// The same readings: efficiency from the printed pressures and temperatures. Theirs is of real
// humid air, ours of ideal gases.
TEST(MeasuredEfficiency, AgreesWithNasaReadings) {
  int count = 0;
  for (const auto& row : nasa_readings()) {
    const Reading reading{row.pressure, row.temperature, row.pressure * row.pressure_ratio,
                          row.outlet_temperature, humidity_of(row)};
    EXPECT_NEAR(measured_efficiency(reading), row.efficiency, 2.5e-3);
    ++count;
  }
  EXPECT_EQ(count, 78);
}

// Constant gamma 1.4 and cp as in any textbook: (r^(2/7) - 1) T1 / (T2 - T1); variable heat
// capacities move it by less than 0.5 % here.
TEST(MeasuredEfficiency, ComesNearTheConstantGammaFormula) {
  const double simple = (std::pow(2.2, 2.0 / 7.0) - 1.0) * 300.0 / 105.0;
  EXPECT_NEAR(measured_efficiency({1e5, 300.0, 2.2e5, 405.0, 0.0}), simple, 5e-3 * simple);
}

TEST(MeasuredEfficiency, IsNotANumberWithoutHeating) {
  EXPECT_TRUE(std::isnan(measured_efficiency({1e5, 300.0, 1.5e5, 300.0, 0.0})));
  EXPECT_TRUE(std::isnan(measured_efficiency({1e5, 300.0, 1.5e5, 290.0, 0.0})));
}

TEST(CorrectedSpeed, IsTheSpeedAtTheReferenceAndFallsWithHeatAndHumidity) {
  const ReferenceState reference;
  EXPECT_NEAR(corrected_speed(reference, 4e3, 288.15, 0.0), 4e3, 1e-9);
  EXPECT_NEAR(corrected_speed(reference, 4e3, 320.0, 0.0), 4e3 * std::sqrt(288.15 / 320.0), 2.0);
  EXPECT_LT(corrected_speed(reference, 4e3, 288.15, 0.02), 4e3);
}

}  // namespace airchain::compressor
