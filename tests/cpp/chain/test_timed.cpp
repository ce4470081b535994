#include "airchain/chain/timed.hpp"

#include <cmath>

#include "airchain/sweep/sweep.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"

namespace airchain::chain {
namespace {

using cooler::IceTank;
using test::boosted_chain;

constexpr double kRate = 50.0;  // [rad/s^2]

IceTank iced() { return {12.0, 4.0, 274.15, 2500.0}; }

std::vector<double> speeds(int count, double from = 400.0, double to = 800.0) {
  std::vector<double> list;
  for (int i = 0; i < count; ++i) list.push_back(from + (to - from) * i / (count - 1));
  return list;
}

TEST(TimedPull, TankTakesTheTrapezoidOfTheHeatTold) {
  const IceTank tank = iced();
  const auto pull = timed_pull(boosted_chain(), &tank, speeds(41), kRate);  // 0.2 s apart
  for (std::size_t i = 1; i < pull.size(); ++i) {
    const auto& a = pull[i - 1];
    const auto& b = pull[i];
    ASSERT_EQ(b.result.status, 0.0);
    const double heat = 0.5 * (a.result.cooler_heat + b.result.cooler_heat) * (b.time - a.time);
    EXPECT_NEAR((IceTank::energy(b.tank) - IceTank::energy(a.tank)) / heat, 1.0, 1e-8) << i;
  }
  EXPECT_NEAR(pull.back().time, 8.0, 1e-12);
}

TEST(TimedPull, EveryInstantIsTheChainAtThatWater) {
  const IceTank tank = iced();
  auto c = boosted_chain();
  for (const auto& now : timed_pull(c, &tank, speeds(5), kRate)) {
    c.operation = {now.result.engine_speed, kRate};
    c.cooler.coolant_temperature = now.tank.water_temperature;
    EXPECT_EQ(sweep::solve(c).power, now.result.power);
    EXPECT_EQ(now.result.coolant_temperature, now.tank.water_temperature);
  }
}

TEST(TimedPull, DoesNotDependOnWhichInstantsAreTold) {
  const IceTank tank = iced();
  const auto few = timed_pull(boosted_chain(), &tank, {400.0, 800.0}, kRate);
  const auto many = timed_pull(boosted_chain(), &tank, speeds(321), kRate);
  EXPECT_NEAR(few.back().tank.water_temperature, many.back().tank.water_temperature, 1e-2);
  EXPECT_NEAR(few.back().tank.ice_mass / many.back().tank.ice_mass, 1.0, 2e-3);
}

TEST(TimedPull, IceMeltsAtAFiniteRateAndKeepsTheChargeColder) {
  const IceTank tank = iced();
  const IceTank water{16.0, 0.0, 274.15};
  const auto with_ice = timed_pull(boosted_chain(), &tank, speeds(21), 20.0);
  const auto without = timed_pull(boosted_chain(), &water, speeds(21), 20.0);
  for (std::size_t i = 1; i < with_ice.size(); ++i) {
    EXPECT_LT(with_ice[i].tank.ice_mass, with_ice[i - 1].tank.ice_mass);
    EXPECT_NEAR(with_ice[i].tank.ice_mass + with_ice[i].tank.water_mass, 16.0, 1e-9);
  }
  // The melting takes a temperature difference: the water rises while ice is left.
  EXPECT_GT(with_ice.back().tank.ice_mass, 0.0);
  EXPECT_GT(with_ice.back().tank.water_temperature, 275.0);
  EXPECT_LT(with_ice.back().tank.water_temperature, without.back().tank.water_temperature);
  EXPECT_LT(with_ice.back().result.charge_temperature, without.back().result.charge_temperature);
  EXPECT_GT(with_ice.back().result.power, without.back().result.power);
}

TEST(TimedPull, AHeatSoakedTankHeatsTheCharge) {
  const IceTank hot{20.0, 0.0, 345.0};
  auto c = boosted_chain();
  c.drive.step_up = 2.6;
  const auto pull = timed_pull(c, &hot, {300.0, 350.0}, 10.0);
  const auto& first = pull.front().result;
  ASSERT_EQ(first.status, 0.0);
  EXPECT_LT(first.cooler_heat, 0.0);
  EXPECT_GT(first.cooler_outlet_temperature, first.cooler_inlet_temperature);
  EXPECT_LT(pull.back().tank.water_temperature, 345.0);
}

TEST(TimedPull, SpeedingUpTheRotorTakesPower) {
  auto c = boosted_chain();
  c.drive.inertia = 2e-3;
  const auto slow = timed_pull(c, nullptr, speeds(3), 10.0);
  const auto fast = timed_pull(c, nullptr, speeds(3), 100.0);
  for (std::size_t i = 0; i < slow.size(); ++i) {
    // 2e-3 kg m^2 seen through the ratio of 5.2 and a drive of efficiency 0.97, at the difference
    // of both accelerations.
    const double taken = 2e-3 * 5.2 * 5.2 * 90.0 * slow[i].result.engine_speed / 0.97;
    EXPECT_NEAR(slow[i].result.power - fast[i].result.power, taken, 1e-6 * taken);
    EXPECT_TRUE(std::isnan(slow[i].tank.water_temperature));
    EXPECT_EQ(slow[i].result.coolant_temperature, 300.0);
  }
  EXPECT_NEAR(slow.back().time, 40.0, 1e-12);
}

TEST(TimedPull, AnInstantWithoutAMatchPutsInNoHeat) {
  const IceTank tank = iced();
  auto c = boosted_chain();
  c.drive.step_up = 12.0;
  const auto pull = timed_pull(c, &tank, {200.0, 210.0}, kRate);
  ASSERT_GT(pull.front().result.status, 0.0);
  EXPECT_TRUE(std::isnan(pull.back().result.power));
  EXPECT_NEAR(IceTank::energy(pull.back().tank), IceTank::energy(tank.start()), 1e-3);
  EXPECT_EQ(pull.back().result.coolant_temperature, pull.back().tank.water_temperature);
}

TEST(TimedPull, NamesTheBadInput) {
  const IceTank tank = iced();
  const auto refused = [&](std::vector<double> speed, double rate, const char* words) {
    test::expect_refusal([&] { timed_pull(boosted_chain(), &tank, speed, rate); }, words);
  };
  refused({}, kRate, "timed_pull: engine_speed is empty; must be at least one speed");
  refused({500.0, 400.0}, kRate, "engine_speed = 400 rad/s after 500 rad/s; must be rising");
  refused({500.0, 500.0}, kRate, "must be rising");
  refused({400.0, 500.0}, 0.0, "timed_pull: acceleration = 0 rad/s^2; must be above 0");
  refused({400.0, 500.0}, -50.0, "timed_pull: acceleration = -50 rad/s^2; must be above 0");
  refused({400.0, 500.0}, std::nan(""), "timed_pull: acceleration = nan");
  refused({400.0, 800.0}, 0.01, "duration = 40000 s; must be between 0 and 3600 s; raise");
  refused({400.0, 5000.0}, kRate, "Operation: engine_speed = 5000 rad/s; must be between");
}

}  // namespace
}  // namespace airchain::chain
