#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cylinder/burn.hpp"
#include "airchain/cylinder/camshaft.hpp"
#include "airchain/cylinder/crank.hpp"
#include "airchain/cylinder/heat_loss.hpp"
#include "airchain/cylinder/knock.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::cylinder {

using test::published;

TEST(Crank, AgreesWithHeywood) {
  for (const auto& row : published("slider_crank.csv")) {
    const Crank crank{row.number("bore_m"), row.number("stroke_m"), row.number("rod_m"),
                      row.number("compression_ratio")};
    validate(crank);
    const auto at = crank.at(row.number("angle_deg") * base::kDegree);
    const double v = row.number("volume_m3");
    EXPECT_NEAR(at.volume, v, 1e-7 * v);
    const auto volume = [&](double turned) {
      return crank.at(row.number("angle_deg") * base::kDegree + turned).volume;
    };
    const double rate = (volume(1e-5) - volume(-1e-5)) / 2e-5;
    EXPECT_NEAR(rate / crank.piston_area(), row.number("travel_rate_m_rad"), 1e-8);
    EXPECT_NEAR(at.liner_area / (base::kPi * crank.bore), row.number("travel_m"), 1e-9);
  }
}

TEST(Crank, LanesAgreeBitwise) {
  const Crank crank{0.1, 0.09, 0.15, 10.0};
  test::expect_lanes_agree([&](auto a) { return crank.at(a).volume; }, {0.1, 2.0, 5.0, 11.0});
}

TEST(Crank, NamesTheBadInput) {
  test::expect_every_field_guarded(Crank{0.1, 0.09, 0.15, 10.0});
  test::expect_refusal([] { validate(Crank{0.1, 0.2, 0.11, 10.0}); }, "rod_length over stroke");
}

// Half a unit of the eighth figure, and the file's function does not end at 1.
TEST(Burn, AgreesWithWiebe) {
  for (const auto& row : published("wiebe.csv")) {
    Burn burn;
    burn.efficiency = row.number("factor");
    burn.shape = row.number("exponent");
    const double end = 1.0 - std::exp(-burn.efficiency);
    EXPECT_NEAR(burn.burned_at(row.number("place")) * end, row.number("burned"), 1e-8);
  }
}

TEST(Burn, StartsAtNothingEndsAtAllAndFindsItsPlaces) {
  const Burn burn;
  EXPECT_EQ(burn.burned_at(-0.1), 0.0);
  EXPECT_EQ(burn.burned_at(0.0), 0.0);
  EXPECT_EQ(burn.burned_at(1.0), 1.0);
  EXPECT_EQ(burn.burned_at(3.0), 1.0);
  for (const double x : {0.1, 0.5, 0.9}) EXPECT_NEAR(burn.burned_at(burn.place_of(x)), x, 1e-12);
}

// Common practice, no source: longer with speed, residual gas and off the best mixture.
TEST(Burn, DurationAnswersToSpeedMixtureAndResidual) {
  const Burn burn;
  const double base = burn.duration_at(400.0, 1.0 / 1.1, 0.0);
  EXPECT_NEAR(base, burn.duration, 1e-12);
  EXPECT_GT(burn.duration_at(800.0, 1.0 / 1.1, 0.0), 1.1 * base);
  EXPECT_GT(burn.duration_at(400.0, 1.05, 0.0), base);
  EXPECT_GT(burn.duration_at(400.0, 1.0 / 1.1, 0.1), base);
  test::expect_every_field_guarded(burn);
}

// [Woschni 1967, SAE 670931; Heywood 1988, eq. 12.19] values computed from the formula, which is
// from memory: 0.086 m bore, 1500 kPa, 650 K, 2.28 times 12 m/s; and after ignition.
TEST(HeatLoss, AgreesWithWoschni) {
  const double size = HeatLoss::size_factor(0.086);
  EXPECT_NEAR(HeatLoss::coefficient(size, 1500e3, 650.0, kWoschniClosed * 12.0), 740.937, 5e-4);
  const double displacement = 0.25 * base::kPi * 0.086 * 0.086 * 0.086;
  const double speed = kWoschniClosed * 12.0 + kWoschniBurn * displacement * 360.0 /
                                                   (150e3 * displacement * 10.0 / 9.0) * 4800e3;
  EXPECT_NEAR(speed, 60.9523, 5e-5);
  EXPECT_NEAR(HeatLoss::coefficient(size, 7000e3, 2500.0, speed), 2298.91, 5e-3);
  test::expect_every_field_guarded(HeatLoss{});
}

TEST(HeatLoss, VanishesAtTheWallsTemperature) {
  HeatLoss loss;
  loss.head_temperature = loss.piston_temperature = loss.liner_temperature = 450.0;
  EXPECT_EQ(loss.exposure(0.01, 0.02, 450.0), 0.0);
  EXPECT_NEAR(loss.exposure(0.01, 0.02, 451.0), 0.01 * (1.25 + 1.05) + 0.02, 1e-12);
}

TEST(IgnitionDelay, AgreesWithDouaudAndEyzat) {
  for (const auto& row : published("ignition_delay.csv"))
    EXPECT_NEAR(ignition_delay(row.number("octane"), row.number("pressure_atm") * 101325.0,
                               row.number("temperature_k")),
                row.number("delay_ms") * 1e-3, 1e-8);
}

}  // namespace airchain::cylinder
