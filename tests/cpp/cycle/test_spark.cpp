#include "airchain/cycle/spark.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cycle/cycle.hpp"
#include "support/bad_input.hpp"
#include "support/demo_cycle.hpp"

namespace airchain::cycle {

using base::kDegree;

namespace {

Setup coarse(double octane = 98.0) {
  test::DemoEngine e;
  e.intake_cells = e.exhaust_cells = 8;
  auto s = test::demo_cycle(e);
  s.octane = octane;
  return s;
}

Point<double> boosted(double rpm = 3000) { return test::demo_point(rpm, 180e3, 115e3); }

/// Seeks greatest work wherever the cycle alone puts it.
SparkSearch anywhere() {
  SparkSearch search;
  search.earliest_best = search.earliest;
  return search;
}

CycleResult at(const Setup& s, Point<double> p, double phasing) {
  p.half_burned = phasing;
  return solve_line(s, {p})[0];
}

}  // namespace

// Cold runs on both sides of what was found: less work, and more and less knock than the level.
// Common practice, no source: best torque with half burned 8 to 10 degrees after top centre; a burn
// in one zone without dissociation or crevices, whose loss ends with the burn, reads some earlier.
TEST(SparkSearch, FindsGreatestWorkAndTheKnockLevel) {
  const auto s = coarse();
  const auto r = find_spark(s, boosted(), anywhere());
  ASSERT_EQ(r.best_status, SparkStatus::found);
  ASSERT_EQ(r.limit_status, SparkStatus::found);
  EXPECT_GT(r.best_half_burned, 3.0 * kDegree);
  EXPECT_LT(r.best_half_burned, 12.0 * kDegree);
  const double best = at(s, boosted(), r.best_half_burned).imep;
  EXPECT_NEAR(r.best.imep, best, 2e-4 * best);
  for (const double off : {-2.5, 2.5})
    EXPECT_LT(at(s, boosted(), r.best_half_burned + off * kDegree).imep, best);
  const double d = 0.3 * kDegree;
  EXPECT_GT(at(s, boosted(), r.limit_half_burned - d).knock_integral, 1.0);
  EXPECT_LT(at(s, boosted(), r.limit_half_burned + d).knock_integral, 1.0);
}

// The same place whatever phasing the point has of its own.
TEST(SparkSearch, DoesNotDependOnTheOwnPhasing) {
  const auto s = coarse();
  auto early = boosted(), late = boosted();
  early.half_burned = -5.0 * kDegree;
  late.half_burned = 35.0 * kDegree;
  const auto a = find_spark(s, early, anywhere()), b = find_spark(s, late, anywhere());
  EXPECT_NEAR(a.best_half_burned, b.best_half_burned, 0.4 * kDegree);
  EXPECT_NEAR(a.limit_half_burned, b.limit_half_burned, 0.2 * kDegree);
  EXPECT_NEAR(a.best.imep, b.best.imep, 2e-4 * a.best.imep);
  EXPECT_LT(a.trials, 16.0);
  EXPECT_LT(b.trials, 16.0);
}

TEST(SparkSearch, TellsMarginsTorqueLeftAndSpark) {
  const auto s = coarse();
  auto search = anywhere();
  search.spark_delay = 0.2e-3;
  auto p = boosted();
  p.half_burned = 25.0 * kDegree;
  const auto r = find_spark(s, p, search);
  EXPECT_GT(r.torque_left, 0.02);
  EXPECT_DOUBLE_EQ(r.torque_left, r.best.imep / r.own.imep - 1.0);
  EXPECT_DOUBLE_EQ(r.own_margin, p.half_burned - r.limit_half_burned);
  EXPECT_DOUBLE_EQ(r.best_margin, r.best_half_burned - r.limit_half_burned);
  const double used = r.best_margin >= 0.0 ? r.best_half_burned : r.limit_half_burned;
  EXPECT_EQ(r.usable_half_burned, used);
  // Half of Wiebe's burn of exponent 3 and factor 5 lies at (ln(2/(1 + e^-5))/5)^(1/3).
  const double half = std::cbrt(std::log(2.0 / (1.0 + std::exp(-5.0))) / 5.0);
  EXPECT_NEAR(r.best_spark, r.best_half_burned - half * r.best.burn_duration - 0.2e-3 * p.speed,
              1e-12);
  EXPECT_LT(r.best_spark, -10.0 * kDegree);
}

// Common practice, no source: boost and poor fuel move the limit later, good fuel frees the spark.
TEST(SparkSearch, KnockLimitAnswersToBoostAndOctane) {
  const auto poor = find_spark(coarse(85.0), boosted());
  const auto good = find_spark(coarse(98.0), boosted());
  ASSERT_EQ(poor.limit_status, SparkStatus::found);
  EXPECT_GT(poor.limit_half_burned, good.limit_half_burned + 4.0 * kDegree);
  EXPECT_LT(poor.usable_imep, good.usable_imep);
  const auto unboosted = find_spark(coarse(85.0), test::demo_point(3000));
  EXPECT_LT(unboosted.limit_half_burned, poor.limit_half_burned - 4.0 * kDegree);
}

TEST(SparkSearch, SaysInWordsWhyThereIsNoLimit) {
  const auto free = find_spark(coarse(120.0), test::demo_point(6000, 60e3, 103e3));
  EXPECT_EQ(free.limit_status, SparkStatus::never_knocks);
  EXPECT_TRUE(std::isnan(free.limit_half_burned));
  EXPECT_EQ(free.usable_half_burned, free.best_half_burned);
  auto hot = test::demo_point(1500, 300e3, 250e3);
  hot.plenum_temperature = 420.0;
  const auto always = find_spark(coarse(60.0), hot);
  EXPECT_EQ(always.limit_status, SparkStatus::always_knocks);
  EXPECT_TRUE(std::isnan(always.usable_half_burned));
  EXPECT_TRUE(always.best_status == SparkStatus::found ||
              always.best_status == SparkStatus::at_the_earliest);
  Controls hurried;
  hurried.most_cycles = 2;
  hurried.tolerance = 1e-9;
  const auto none = find_spark(coarse(), boosted(), {}, hurried);
  EXPECT_EQ(none.best_status, SparkStatus::not_converged);
  EXPECT_EQ(none.limit_status, SparkStatus::not_converged);
  EXPECT_TRUE(std::isnan(none.best.imep));
}

// Work still rises at the edge of a range that leaves the best out.
TEST(SparkSearch, SaysWhenTheRangeLeavesTheBestOut) {
  auto p = boosted();
  p.half_burned = 40.0 * kDegree;
  SparkSearch late;
  late.earliest = 17.0 * kDegree;
  EXPECT_EQ(find_spark(coarse(), p, late).best_status, SparkStatus::at_the_earliest);
}

// Common practice, no source: best torque on dynos has half burned 8 to 10 degrees after top
// centre.
TEST(SparkSearch, TellsNoBestTorqueEarlierThanDynosShow) {
  for (const double own : {8.0, 20.0}) {
    auto p = boosted(6000);
    p.half_burned = own * kDegree;
    const auto free = find_spark(coarse(), p, anywhere());
    ASSERT_LT(free.best_half_burned, 7.0 * kDegree);
    const auto r = find_spark(coarse(), p);
    EXPECT_EQ(r.best_status, SparkStatus::at_the_earliest);
    EXPECT_NEAR(r.best_half_burned, cylinder::kBestPhasing, 1e-12);
    EXPECT_GE(r.usable_half_burned, cylinder::kBestPhasing - 1e-12);
    EXPECT_LT(r.best.imep, free.best.imep);
    EXPECT_NEAR(r.limit_half_burned, free.limit_half_burned, 0.2 * kDegree);
  }
  // Who runs it earlier is told where the work is.
  auto early = boosted(6000);
  early.half_burned = -4.0 * kDegree;
  EXPECT_LT(find_spark(coarse(), early).best_half_burned, 7.0 * kDegree);
}

TEST(SparkSearch, NamesTheBadInput) {
  test::expect_every_field_guarded(SparkSearch{});
  SparkSearch s;
  s.knock_level = 0.0;
  test::expect_refusal([&] { find_spark(coarse(), boosted(), s); }, "SparkSearch: knock_level = 0");
}

// A point phased by a spark at the start of its burn is the point phased by its half burned.
TEST(Phasing, BySparkOrByHalfBurnedIsTheSame) {
  auto s = coarse();
  const auto p = test::demo_point(4000);
  const auto by_half = solve_line(s, {p})[0];
  EXPECT_NEAR(by_half.half_burned, p.half_burned, 1e-12);
  s.phasing = Phasing::spark;
  auto q = p;
  q.half_burned = 0.9;
  q.spark = by_half.burn_start;
  const auto by_spark = solve_line(s, {q})[0];
  EXPECT_NEAR(by_spark.half_burned, p.half_burned, 1e-4);
  EXPECT_NEAR(by_spark.imep, by_half.imep, 1e-3 * by_half.imep);
  test::expect_refusal([&] { find_spark(s, q); }, "SparkSearch: the setup is phased by the spark");
}

// Heat to the walls makes a late burn pay: without it greatest work has half burned just after top
// centre; trade's 8 to 10 degrees (common practice, no source) need twice Woschni's coefficient.
TEST(SparkSearch, HeatToTheWallsSetsTheBestPhasing) {
  auto s = test::demo_cycle();
  s.intake.cells = s.exhaust.cells = 0;
  double before = -1.0;
  for (const double multiplier : {0.0, 0.5, 1.0, 2.0}) {
    s.heat_loss.multiplier = multiplier;
    const auto found = find_spark(s, test::demo_point(2500), anywhere());
    ASSERT_EQ(found.best_status, SparkStatus::found) << multiplier;
    const double best = found.best_half_burned / kDegree;
    EXPECT_GT(best, before + 1.0) << multiplier;
    if (multiplier == 0.0) {
      EXPECT_NEAR(best, 0.3, 0.5);
    } else if (multiplier == 2.0) {
      EXPECT_NEAR(best, 9.0, 1.0);
    }
    before = best;
  }
}

}  // namespace airchain::cycle
