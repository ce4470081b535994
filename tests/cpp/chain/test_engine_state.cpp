#include "airchain/chain/engine_state.hpp"

#include <gtest/gtest.h>

#include "airchain/chain/solve.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"

namespace airchain::chain {

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

TEST(EngineState, NamesTheBadInput) {
  const auto chain = test::boosted_chain();
  test::expect_refusal([&] { engine_state(chain, 500.0, 100.0, 310.0); },
                       "Engine: plenum_pressure = 100 Pa; must be between 1000 and 1e+06 Pa");
  test::expect_refusal([&] { engine_state(chain, 500.0, 1e5, 25.0); }, "did you mean 25 degC?");
  test::expect_refusal([&] { engine_state(chain, 0.0, 1e5, 310.0); }, "Operation: engine_speed");
}

}  // namespace airchain::chain
