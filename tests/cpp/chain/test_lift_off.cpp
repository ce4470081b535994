#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "airchain/chain/lift_off.hpp"
#include "airchain/chain/solve.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"

namespace airchain::chain {

using test::boosted_chain;

namespace {

/// An engine that swallows next to nothing behind a throttle that loses nothing: what the
/// compressor passes leaves through the bypass.
Chain<double> shut(const LiftOff& found, double area) {
  auto c = boosted_chain();
  c.throttle.area = 1.0;
  c.throttle.discharge_coefficient = 1.0;
  c.engine.displacement = 1e-5;
  c.bypass.opens_at = found.pressure - c.ambient.pressure;
  c.bypass.effective_area = area;
  return c;
}

bool saturated(const Result<double>& r) {
  return (static_cast<unsigned>(r.flags) & static_cast<unsigned>(base::Flag::bypass_saturated)) !=
         0;
}

}  // namespace

// The match of the chain knows nothing of this calculation: its bypass holds the same pressure at
// the same flow, and is too small when made a little smaller.
TEST(LiftOff, AgreesWithTheMatchOfAnEngineThatSwallowsNothing) {
  for (double factor : {1.05, 1.2}) {
    const auto found = lift_off(boosted_chain(), factor);
    ASSERT_EQ(found.status, base::Status::matched);
    const auto wide = solve(shut(found, found.effective_area * 1.01));
    EXPECT_EQ(wide.status, 0.0);
    EXPECT_FALSE(saturated(wide));
    EXPECT_NEAR(wide.compressor_flow, found.flow, 0.003 * found.flow);
    EXPECT_TRUE(saturated(solve(shut(found, found.effective_area * 0.97))));
  }
}

TEST(LiftOff, PassesTheFlowAskedForOverThatAtTheLeftEnd) {
  const auto at_left = lift_off(boosted_chain(), 1.0);
  const auto found = lift_off(boosted_chain(), 1.15);
  EXPECT_NEAR(at_left.flow, at_left.left_flow, 1e-9);
  // The inlet duct takes a little more pressure at the greater flow.
  EXPECT_NEAR(found.flow / found.left_flow, 1.15, 0.01);
  EXPECT_GT(found.effective_area, at_left.effective_area);
  EXPECT_NE(found.flags & static_cast<unsigned>(base::Flag::surge_estimated), 0u);
}

TEST(LiftOff, OfAFasterRotorNeedsAWiderBypass) {
  auto c = boosted_chain();
  c.operation.engine_speed = 500.0;
  const auto slow = lift_off(c, 1.1);
  EXPECT_LT(slow.flow, lift_off(boosted_chain(), 1.1).flow);
  EXPECT_LT(slow.pressure, lift_off(boosted_chain(), 1.1).pressure);
}

TEST(LiftOff, SaysWhyThereIsNoAnswer) {
  EXPECT_EQ(lift_off(boosted_chain(), 3.0).status, base::Status::beyond_choke);
  auto fast = boosted_chain();
  fast.drive.step_up = 9.0;
  const auto found = lift_off(fast, 1.1);
  EXPECT_EQ(found.status, base::Status::outside_map);
  EXPECT_TRUE(std::isnan(found.effective_area));
}

// A pipe so thin that its formula would give less than no pressure.
TEST(LiftOff, RefusesADuctThatNothingPasses) {
  auto c = boosted_chain();
  c.discharge = {50.0, 0.002};
  const auto found = lift_off(c, 1.1);
  EXPECT_EQ(found.status, base::Status::not_possible);
  for (const double number :
       {found.left_flow, found.flow, found.pressure, found.temperature, found.effective_area})
    EXPECT_TRUE(std::isnan(number));
}

// Half the efficiency of the map near its highest speed line: hotter than any outlet was seen.
TEST(LiftOff, FlagsAnOddCompressor) {
  const auto odd = static_cast<unsigned>(base::Flag::odd_compressor);
  auto c = boosted_chain();
  c.drive.step_up = 7.0;
  c.ambient.temperature = 320.0;
  const auto sound = lift_off(c, 1.1);
  ASSERT_EQ(sound.status, base::Status::matched);
  EXPECT_EQ(sound.flags & odd, 0u);
  c.compressor.efficiency_scale = 0.5;
  const auto found = lift_off(c, 1.1);
  ASSERT_EQ(found.status, base::Status::matched);
  EXPECT_NE(found.flags & odd, 0u);
}

TEST(LiftOff, IsPossibleOrSaysWhyOverRandomChains) {
  std::mt19937_64 engine{22};
  const auto within = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine);
  };
  int matched = 0;
  for (int i = 0; i < 3000; ++i) {
    auto c = boosted_chain();
    c.operation.engine_speed = within(150.0, 900.0);
    c.ambient = {within(6e4, 1.05e5), within(240.0, 325.0), within(0.0, 1.0)};
    c.drive.step_up = within(1.0, 7.0);
    c.inlet = {within(0.0, 4.0), std::exp(within(-7.0, -3.5))};
    c.discharge = {within(0.0, 4.0), std::exp(within(-7.0, -3.5))};
    c.cooler.effectiveness = within(0.0, 1.0);
    c.cooler.coolant_temperature = within(270.0, 380.0);
    c.compressor.efficiency_scale = within(0.5, 1.0);
    const auto found = lift_off(c, within(1.0, 1.5));
    if (found.status != base::Status::matched) {
      EXPECT_TRUE(std::isnan(found.flow) && std::isnan(found.effective_area));
      continue;
    }
    ++matched;
    EXPECT_GT(found.flow, 0.0);
    EXPECT_LT(found.flow, 10.0);
    EXPECT_GT(found.pressure, 1e3);
    EXPECT_GT(found.temperature, 150.0);
    EXPECT_LT(found.temperature, 1500.0);
    EXPECT_GT(found.effective_area, 0.0);
    if (::testing::Test::HasFailure()) FAIL() << "chain " << i;
  }
  EXPECT_GT(matched, 500);
}

TEST(LiftOff, NamesTheBadInput) {
  test::expect_refusal([] { lift_off(test::plain_chain(), 1.1); },
                       "lift_off: the chain has no compressor");
  test::expect_refusal([] { lift_off(boosted_chain(), 0.9); }, "lift_off: flow_over_left = 0.9");
}

}  // namespace airchain::chain
