#include "airchain/sweep/cycles.hpp"

#include <gtest/gtest.h>

#include "support/bad_input.hpp"
#include "support/demo_cycle.hpp"
#include "support/lanes.hpp"

namespace airchain::sweep {

namespace {

cycle::Setup coarse() {
  test::DemoEngine e;
  e.intake_cells = e.exhaust_cells = 8;
  return test::demo_cycle(e);
}

std::vector<cycle::Point<double>> some_points() {
  std::vector<cycle::Point<double>> points;
  for (int i = 0; i < 11; ++i)
    points.push_back(test::demo_point(3000 + 500 * (i % 7), 80e3 + 11e3 * i));
  return points;
}

}  // namespace

// Alone, in a batch, on one thread or three: the same to the last bit.
TEST(RunCycles, IsTheSameForAnyNumberOfThreads) {
  const auto s = coarse();
  const auto points = some_points();
  std::vector<cycle::CycleResult> one(points.size()), three(points.size());
  ASSERT_TRUE(run_cycles(s, points, {}, one.data(), 1));
  ASSERT_TRUE(run_cycles(s, points, {}, three.data(), 3));
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto alone = cycle::solve_line(s, {points[i]})[0];
    EXPECT_TRUE(one[i].converged);
    for (const auto& number : cycle::kResultNumbers) {
      const double wanted = alone.*number.member;
      EXPECT_TRUE(test::same_bits(one[i].*number.member, wanted)) << i << ' ' << number.name;
      EXPECT_TRUE(test::same_bits(three[i].*number.member, wanted)) << i << ' ' << number.name;
    }
  }
}

// Lines of points: each as `solve_line` solves it, on any number of threads.
TEST(RunCycles, SolvesLinesWarm) {
  const auto s = coarse();
  std::vector<cycle::Point<double>> points;
  for (int rpm : {3000, 4500, 6000})
    for (double plenum : {90e3, 100e3, 110e3}) points.push_back(test::demo_point(rpm, plenum));
  std::vector<cycle::CycleResult> out(points.size());
  std::size_t done = 0;
  const auto count = [&](std::size_t n) { return done = n, true; };
  ASSERT_TRUE(run_cycles(s, points, {}, out.data(), 2, count, 3));
  EXPECT_EQ(done, 9u);
  for (std::size_t i = 0; i < points.size(); i += 3) {
    const auto line = cycle::solve_line(s, {points[i], points[i + 1], points[i + 2]});
    for (std::size_t k = 0; k < 3; ++k)
      for (const auto& number : cycle::kResultNumbers)
        EXPECT_TRUE(test::same_bits(out[i + k].*number.member, line[k].*number.member));
  }
  test::expect_refusal([&] { run_cycles(s, points, {}, out.data(), 1, {}, 2); },
                       "line = 2 of 9 points; must be a divisor");
}

// Searches in lanes and on threads find to the last bit what each finds alone.
TEST(RunSparkSearches, IsTheSameForAnyNumberOfThreads) {
  const auto s = coarse();
  const auto points = some_points();
  std::vector<cycle::SparkResult> one(points.size()), three(points.size());
  ASSERT_TRUE(run_spark_searches(s, points, {}, {}, one.data(), 1));
  ASSERT_TRUE(run_spark_searches(s, points, {}, {}, three.data(), 3));
  for (std::size_t i = 0; i < points.size(); ++i) {
    const auto alone = i % 4 == 0 ? cycle::find_spark(s, points[i]) : one[i];
    for (const auto* other : std::initializer_list<const cycle::SparkResult*>{&three[i], &alone}) {
      EXPECT_EQ(one[i].best_status, other->best_status);
      EXPECT_EQ(one[i].limit_status, other->limit_status);
      for (const auto& number : cycle::kSparkNumbers)
        EXPECT_TRUE(test::same_bits(one[i].*number.member, other->*number.member)) << number.name;
      for (const auto& number : cycle::kResultNumbers)
        EXPECT_TRUE(test::same_bits(one[i].limit.*number.member, other->limit.*number.member)) << i;
    }
  }
}

TEST(RunCycles, TellsProgressAndStops) {
  const auto points = some_points();
  std::vector<cycle::CycleResult> out(points.size());
  std::size_t last = 0;
  EXPECT_TRUE(run_cycles(coarse(), points, {}, out.data(), 1, [&](std::size_t done) {
    EXPECT_GE(done, last);
    last = done;
    return true;
  }));
  EXPECT_EQ(last, points.size());
  EXPECT_FALSE(run_cycles(coarse(), points, {}, out.data(), 1, [](std::size_t) { return false; }));
}

TEST(RunCycles, RefusesBadPointsBeforeAnyWork) {
  auto points = some_points();
  points[7].plenum_pressure = -1.0;
  std::vector<cycle::CycleResult> out(points.size());
  test::expect_refusal([&] { run_cycles(coarse(), points, {}, out.data(), 1); },
                       "CyclePoint: plenum_pressure = -1 Pa");
}

}  // namespace airchain::sweep
