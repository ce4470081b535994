#include "airchain/engine/engine.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "support/bad_input.hpp"
#include "support/demo_engine.hpp"
#include "support/lanes.hpp"

namespace airchain::engine {

namespace {

using test::demo_collector;
using test::demo_engine_point;
using test::demo_plenum;
using test::demo_v_eight;
using test::DemoEngine;
using test::spread;

/// Short pipes of few cells, for tests that look at no figure.
DemoEngine small() {
  DemoEngine size;
  size.intake_cells = 10;
  size.exhaust_cells = 10;
  return size;
}

Engine with_rooms(Engine e) {
  e.plenum = {demo_plenum()};
  e.collectors = {demo_collector()};
  return e;
}

const std::vector<std::size_t> kAll{0, 1, 2, 3, 4, 5, 6, 7}, kLeft{0, 2, 4, 6};

}  // namespace

// The same kernel: stands in one place and nothing answers, so every bit is the one cylinder's.
TEST(Engine, IsBitwiseTheOneCylinderWithoutRoomsAndInPhase) {
  auto e = demo_v_eight("crossplane", small());
  std::fill(e.firing.begin(), e.firing.end(), 0.0);
  const auto point = demo_engine_point(4100, 120e3, 110e3);
  const auto one = cycle::solve_line(e.kinds[0], {point.point})[0];
  const auto all = solve(e, point);
  ASSERT_TRUE(one.converged && all.converged);
  for (const auto& r : all.cylinders)
    for (const auto& number : cycle::kResultNumbers)
      EXPECT_TRUE(test::same_bits(r.*number.member, one.*number.member)) << number.name;
}

TEST(Engine, FiringOrderMovesNothingWithoutRooms) {
  const auto e = demo_v_eight("crossplane", small());
  cycle::Controls fine;
  fine.tolerance = 1e-6;
  const auto point = demo_engine_point(5200);
  const auto one = cycle::solve_line(e.kinds[0], {point.point}, fine)[0];
  const auto all = solve(e, point, fine);
  ASSERT_TRUE(all.converged);
  EXPECT_LT(spread(all, kAll), 1e-4);
  for (const auto& r : all.cylinders) EXPECT_NEAR(r.fresh_mass / one.fresh_mass, 1.0, 1e-4);
}

// On steps that end at crank marks cylinders that fire evenly are the same sums, in another order
// of time.
TEST(Engine, EvenCylindersAgreeToRoundingOnCrankMarks) {
  auto e = demo_v_eight("crossplane", small());
  cycle::Controls fine;
  fine.tolerance = 1e-13;
  fine.most_cycles = 30;
  const auto point = demo_engine_point(5200);
  const auto free = solve(e, point, fine);
  EXPECT_GT(spread(free, kAll), 1e-9);
  e.mark = 0.25 * base::kDegree;
  const auto locked = solve(e, point, fine);
  EXPECT_LT(spread(locked, kAll), 1e-12);
  EXPECT_NEAR(locked.cylinders[0].fresh_mass / free.cylinders[0].fresh_mass, 1.0, 1e-3);
}

// Of cylinders, pipes and rooms together, settled or cut short.
TEST(Engine, ConservesMassAndEnergySettledOrNot) {
  const auto e = with_rooms(demo_v_eight("crossplane", small()));
  auto trimmed = demo_engine_point(3300, 150e3, 120e3);
  trimmed.later = {0.05, 0, 0, 0, -0.05, 0, 0, 0};
  for (const double most : {2.0, 60.0}) {
    cycle::Controls controls;
    controls.most_cycles = most;
    const auto r = solve(e, trimmed, controls);
    EXPECT_EQ(r.converged, most > 2.0);
    EXPECT_LT(std::abs(r.mass_error), 1e-9);
    EXPECT_LT(std::abs(r.energy_error), 1e-9);
    EXPECT_GT(std::abs(r.mass_error) + std::abs(r.energy_error), 0.0);
    for (const auto& c : r.cylinders) {
      EXPECT_LT(std::abs(c.mass_error), 1e-9);
      EXPECT_LT(std::abs(c.energy_error), 1e-9);
    }
  }
}

// A plenum that is fed steadily stands at the point's pressure in the mean, and is drawn from.
TEST(Engine, HoldsTheMeanPressureOfAFedRoom) {
  auto e = with_rooms(demo_v_eight("crossplane", small()));
  e.collectors[0].pipe.cells = 0;
  e.collectors[0].volume = 6e-3;
  EngineTrace trace;
  const auto r = solve(e, demo_engine_point(4100), {}, &trace);
  ASSERT_TRUE(r.converged);
  EXPECT_NEAR(r.rooms[0].pressure, 100e3, 3e-4 * 100e3);
  EXPECT_NEAR(r.rooms[1].pressure, 103e3, 3e-4 * 103e3);
  ASSERT_EQ(trace.columns, 28u);
  double low = 1e9, high = 0.0, mean = 0.0, before = 0.0, time = 0.0;
  for (std::size_t at = 0; at < trace.values.size(); at += trace.columns) {
    const double angle = trace.values[at], plenum = trace.values[at + 1];
    low = std::min(low, plenum);
    high = std::max(high, plenum);
    if (at > 0) {
      mean += (angle - before) * plenum;
      time += angle - before;
    }
    before = angle;
  }
  EXPECT_NEAR(mean / time, r.rooms[0].pressure, 1e-4 * 100e3);
  EXPECT_NEAR(time, 4.0 * base::kPi, 0.05);
  EXPECT_GT(high - low, 500.0);
}

// The four of a bank fire a quarter of a cycle apart into one collector: none is told from another.
TEST(Engine, FlatBankHasNoSpreadAndACrossplaneOneHas) {
  const auto point = demo_engine_point(4500);
  cycle::Controls fine;
  fine.tolerance = 3e-5;
  auto flat = with_rooms(demo_v_eight("flat", small()));
  const auto even = solve(flat, point, fine);
  ASSERT_TRUE(even.converged);
  EXPECT_LT(spread(even, kLeft), 2e-4);
  auto cross = with_rooms(demo_v_eight("crossplane", small()));
  const auto uneven = solve(cross, point, fine);
  ASSERT_TRUE(uneven.converged);
  EXPECT_GT(spread(uneven, kLeft), 0.02);
  // A turn later the other bank does what this one did.
  const std::size_t partner[] = {5, 2, 1, 6, 7, 0, 3, 4};
  for (std::size_t c = 0; c < 8; ++c)
    EXPECT_NEAR(std::abs(cross.firing[c] - cross.firing[partner[c]]), 2.0 * base::kPi, 1e-9);
  for (std::size_t c = 0; c < 8; ++c)
    EXPECT_NEAR(uneven.cylinders[c].fresh_mass / uneven.cylinders[partner[c]].fresh_mass, 1.0, 4e-4)
        << c;
}

// Pipes of their own make cylinders differ though nothing joins them; so does a spark of their own.
TEST(Engine, CylindersMayDiffer) {
  auto e = demo_v_eight("crossplane", small());
  auto longer = small();
  longer.primary = 1.0;
  e.kinds.push_back(test::demo_cycle(longer));
  e.kind = {0, 0, 1, 0, 0, 0, 0, 1};
  auto point = demo_engine_point(4100);
  point.later = {0, 0.1, 0, 0, 0, 0, 0, 0};
  const auto r = solve(e, point);
  const auto own = cycle::solve_line(e.kinds[1], {point.point})[0];
  EXPECT_NEAR(r.cylinders[2].fresh_mass / own.fresh_mass, 1.0, 5e-4);
  EXPECT_NEAR(r.cylinders[7].fresh_mass / own.fresh_mass, 1.0, 5e-4);
  EXPECT_LT(r.cylinders[1].knock_integral, 0.9 * r.cylinders[3].knock_integral);
  EXPECT_LT(r.cylinders[1].peak_pressure, 0.95 * r.cylinders[3].peak_pressure);
}

TEST(Engine, StopsWhenAsked) {
  const auto e = with_rooms(demo_v_eight("crossplane", small()));
  int asked = 0;
  const auto r = solve(e, demo_engine_point(4100), {}, nullptr, [&] { return ++asked < 3; });
  EXPECT_EQ(asked, 3);
  EXPECT_TRUE(r.cylinders.empty());
}

TEST(Engine, NamesTheBadInput) {
  test::expect_every_field_guarded(demo_plenum());
  const auto refused = [](const Engine& e, const char* part) {
    test::expect_refusal([&] { validate(e); }, part);
  };
  auto e = with_rooms(demo_v_eight());
  e.plenum[0].volume = 0.0;
  refused(e, "EngineRoom: volume = 0");
  e = with_rooms(demo_v_eight());
  e.collector.pop_back();
  refused(e, "7 collectors");
  e.collector = {0, 0, 0, 0, 2, 2, 2, 2};
  refused(e, "collector 1 has no primary");
  e = demo_v_eight();
  e.mark = 0.2;
  refused(e, "mark");
  e = demo_v_eight();
  e.kind[3] = 1;
  refused(e, "kind 1");
  auto point = demo_engine_point(3000);
  point.later = {0.1};
  test::expect_refusal([&] { solve(demo_v_eight(), point); }, "1 trims of the spark");
  point.later.assign(8, 2.0);
  test::expect_refusal([&] { solve(demo_v_eight(), point); }, "a cylinder's trim moves it there");
}

// Grid and step halved, with merge and collector pipe: the spread is no artefact of either.
TEST(SlowEngine, SpreadStandsWhenGridAndStepAreHalved) {
  const auto run = [](int fineness) {
    DemoEngine size;
    size.intake_cells = 30 * fineness;
    size.exhaust_cells = 20 * fineness;
    auto e = demo_v_eight("crossplane", size);
    e.plenum = {demo_plenum()};
    e.collectors = {demo_collector(1e-3, 0.1016, 9.0 * fineness)};
    cycle::Controls controls;
    controls.largest_step /= fineness;
    controls.tolerance = 5e-5;
    return solve(e, demo_engine_point(4500), controls);
  };
  const auto coarse = run(1), fine = run(2);
  ASSERT_TRUE(coarse.converged && fine.converged);
  for (std::size_t c = 0; c < 8; ++c)
    EXPECT_NEAR(coarse.cylinders[c].fresh_mass / fine.cylinders[c].fresh_mass, 1.0, 0.01) << c;
  EXPECT_NEAR(spread(coarse, kAll), spread(fine, kAll), 0.01);
  EXPECT_GT(spread(fine, kAll), 0.05);
}

}  // namespace airchain::engine
