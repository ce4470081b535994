#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cooler/cooler.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::cooler {

using test::expect_refusal;

namespace {

constexpr FlowArrangement kAll[] = {
    FlowArrangement::counterflow, FlowArrangement::parallel, FlowArrangement::crossflow_unmixed,
    FlowArrangement::crossflow_charge_mixed, FlowArrangement::crossflow_coolant_mixed};

/// Compares with the published rows of one arrangement, seven figures computed from its formula.
void expect_published(const std::string& name, FlowArrangement arrangement,
                      bool charge_is_smaller = true) {
  for (const auto& row : test::published("kays_london_effectiveness.csv", "arrangement", name))
    EXPECT_NEAR(effectiveness(arrangement, row.number("transfer_units"),
                              row.number("capacity_ratio"), charge_is_smaller),
                row.number("effectiveness"), 1e-7)
        << name << " " << row.number("transfer_units") << " " << row.number("capacity_ratio");
}

}  // namespace

TEST(Effectiveness, AgreesWithKaysAndLondonCounterflow) {
  expect_published("counterflow", FlowArrangement::counterflow);
}
TEST(Effectiveness, AgreesWithKaysAndLondonParallelFlow) {
  expect_published("parallel", FlowArrangement::parallel);
}
TEST(Effectiveness, AgreesWithMasonSeriesForBothUnmixed) {
  expect_published("crossflow_unmixed", FlowArrangement::crossflow_unmixed);
}
TEST(Effectiveness, AgreesWithKaysAndLondonOneSideMixed) {
  using enum FlowArrangement;
  expect_published("smaller_rate_mixed", crossflow_charge_mixed, true);
  expect_published("smaller_rate_mixed", crossflow_coolant_mixed, false);
  expect_published("larger_rate_mixed", crossflow_coolant_mixed, true);
  expect_published("larger_rate_mixed", crossflow_charge_mixed, false);
}

// [Incropera and DeWitt, example 11.3, from memory] finned crossflow, capacity ratio 0.45: 2.1
// transfer units read from the chart for an effectiveness of 0.755; 2 % is the chart's reading.
TEST(Effectiveness, AgreesWithIncroperaExample) {
  EXPECT_NEAR(effectiveness(FlowArrangement::crossflow_unmixed, 2.1, 0.45), 0.755, 0.015);
}

TEST(Effectiveness, IsOneFormulaForAllWithoutCoolantRise) {
  for (const auto arrangement : kAll)
    for (const bool smaller : {true, false})
      EXPECT_NEAR(effectiveness(arrangement, 1.7, 0.0, smaller), 1.0 - std::exp(-1.7), 1e-14);
}

TEST(Effectiveness, LiesBetweenParallelAndCounterflowAndRises) {
  for (const double c : {0.0, 0.3, 0.7, 0.9999999999, 1.0}) {
    for (double n = 0.0; n <= 20.0; n += 0.25) {
      const double least = effectiveness(FlowArrangement::parallel, n, c);
      const double most = effectiveness(FlowArrangement::counterflow, n, c);
      for (const auto arrangement : kAll) {
        const double here = effectiveness(arrangement, n, c);
        EXPECT_LE(here, most + 1e-8) << n << " " << c;
        EXPECT_GE(here, least - 1e-12) << n << " " << c;
        EXPECT_LE(here, 1.0 + 1e-12);
      }
      EXPECT_LE(most, effectiveness(FlowArrangement::counterflow, std::min(n + 0.25, 20.0), c));
    }
  }
}

// Unmixed streams are alike: which one is the charge does not matter.
TEST(Effectiveness, UnmixedDoesNotCareWhichSideIsTheCharge) {
  EXPECT_EQ(effectiveness(FlowArrangement::crossflow_unmixed, 2.0, 0.6, true),
            effectiveness(FlowArrangement::crossflow_unmixed, 2.0, 0.6, false));
}

TEST(EffectivenessCurve, TakesUpWhatTheCoolantTakes) {
  const double coolant_rate = 150.0;
  const auto curve =
      effectiveness_curve(FlowArrangement::counterflow, 700.0, 0.5, 0.5, coolant_rate, 0.6);
  for (double flow = 0.02; flow <= 0.6; flow += 0.013) {
    const double charge_rate = flow * 1009.0;
    EXPECT_LE(curve->at(flow) * charge_rate, std::min(charge_rate, coolant_rate) * (1.0 + 1e-9));
  }
}

// At the reference flow the conductance is the given one: one point of the formulas above. The
// curve's own error is a few 1e-6.
TEST(EffectivenessCurve, MeetsTheFormulaBetweenItsNodes) {
  const auto curve =
      effectiveness_curve(FlowArrangement::crossflow_unmixed, 700.0, 0.5, 0.5, 1208.4, 0.9);
  const double rate = 0.5 * 1009.0;
  EXPECT_NEAR(curve->at(0.5),
              effectiveness(FlowArrangement::crossflow_unmixed, 700.0 / rate, rate / 1208.4), 1e-5);
  EXPECT_GT(curve->at(0.3), curve->at(0.8));
}

TEST(MeasuredEffectiveness, PassesThroughTheMeasurements) {
  const auto curve = measured_effectiveness({0.1, 0.3, 0.6}, {0.9, 0.8, 0.7});
  EXPECT_EQ(curve->at(0.3), 0.8);
  EXPECT_FALSE(curve->inside(0.7));
}

TEST(Cooler, TakesTheCoolantFromItsPlace) {
  Cooler<double> cooler;
  cooler.coolant_temperature = 280.0;
  cooler.coolant_rise = 12.0;
  EXPECT_EQ(cooler.coolant(300.0), 280.0);
  cooler.ambient_cooled = true;
  EXPECT_EQ(cooler.coolant(300.0), 312.0);
}

TEST(Cooler, LosesPressureLikeALossCoefficientAndScalesItsCurve) {
  Cooler<double> cooler;
  cooler.effectiveness = 0.9;
  cooler.loss_coefficient = 4.0;
  cooler.area = 0.012;
  // dp/p = K W^2/(2 rho A^2 p) = K/(2 A^2) W^2 R T/p^2.
  EXPECT_NEAR(cooler.resistance() * 4e-6, 4.0 * 4e-6 / (2.0 * 1.44e-4), 1e-14);
  EXPECT_NEAR(cooler.effectiveness_at(0.4), 0.9, 1e-15);
  cooler.shape = measured_effectiveness({0.1, 0.5}, {1.0, 0.8});
  EXPECT_NEAR(cooler.effectiveness_at(0.5), 0.72, 1e-15);
  test::expect_lanes_agree(
      [](auto w) {
        Cooler<decltype(w)> lanes;
        lanes.effectiveness = decltype(w)(0.9);
        lanes.shape = measured_effectiveness({0.1, 0.5}, {1.0, 0.8});
        return lanes.effectiveness_at(w);
      },
      {0.05, 0.2, 0.45, 0.8});
}

TEST(Cooler, NamesTheBadInput) {
  test::expect_every_field_guarded(Cooler<double>{});
  expect_refusal([] { effectiveness(FlowArrangement::parallel, -1.0, 0.5); },
                 "Cooler: transfer_units = -1; must be between 0 and 20");
  expect_refusal([] { effectiveness(FlowArrangement::parallel, 1.0, 1.5); },
                 "Cooler: capacity_ratio = 1.5; must be between 0 and 1");
  expect_refusal(
      [] {
        measured_effectiveness({0.1, 0.2}, {0.9, 1.1});
      },
      "Cooler: effectiveness = 1.1; must be between 0 and 1; a cooler cannot");
  expect_refusal(
      [] {
        measured_effectiveness({0.2, 0.1}, {0.9, 0.8});
      },
      "Cooler: mass_flow[1] = 0.1; must be greater than the one before it (0.2)");
  expect_refusal([] { effectiveness_curve(FlowArrangement::parallel, 0.0, 0.5, 0.5, 1000.0, 1.0); },
                 "Cooler: conductance = 0 W/K");
}

}  // namespace airchain::cooler
