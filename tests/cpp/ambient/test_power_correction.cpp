#include "airchain/ambient/power_correction.hpp"

#include <gtest/gtest.h>

#include "support/bad_input.hpp"
#include "support/published.hpp"

namespace airchain::ambient {

using test::expect_refusal;
using test::published;

namespace {

PowerStandard by_name(const std::string& name) {
  for (const auto& known : power_standards())
    if (name == known.name) return known.standard;
  throw std::runtime_error("no standard " + name);
}

}  // namespace

// Sources: tests/published/SOURCES.md. The formulas as printed; 2e-4 for the older standard, which
// is printed with the zero at -460 degF.
TEST(PowerCorrection, AgreesWithThePublishedFormulas) {
  for (const auto& row : published("power_correction.csv")) {
    const double factor =
        power_correction(by_name(row.text("standard")), 1e3 * row.number("dry_pressure_kpa"),
                         row.number("temperature_degc") + 273.15);
    EXPECT_NEAR(factor, row.number("factor"), row.number("tolerance") * row.number("factor"))
        << row.text("standard");
  }
}

TEST(PowerCorrection, IsOneAtTheReference) {
  for (const auto& known : power_standards())
    EXPECT_NEAR(power_correction(known.standard, known.dry_pressure, known.temperature), 1.0, 1e-15)
        << known.name;
}

// [SAE J1349 against SAE J607] the same run: 4.00 % apart at 990 hPa and 25 degC.
TEST(PowerCorrection, AgreesWithTheKnownGapBetweenTheStandards) {
  const double older = power_correction(PowerStandard::std_29_92, 99e3, 298.15);
  EXPECT_NEAR(older / power_correction(PowerStandard::sae_j1349, 99e3, 298.15), 1.0400, 5e-5);
}

TEST(PowerCorrection, RisesWithHeatAndFallsWithPressure) {
  for (const auto& known : power_standards()) {
    const double here = power_correction(known.standard, 97e3, 300.0);
    EXPECT_GT(power_correction(known.standard, 97e3, 305.0), here) << known.name;
    EXPECT_LT(power_correction(known.standard, 99e3, 300.0), here) << known.name;
  }
}

// One figure that lies outside, by name, with its range as the standard has it.
void expect_outside(const Outside& one, const std::string& name, double value, double low,
                    double high) {
  EXPECT_EQ(one.name, name);
  EXPECT_NEAR(one.value, value, 1e-3 * value) << name;
  EXPECT_DOUBLE_EQ(one.range.low, low) << name;
  EXPECT_DOUBLE_EQ(one.range.high, high) << name;
}

TEST(PowerCorrection, SaysWhatLiesOutsideAndNeverClamps) {
  const auto iso = PowerStandard::iso_1585;
  EXPECT_TRUE(outside(iso, 99e3, 298.15).empty());
  EXPECT_TRUE(outside(iso, 99e3, 308.15).empty());  // the bound itself is inside
  const auto hot = outside(iso, 97e3, 310.15);
  ASSERT_EQ(hot.size(), 1u);
  expect_outside(hot[0], "temperature", 310.15, 288.15, 308.15);
  const auto high_factor = outside(iso, 85e3, 303.15);
  ASSERT_EQ(high_factor.size(), 1u);
  expect_outside(high_factor[0], "factor", 1.213, 0.93, 1.07);
  const auto all = outside(iso, 79e3, 283.15);
  ASSERT_EQ(all.size(), 3u);
  expect_outside(all[0], "temperature", 283.15, 288.15, 308.15);
  expect_outside(all[1], "dry_pressure", 79e3, 80e3, 110e3);
  expect_outside(all[2], "factor", 1.271, 0.93, 1.07);
  const auto low = outside(PowerStandard::sae_j1349, 89e3, 298.15);
  ASSERT_EQ(low.size(), 1u);
  expect_outside(low[0], "dry_pressure", 89e3, 90e3, 105e3);
  EXPECT_TRUE(outside(PowerStandard::std_29_92, 60e3, 250.0).empty());
  EXPECT_GT(power_correction(iso, 70e3, 303.15), 1.5);
}

TEST(PowerCorrection, HoldsForAMechanicalCompressorButNotForHeldBoost) {
  for (const auto& known : power_standards()) {
    EXPECT_EQ(objection(known.standard, Induction::aspirated), "");
    EXPECT_EQ(objection(known.standard, Induction::mechanical), "");
    EXPECT_NE(objection(known.standard, Induction::held_boost).find(known.name), std::string::npos);
  }
}

TEST(PowerCorrection, NamesTheBadInput) {
  expect_refusal([] { power_correction(PowerStandard::sae_j1349, 99.0, 298.15); },
                 "power_correction: dry_pressure = 99 Pa; must be between 30000 and 120000 Pa");
  expect_refusal([] { power_correction(PowerStandard::sae_j1349, 99e3, 25.0); },
                 "did you mean 25 degC?");
}

}  // namespace airchain::ambient
