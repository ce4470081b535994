#include "airchain/sweep/cycles.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

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

// What comes back from the collector is as hot as what leaves, found with the cycle: the same point
// with its collector held there is the same.
TEST(RunCycles, CollectorIsAsHotAsWhatLeaves) {
  auto s = coarse();
  std::vector<cycle::Point<double>> points;
  for (double rpm : {2000, 3500, 5000})
    for (double plenum : {65e3, 100e3, 190e3}) points.push_back(test::demo_point(rpm, plenum));
  cycle::Controls controls;
  controls.tolerance = 1e-7;
  std::vector<cycle::CycleResult> followed(points.size()), held(points.size()), far(points.size()),
      cold(points.size());
  ASSERT_TRUE(run_cycles(s, points, controls, followed.data(), 2));
  for (auto& p : points) p.collector_temperature = 400.0;
  s.collector = cycle::Collector::held;
  ASSERT_TRUE(run_cycles(s, points, controls, cold.data(), 2));
  for (std::size_t i = 0; i < points.size(); ++i)
    points[i].collector_temperature = followed[i].exhaust_temperature;
  ASSERT_TRUE(run_cycles(s, points, controls, held.data(), 2));
  double moved = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    EXPECT_TRUE(followed[i].converged) << i;
    const double filling = followed[i].volumetric_efficiency;
    EXPECT_NEAR(held[i].volumetric_efficiency / filling, 1.0, 1e-5) << i;
    EXPECT_NEAR(held[i].exhaust_temperature, followed[i].exhaust_temperature, 0.05) << i;
    moved = std::max(moved, std::abs(cold[i].volumetric_efficiency / filling - 1.0));
  }
  EXPECT_GT(moved, 0.01);
}

namespace {

/// An engine and points within what is allowed, none of them likely.
struct Absurd {
  cycle::Setup setup;
  std::vector<cycle::Point<double>> points;
};

Absurd absurd(std::mt19937& random, int points) {
  const auto any = [&](double low, double high) {
    return low + (high - low) * (double(random()) / 4294967296.0);
  };
  const auto spread = [&](double low, double high) {
    return low * std::pow(high / low, any(0, 1));
  };
  test::DemoEngine e;
  e.intake_duration = any(190, 290);
  e.intake_seat = e.intake_duration + any(35, 60);
  e.exhaust_duration = any(190, 290);
  e.exhaust_seat = e.exhaust_duration + any(35, 60);
  e.separation = any(98, 120);
  e.centreline = e.separation + any(-8, 8);
  Absurd a{test::demo_cycle(e), {}};
  a.setup.collector = random() % 2 == 0 ? cycle::Collector::follows : cycle::Collector::held;
  const auto pipe = [&](cycle::Runner& runner, const cycle::ValveArea& valve, double longest) {
    const double d = std::sqrt(4.0 / base::kPi * valve.area.highest()) * any(1.01, 1.5);
    runner.taper = {any(0.1, longest), d * any(0.8, 1.5), d, any(0.0, 0.02)};
    const double cells[] = {0, 4, 8, 15};
    runner.cells = cells[random() % 4];
  };
  pipe(a.setup.intake, a.setup.intake_valve, 1.0);
  pipe(a.setup.exhaust, a.setup.exhaust_valve, 2.0);
  a.setup.crank.compression_ratio = any(7, 16);
  for (int i = 0; i < points; ++i) {
    const bool vacuum = random() % 2 == 0;
    const double exhaust = spread(30e3, 300e3), ratio = vacuum ? spread(0.1, 1) : spread(1, 4);
    auto p =
        test::demo_point(spread(300, 18000), std::clamp(exhaust * ratio, 20e3, 600e3), exhaust);
    p.plenum_temperature = any(230, 450);
    p.half_burned = any(-0.1, 0.6);
    p.collector_temperature = any(400, 1400);
    a.points.push_back(p);
  }
  return a;
}

}  // namespace

// Every number of every point is finite; a point either settles or says that it has not.
TEST(RunCycles, AnswersAbsurdPoints) {
  std::mt19937 random(20261126);
  int settled = 0, told = 0;
  for (int engine = 0; engine < 12; ++engine) {
    const Absurd a = absurd(random, 8);
    std::vector<cycle::CycleResult> out(a.points.size());
    ASSERT_TRUE(run_cycles(a.setup, a.points, {}, out.data(), 2));
    for (std::size_t i = 0; i < out.size(); ++i) {
      const auto& p = a.points[i];
      ++(out[i].converged ? settled : told);
      for (const auto& number : cycle::kResultNumbers)
        EXPECT_TRUE(std::isfinite(out[i].*number.member))
            << engine << ' ' << number.name << ' ' << p.speed << ' ' << p.plenum_pressure << ' '
            << p.exhaust_pressure;
      EXPECT_LT(std::abs(out[i].mass_error), 1e-9);
      EXPECT_LT(std::abs(out[i].energy_error), 1e-9);
      EXPECT_GT(out[i].volumetric_efficiency, -1e-6);
    }
    const auto plain = cycle::solve_line(a.setup, {a.points[0]})[0];
    EXPECT_TRUE(test::same_bits(out[0].imep, plain.imep)) << engine;
  }
  EXPECT_GT(settled, 19 * told);
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

namespace {

/// A short runner in many cells: every step is as short as its cells.
cycle::Setup fine_cells(double length) {
  auto setup = test::demo_cycle();
  setup.intake.cells = 400;
  setup.intake.taper = {length, 0.046, 0.046, 0.006};
  return setup;
}

}  // namespace

// One point of minutes is stopped before it has an answer.
TEST(RunCycles, StopsWithinAPoint) {
  const auto setup = fine_cells(0.06);
  cycle::CycleResult out{};
  std::size_t asked = 0, last = 1;
  EXPECT_FALSE(run_cycles(setup, {test::demo_point(250)}, {}, &out, 1, [&](std::size_t done) {
    ++asked;
    last = done;
    return false;
  }));
  EXPECT_EQ(asked, 1u);
  EXPECT_EQ(last, 0u);
  asked = 0;
  const auto traced = cycle::trace(setup, test::demo_point(250), {}, [&] { return ++asked < 5; });
  EXPECT_EQ(asked, 5u);
  EXPECT_TRUE(traced.rows.empty());
}

// Two counts of one cost: steps of cells as estimated, and as a trace shows them.
TEST(RunCycles, RefusesAPointOfAbsurdCost) {
  cycle::CycleResult out{};
  auto slow = test::demo_point(191);
  test::expect_refusal([&] { run_cycles(fine_cells(0.02), {slow}, {}, &out, 1); },
                       "million steps of a cell in one cycle at speed = ");
  const auto setup = test::demo_cycle();
  for (const double rpm : {1500.0, 6000.0}) {
    const auto point = test::demo_point(rpm);
    const double steps = double(cycle::trace(setup, point).rows.size());
    const double estimate = cycle::cell_steps(setup, point, {}) / 60.0;
    EXPECT_GT(estimate, 0.5 * steps) << rpm;
    EXPECT_LT(estimate, 2.0 * steps) << rpm;
  }
}

TEST(RunCycles, RefusesBadPointsBeforeAnyWork) {
  auto points = some_points();
  points[7].plenum_pressure = -1.0;
  std::vector<cycle::CycleResult> out(points.size());
  test::expect_refusal([&] { run_cycles(coarse(), points, {}, out.data(), 1); },
                       "CyclePoint: plenum_pressure = -1 Pa");
}

}  // namespace airchain::sweep
