#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "airchain/chain/solve.hpp"
#include "airchain/gas/nozzle.hpp"
#include "airchain/numerics/root.hpp"
#include "airchain/surge/lift_off.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"

namespace airchain::surge {

using test::boosted_chain;

namespace {

LiftOff usual() {
  LiftOff how;
  how.volume = 0.012;
  how.plenum_volume = 0.007;
  how.length = 1.5;
  how.flow_area = 0.0062;
  return how;
}

/// Whether a course is as `needed_area` wants it: at least 1.
double room(const Course& course, double wanted) {
  return std::min(course.lowest_share, course.held_share / wanted);
}

/// The rule of thumb: the area that passes a multiple of the surge flow steadily, from the pressure
/// that the compressor makes there.
///
///     A = W sqrt(R T)/(p psi(p_ambient/p))                          [St Venant and Wantzel]
double steady_area(const chain::Chain<double>& chain, double wanted, double leak) {
  chain::Setup<double> setup(chain);
  setup.set_speed(chain);
  auto line = chain.compressor.map->table().line(setup.speed);
  using Map = compressor::CompressorMap;
  const double left = line.one_at<Map::phi>(0.0);
  const auto root = numerics::bracketed_root<double>(
      [&](double x) { return line.one_at<Map::phi>(x) / left - wanted; }, 0.0, 1.0, 0.2, 0.5, 1e-12,
      1e-14);
  chain::Path<double> p;
  chain::boosted_path<false>(chain, setup, line, root.x, p);
  const double pressure = p.throttle_inlet_pressure;
  const double warm = p.cooler_outlet_temperature;
  const double psi = gas::nozzle_flow_function(setup.ambient.pressure / pressure,
                                               setup.gas.heat_capacity_ratio(warm));
  const double all = p.flow * std::sqrt(setup.load_constant * warm) / (pressure * psi);
  // What the shut throttle still passes, choked.
  const double plates = leak * chain.throttle.area * chain.throttle.discharge_coefficient;
  return all - plates * throttle::Throttle<double>::kChokedFlow / psi;
}

}  // namespace

// Two answers to one question: with a throttle that stays open the course is the chain's own match.
TEST(LiftOff, StaysAtTheMatchWhileTheThrottleIsOpen) {
  auto how = usual();
  how.shut_opening = 1.0;
  auto c = boosted_chain();
  c.ambient.relative_humidity = 0.0;  // what condenses in the cooler is left out
  const auto matched = chain::solve(c);
  const auto course = lift_off(c, how, {});
  const auto& last = course.moments.back();
  EXPECT_NEAR(last.compressor_flow / matched.compressor_flow, 1.0, 1e-9);
  EXPECT_NEAR(last.plenum_pressure / matched.plenum_pressure, 1.0, 1e-9);
  EXPECT_NEAR(last.pressure / matched.throttle_inlet_pressure, 1.0, 1e-9);
  EXPECT_EQ(course.kind, Kind::none);
}

TEST(LiftOff, SurgesWithoutAValveAndNotWithALargeQuickOne) {
  const auto bare = lift_off(boosted_chain(), usual(), {});
  EXPECT_EQ(bare.kind, Kind::deep);
  EXPECT_LT(bare.lowest_flow, 0.0);
  EXPECT_GT(bare.reversals, 3.0);
  EXPECT_GT(bare.pressure_swing, 2e4);
  const auto quick = lift_off(boosted_chain(), usual(), {2e-3, 0.0, 0.02});
  EXPECT_EQ(quick.kind, Kind::none);
  EXPECT_GT(quick.lowest_share, 1.0);
  EXPECT_EQ(quick.reversals, 0.0);
  EXPECT_TRUE(std::isnan(quick.frequency));
}

// A throttle that shuts slowly is steady at every moment: then the rule of thumb holds.
TEST(LiftOff, NeedsTheAreaOfTheSteadyRuleWhereTheThrottleShutsSlowly) {
  auto how = usual();
  how.closing_time = 1.0;
  how.duration = 0.2;
  how.shut_opening = 1e-3;
  const double steady = steady_area(boosted_chain(), 1.2, how.shut_opening);
  const double area = needed_area(boosted_chain(), how, {steady, 0.0, 0.1}, 1.2);
  EXPECT_NEAR(area / steady, 1.0, 0.01);
}

TEST(LiftOff, FindsTheEdgesOfAreaAndOpeningTime) {
  const ReliefValve valve{1e-3, 0.02, 0.05};
  const double area = needed_area(boosted_chain(), usual(), valve, 1.1);
  EXPECT_GE(room(lift_off(boosted_chain(), usual(), {area, 0.02, 0.05}), 1.1), 1.0);
  EXPECT_LT(room(lift_off(boosted_chain(), usual(), {0.99 * area, 0.02, 0.05}), 1.1), 1.0);
  const double longest = longest_opening(boosted_chain(), usual(), valve, 1.1);
  EXPECT_GT(longest, 0.05);
  EXPECT_GE(room(lift_off(boosted_chain(), usual(), {1e-3, 0.02, longest}), 1.1), 1.0);
  EXPECT_LT(room(lift_off(boosted_chain(), usual(), {1e-3, 0.02, 1.02 * longest}), 1.1), 1.0);
  // A valve that wakes up when all is over: no area helps.
  EXPECT_TRUE(std::isinf(needed_area(boosted_chain(), usual(), {1e-3, 0.5, 0.05}, 1.1)));
  EXPECT_TRUE(std::isnan(longest_opening(boosted_chain(), usual(), {1e-3, 0.5, 0.05}, 1.1)));
  auto open = usual();
  open.shut_opening = 1.0;
  EXPECT_EQ(needed_area(boosted_chain(), open, valve, 1.0), 0.0);
}

// The books by themselves: Simpson's rule over the flows told, against what both volumes hold.
TEST(LiftOff, KeepsTheMassOfAir) {
  for (const double area : {0.0, 5e-4, 2e-3}) {
    const auto course = lift_off(boosted_chain(), usual(), {area, 0.02, 0.05});
    EXPECT_LT(std::abs(course.mass_error), 1e-12);
  }
}

TEST(LiftOff, HardlyChangesWithHalfTheStep) {
  auto how = usual();
  how.duration = 0.2;
  const auto coarse = lift_off(boosted_chain(), how, {8e-4, 0.02, 0.05});
  how.step *= 0.5;
  const auto fine = lift_off(boosted_chain(), how, {8e-4, 0.02, 0.05});
  EXPECT_NEAR(coarse.lowest_share, fine.lowest_share, 1e-4);
  EXPECT_NEAR(coarse.moments.back().pressure / fine.moments.back().pressure, 1.0, 1e-5);
  // Deep surge is quick, and its turning points sharp.
  how = usual();
  const auto deep = lift_off(boosted_chain(), how, {});
  how.step *= 0.5;
  const auto finer = lift_off(boosted_chain(), how, {});
  EXPECT_NEAR(deep.frequency / finer.frequency, 1.0, 0.01);
  EXPECT_NEAR(deep.pressure_swing / finer.pressure_swing, 1.0, 0.02);
}

// Time four times as long, pipes and volumes four times as large: the same course, and the same B.
TEST(LiftOff, DependsOnGreitzersBAlone) {
  auto how = usual();
  how.step = 1e-4;
  const auto first = lift_off(boosted_chain(), how, {});
  auto large = how;
  for (double LiftOff::*part : {&LiftOff::volume, &LiftOff::length, &LiftOff::plenum_volume,
                                &LiftOff::lag, &LiftOff::closing_time, &LiftOff::duration})
    large.*part *= 4.0;
  large.step *= 4.0;
  const auto second = lift_off(boosted_chain(), large, {});
  EXPECT_NEAR(first.b_parameter / second.b_parameter, 1.0, 1e-12);
  EXPECT_NEAR(first.helmholtz / second.helmholtz, 4.0, 1e-9);
  EXPECT_NEAR(first.frequency / second.frequency, 4.0, 0.1);
  EXPECT_NEAR(first.lowest_share, second.lowest_share, 0.02);
}

// [Greitzer 1976, J. Eng. Power 98, from memory]: his rig went from stall to deep surge at a B of
// 0.7 to 0.8, with an axial compressor; the limit of other characteristics lies elsewhere, below it
// the flow settles and above it runs backwards.
TEST(LiftOff, IsDeepAboveALimitOfBAndMildBelow) {
  auto how = usual();
  how.shut_opening = 0.02;
  how.duration = 1.5;
  double last = 0.0;
  bool deep_before = false;
  for (const double volume : {0.0005, 0.002, 0.008, 0.032, 0.128}) {
    how.volume = volume;
    const auto course = lift_off(boosted_chain(), how, {});
    const bool deep = course.reversals > 0.0;
    EXPECT_FALSE(deep_before && !deep) << volume;  // once deep, deep for all larger B
    if (deep && !deep_before) {
      EXPECT_GT(course.b_parameter, 0.1);
      EXPECT_LT(last, 2.0);
    }
    deep_before = deep;
    last = course.b_parameter;
    if (volume <= 0.0005) {
      EXPECT_FALSE(deep);
    }
  }
  EXPECT_TRUE(deep_before);
}

TEST(LiftOff, FollowsACrankThatSlows) {
  auto how = usual();
  how.deceleration = 200.0;
  const auto course = lift_off(boosted_chain(), how, {2e-3, 0.0, 0.02});
  const auto& last = course.moments.back();
  EXPECT_NEAR(last.engine_speed, 700.0 - 200.0 * last.time, 1e-9);
  EXPECT_LT(last.pressure_ratio, course.moments.front().pressure_ratio);
  EXPECT_EQ(course.kind, Kind::none);
}

TEST(LiftOff, SaysWhyThereIsNoAnswer) {
  auto fast = boosted_chain();
  fast.drive.step_up = 9.0;
  const auto found = lift_off(fast, usual(), {});
  EXPECT_EQ(found.status, double(base::Status::outside_map));
  EXPECT_TRUE(std::isnan(found.lowest_share));
  EXPECT_TRUE(found.moments.empty());
  EXPECT_TRUE(std::isnan(needed_area(fast, usual(), {}, 1.1)));
}

TEST(LiftOff, IsFiniteOrSaysWhyOverRandomChains) {
  std::mt19937_64 engine{23};
  const auto within = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine);
  };
  int matched = 0;
  for (int i = 0; i < 25; ++i) {
    auto c = boosted_chain();
    c.operation.engine_speed = within(200.0, 850.0);
    c.ambient = {within(7e4, 1.05e5), within(250.0, 320.0), within(0.0, 1.0)};
    c.drive.step_up = within(2.0, 6.0);
    c.cooler.effectiveness = within(0.0, 1.0);
    LiftOff how{std::exp(within(-6.5, -1.0)), std::exp(within(-6.5, -2.0)), within(0.1, 5.0),
                std::exp(within(-6.0, -3.0))};
    how.closing_time = within(0.005, 0.3);
    how.shut_opening = std::exp(within(-8.0, 0.0));
    how.deceleration = within(0.0, 150.0);
    how.duration = 0.2;
    const auto course = lift_off(c, how, {within(0.0, 3e-3), within(0.0, 0.1), within(0.001, 0.2)});
    if (course.status > 0.0) {
      EXPECT_TRUE(std::isnan(course.lowest_share));
      continue;
    }
    ++matched;
    EXPECT_LT(std::abs(course.mass_error), 1e-10);
    for (const auto& m : course.moments) {
      EXPECT_GT(m.pressure, 1e3);
      EXPECT_LT(m.pressure, 1e6);
      EXPECT_GT(m.temperature, 150.0);
      EXPECT_LT(m.temperature, 700.0);
      EXPECT_LT(std::abs(m.compressor_flow), 10.0);
    }
  }
  EXPECT_GT(matched, 10);
}

TEST(LiftOff, NamesTheBadInput) {
  test::expect_every_field_guarded(usual());
  test::expect_every_field_guarded(ReliefValve{});
  test::expect_refusal([] { lift_off(test::plain_chain(), usual(), {}); },
                       "lift_off: the chain has no compressor");
  auto how = usual();
  how.volume = 0.0;
  test::expect_refusal([&] { lift_off(boosted_chain(), how, {}); }, "LiftOff: volume = 0 m^3");
  how = usual();
  how.deceleration = 2000.0;
  test::expect_refusal([&] { lift_off(boosted_chain(), how, {}); },
                       "deceleration = 2000 rad/s^2; must leave the crank turning");
  test::expect_refusal([] { needed_area(boosted_chain(), usual(), {}, 0.9); },
                       "lift_off: wanted = 0.9");
}

}  // namespace airchain::surge
