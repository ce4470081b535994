#include "airchain/chain/engine_state.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "airchain/chain/solve.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"

namespace airchain::chain {

namespace {

using base::Flag;
using base::Status;

bool flagged(const EngineState& e, Flag flag) {
  return (static_cast<unsigned>(e.flags) & static_cast<unsigned>(flag)) != 0;
}

void expect_no_numbers(const EngineState& e) {
  std::apply(
      [&](const auto&... column) {
        const auto check = [&](const std::string& name, double value) {
          EXPECT_TRUE(name == "status" || name == "flags" || std::isnan(value)) << name;
        };
        (check(column.name, e.*(column.member)), ...);
      },
      EngineState::columns());
}

}  // namespace

// The engine alone, at the plenum that the match found, takes what it took in the match.
TEST(EngineState, TakesFromAMatchedPlenumWhatTheMatchSaid) {
  for (const auto place : {fuel::InjectionPlace::port, fuel::InjectionPlace::plenum,
                           fuel::InjectionPlace::before_compressor})
    for (const double speed : {350.0, 600.0, 780.0}) {
      auto chain = test::boosted_chain();
      chain.injection.place = place;
      chain.operation.engine_speed = speed;
      const auto r = solve(chain);
      ASSERT_EQ(r.status, 0.0);
      ASSERT_EQ(r.condensed_water, 0.0);
      const auto e = engine_state(chain, speed, r.plenum_pressure, r.plenum_temperature);
      EXPECT_NEAR(e.air_flow, r.air_flow, 1e-8 * r.air_flow);
      EXPECT_NEAR(e.fuel_flow, r.fuel_flow, 1e-8 * r.fuel_flow);
      EXPECT_NEAR(e.charge_temperature, r.charge_temperature, 1e-6);
      EXPECT_NEAR(e.exhaust_pressure, r.exhaust_pressure, 1e-6 * r.exhaust_pressure);
      EXPECT_NEAR(e.volumetric_efficiency, r.volumetric_efficiency, 1e-8);
    }
}

TEST(EngineState, TakesMoreFromADenserPlenum) {
  const auto chain = test::boosted_chain();
  double before = 0.0;
  for (const double pressure : {5e4, 8e4, 1.2e5, 1.8e5, 2.5e5}) {
    const auto e = engine_state(chain, 500.0, pressure, 310.0);
    EXPECT_GT(e.air_flow, before);
    EXPECT_LT(engine_state(chain, 500.0, pressure, 340.0).air_flow, e.air_flow);
    before = e.air_flow;
  }
}

TEST(EngineState, SaysWhereItLeavesTheTableOfFilling) {
  const auto chain = test::boosted_chain();
  EXPECT_FALSE(flagged(engine_state(chain, 500.0, 1.5e5, 310.0), Flag::outside_breathing_table));
  EXPECT_TRUE(flagged(engine_state(chain, 500.0, 4e4, 310.0), Flag::outside_breathing_table));
}

// Behind the door, as a chain may become on its way through a sweep: each slip of `ClosingCheck`.
TEST(EngineState, RefusesWhatNoEngineHas) {
  auto fuel = test::boosted_chain();
  fuel.fuel.lower_heating_value = 10e6;
  auto work = test::boosted_chain();
  work.combustion.quality = 2.5;
  for (const auto& c : {fuel, work}) {
    const auto e = engine_state(c, 600.0, 1.5e5, 310.0);
    EXPECT_EQ(e.status, double(Status::not_possible));
    EXPECT_TRUE(flagged(e, Flag::odd_combustion));
    expect_no_numbers(e);
  }
  auto filling = test::boosted_chain();
  filling.breathing.scale = 2.2;
  const auto e = engine_state(filling, 600.0, 1.5e5, 310.0);
  EXPECT_EQ(e.status, double(Status::not_possible));
  EXPECT_TRUE(flagged(e, Flag::odd_filling));
}

// 4.0 mm typed for 4.0 in: the flow through it moves the filling so much that no turn settles it,
// or nothing is drawn.
TEST(EngineState, HasNoAnswerBehindAnExhaustThatNothingPasses) {
  auto c = test::boosted_chain();
  c.exhaust.area = 1.26e-5;
  const auto e = engine_state(c, 600.0, 1.5e5, 310.0);
  EXPECT_NE(e.status, 0.0);
  expect_no_numbers(e);
}

TEST(EngineState, LawsHoldOverRandomPlenums) {
  std::mt19937_64 engine{21};
  const auto within = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(engine);
  };
  int matched = 0, not_matched = 0;
  for (int i = 0; i < 3000; ++i) {
    auto c = test::boosted_chain();
    c.ambient = {within(6e4, 1.05e5), within(240.0, 325.0), within(0.0, 1.0)};
    c.injection.lambda = within(0.6, 1.2);
    c.injection.place = fuel::InjectionPlace(int(within(0.0, 2.999)));
    c.fuel = fuel::generic_fuels()[std::size_t(within(0.0, 5.999))].fuel;
    c.exhaust.area = std::exp(within(-10.0, -3.5));
    const double pressure = std::exp(within(std::log(1e3), std::log(1e6)));
    const double temperature = within(230.0, 500.0);
    const auto e = engine_state(c, within(50.0, 1000.0), pressure, temperature);
    ASSERT_FALSE(std::isnan(e.status) || std::isnan(e.flags));
    if (e.status != 0.0) {
      ++not_matched;
      expect_no_numbers(e);
      continue;
    }
    ++matched;
    EXPECT_GT(e.air_flow, 0.0);
    EXPECT_LT(e.air_flow, 10.0);
    EXPECT_GT(e.fuel_flow, 0.0);
    EXPECT_GE(e.exhaust_pressure, c.ambient.pressure * (1.0 - 1e-9));
    EXPECT_GT(e.charge_temperature, 150.0);
    // Fuel, which is warmer, may warm a cold plenum's air a little.
    EXPECT_LE(e.charge_temperature, std::max(temperature, c.injection.fuel_temperature));
    if (::testing::Test::HasFailure()) FAIL() << "plenum " << i;
  }
  EXPECT_GT(matched, 1500);
  EXPECT_GT(not_matched, 100);
}

TEST(EngineState, NamesTheBadInput) {
  const auto chain = test::boosted_chain();
  test::expect_refusal([&] { engine_state(chain, 500.0, 100.0, 310.0); },
                       "Engine: plenum_pressure = 100 Pa; must be between 1000 and 1e+06 Pa");
  test::expect_refusal([&] { engine_state(chain, 500.0, 1e5, 25.0); }, "did you mean 25 degC?");
  test::expect_refusal([&] { engine_state(chain, 0.0, 1e5, 310.0); }, "Operation: engine_speed");
}

}  // namespace airchain::chain
