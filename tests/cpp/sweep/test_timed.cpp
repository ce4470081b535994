#include "airchain/sweep/timed.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/sweep/direct.hpp"
#include "support/demo_chain.hpp"
#include "support/demo_cycle.hpp"

namespace airchain::sweep {
namespace {

using Chain = chain::Chain<double>;

constexpr double kRpm = base::kPi / 30.0;

/// The boosted chain, breathing by the cycles of the demonstration engine.
Chain direct_chain() {
  Chain c = test::boosted_chain();
  c.breathing.table = nullptr;
  c.cylinder = std::make_shared<const cycle::Setup>(test::demo_cycle());
  c.engine.displacement = 8.0 * c.cylinder->crank.displacement();
  return c;
}

cooler::IceTank tank() {
  cooler::IceTank t;
  t.water_mass = 12.0;
  t.ice_mass = 4.0;
  t.water_temperature = 275.0;
  t.ice_conductance = 3000.0;
  return t;
}

const std::vector<double> kSpeeds{3500 * kRpm, 4500 * kRpm, 5500 * kRpm};

// Every instant is the point that `run_direct` finds at the tank's water of that instant.
TEST(TimedPullOfCycles, AgreesWithThePointsOfItsWater) {
  const Chain c = direct_chain();
  const cooler::IceTank ice = tank();
  const auto told = run_timed(c, &ice, kSpeeds, 400.0 * kRpm);
  ASSERT_EQ(told.size(), 3u);
  std::vector<Chain> chains;
  for (const auto& now : told) {
    chains.push_back(c);
    chains.back().operation.engine_speed = now.result.engine_speed;
    chains.back().operation.engine_acceleration = 400.0 * kRpm;
    chains.back().cooler.coolant_temperature = now.tank.water_temperature;
  }
  std::vector<chain::Result<double>> alone(3);
  ASSERT_TRUE(run_direct(chains, alone.data(), 1));
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(told[i].result.power / alone[i].power, 1.0, 2e-5) << i;
    EXPECT_NEAR(told[i].result.plenum_pressure / alone[i].plenum_pressure, 1.0, 2e-5) << i;
    EXPECT_EQ(told[i].result.coolant_temperature, told[i].tank.water_temperature);
  }
  EXPECT_GT(told[2].tank.water_temperature, told[0].tank.water_temperature);
  EXPECT_LT(told[2].tank.ice_mass, told[0].tank.ice_mass);
}

// Without a tank the instants know nothing of each other; the rotor's inertia alone is new.
TEST(TimedPullOfCycles, IsThePullWithoutATank) {
  const Chain c = direct_chain();
  const auto told = run_timed(c, nullptr, kSpeeds, 400.0 * kRpm);
  for (const auto& now : told) {
    Chain at = c;
    at.operation.engine_speed = now.result.engine_speed;
    at.operation.engine_acceleration = 400.0 * kRpm;
    EXPECT_NEAR(now.result.power / solve(at).power, 1.0, 1e-9);
    EXPECT_TRUE(std::isnan(now.tank.water_temperature));
  }
}

TEST(TimedPullOfCycles, IsThatOfTheChainWhereThereAreNone) {
  const Chain c = test::boosted_chain();
  const cooler::IceTank ice = tank();
  const auto ours = run_timed(c, &ice, kSpeeds, 400.0 * kRpm);
  const auto plain = chain::timed_pull(c, &ice, kSpeeds, 400.0 * kRpm);
  for (std::size_t i = 0; i < 3; ++i) EXPECT_EQ(ours[i].result.power, plain[i].result.power);
}

TEST(TimedPullOfCycles, StopsWhenAskedAndNamesTheBadInput) {
  const Chain c = direct_chain();
  EXPECT_TRUE(run_timed(c, nullptr, kSpeeds, 400.0, 1, [](std::size_t) { return false; }).empty());
  EXPECT_THROW(run_timed(c, nullptr, {}, 400.0), base::InputError);
  EXPECT_THROW(run_timed(c, nullptr, kSpeeds, 0.0), base::InputError);
}

}  // namespace
}  // namespace airchain::sweep
