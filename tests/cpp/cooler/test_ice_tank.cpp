#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cooler/ice_tank.hpp"
#include "support/bad_input.hpp"

namespace airchain::cooler {

namespace {

constexpr double kIcePoint = 273.15;

IceTank tank(double ice, double water_temperature = kIcePoint) {
  IceTank t;
  t.water_mass = 20.0;
  t.ice_mass = ice;
  t.water_temperature = water_temperature;
  return t;
}

}  // namespace

TEST(IceTank, EnergyBalanceClosesToRounding) {
  const auto t = tank(8.0, 276.0);
  TankState s = t.start();
  double put_in = 0.0;
  for (int i = 0; i < 120; ++i) {
    const double heat = i % 3 == 0 ? -5e3 : 60e3;
    s = t.after(s, heat, 0.73);
    put_in += heat * 0.73;
    ASSERT_NEAR(IceTank::energy(s) - IceTank::energy(t.start()), put_in, 1e-6) << i;
    ASSERT_NEAR(s.water_mass + s.ice_mass, 28.0, 1e-12);
  }
}

// [CRC Handbook, from memory] 333.55 kJ/kg: so much heat melts one of two kilograms, when the water
// has had the time to come back to the ice point.
TEST(IceTank, AgreesWithHeatOfFusion) {
  const auto t = tank(2.0);
  const auto end = t.after(t.start(), 333.55e3 / 600.0, 600.0);
  const auto settled = t.after(end, 0.0, 3600.0);
  EXPECT_NEAR(settled.ice_mass, 1.0, 1e-6);
  EXPECT_NEAR(settled.water_temperature, kIcePoint, 1e-6);
}

TEST(IceTank, IceMeltsAtAFiniteRate) {
  const auto t = tank(8.0);
  const auto s = t.after(t.start(), 80e3, 5.0);
  EXPECT_GT(s.water_temperature, kIcePoint + 1.0);  // the water warms while ice is still there
  EXPECT_GT(s.ice_mass, 0.0);
  EXPECT_LT(s.ice_mass, 8.0);
  IceTank brisk = t;
  brisk.ice_conductance = 2e5;
  EXPECT_LT(brisk.after(t.start(), 80e3, 5.0).water_temperature, s.water_temperature);
}

TEST(IceTank, WithoutIceTheWaterJustWarms) {
  const auto t = tank(0.0, 285.0);
  const auto s = t.after(t.start(), 50e3, 10.0);
  EXPECT_NEAR(s.water_temperature, 285.0 + 500e3 / (20.0 * 4181.0), 1e-9);
}

TEST(IceTank, NeverMakesIceAndNeverHasLessThanNone) {
  const auto t = tank(0.5, 290.0);
  TankState s = t.start();
  for (int i = 0; i < 200; ++i) {
    const auto next = t.after(s, 5e3, 1.0);
    EXPECT_LE(next.ice_mass, s.ice_mass);
    EXPECT_GE(next.ice_mass, 0.0);
    s = next;
  }
  EXPECT_EQ(s.ice_mass, 0.0);
}

// First order in its inner step of at most 0.05 s: splitting the time hardly changes the answer.
TEST(IceTank, TimeMayBeSplit) {
  const auto t = tank(8.0, 278.0);
  TankState split = t.start();
  for (int i = 0; i < 100; ++i) split = t.after(split, 60e3, 0.1);
  const auto whole = t.after(t.start(), 60e3, 10.0);
  EXPECT_NEAR(split.water_temperature, whole.water_temperature, 1e-9);
  const auto nothing = t.after(whole, 60e3, 0.0);
  EXPECT_NEAR(nothing.water_temperature, whole.water_temperature, 1e-12);
}

TEST(IceTank, NamesTheBadInput) {
  test::expect_every_field_guarded(tank(5.0));
  test::expect_refusal([] { tank(5.0).after(tank(5.0).start(), 1e3, -1.0); },
                       "IceTank: duration = -1 s; must be between 0 and 3600 s");
  test::expect_refusal([] { tank(5.0).after(tank(5.0).start(), 1e9, 1.0); },
                       "IceTank: heat = 1e+09 W");
}

}  // namespace airchain::cooler
