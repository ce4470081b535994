#include "airchain/chain/closing_check.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "airchain/chain/solve.hpp"
#include "airchain/sweep/sweep.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"
#include "support/exhaust_heat.hpp"

namespace airchain::chain {
namespace {

using base::Flag;
using base::Status;
using test::boosted_chain;
using test::has;

/// Solves without what guards the door, as a chain may become on its way through a sweep.
Result<double> behind_the_door(const Chain<double>& c) { return solve(c); }

void expect_impossible(const Chain<double>& c, Flag part) {
  const auto r = behind_the_door(c);
  EXPECT_EQ(r.status, double(Status::not_possible));
  EXPECT_TRUE(has(r, part)) << r.flags;
  EXPECT_TRUE(std::isnan(r.power));
  EXPECT_TRUE(std::isnan(r.exhaust_pressure));
}

TEST(ClosingCheck, LetsTheDemoPassWithoutAWord) {
  auto c = boosted_chain();
  for (double speed = 420.0; speed <= 800.0; speed += 20.0) {
    c.operation.engine_speed = speed;
    const auto r = sweep::solve(c);
    ASSERT_EQ(r.status, 0.0) << speed;
    for (Flag flag : {Flag::odd_compressor, Flag::odd_filling, Flag::odd_combustion,
                      Flag::odd_exhaust, Flag::no_power})
      EXPECT_FALSE(has(r, flag)) << speed << ' ' << int(flag);
  }
}

// 4.0 mm typed for 4.0 in.
TEST(ClosingCheck, RefusesAnExhaustThatNothingPasses) {
  auto c = boosted_chain();
  c.exhaust.area = 1.26e-5;
  expect_impossible(c, Flag::odd_exhaust);
  test::expect_refusal([&] { validate(c); }, "Exhaust: area = 1.26e-05 m^2; must be between");
}

// 0.5 deg/kPa: the burn would end after the exhaust valve has opened.
TEST(ClosingCheck, RefusesABurnThatGivesNoWork) {
  auto c = boosted_chain();
  c.drive.step_up = 6.0;
  c.combustion.phasing_retard = 1.0 * base::kPi / 180.0 / 1e3;
  expect_impossible(c, Flag::odd_combustion);
  test::expect_refusal([&] { validate(c); }, "Combustion: phasing_retard");
}

TEST(ClosingCheck, RefusesAFuelWhoseHeatContradictsItsComposition) {
  auto c = boosted_chain();
  c.fuel.lower_heating_value = 10e6;
  expect_impossible(c, Flag::odd_combustion);
  test::expect_refusal([&] { validate(c); }, "Fuel: lower_heating_value = 1e+07 J/kg; must be");
}

TEST(ClosingCheck, RefusesMoreWorkThanHeat) {
  auto c = boosted_chain();
  c.combustion.quality = 2.5;
  expect_impossible(c, Flag::odd_combustion);
}

TEST(ClosingCheck, RefusesAVolumetricEfficiencyThatNoEngineHas) {
  auto c = boosted_chain();
  c.breathing.scale = 2.2;
  c.drive.step_up = 6.0;
  const auto r = behind_the_door(c);
  EXPECT_NE(r.status, 0.0);
  test::expect_refusal([&] { validate(c); }, "Breathing: scale = 2.2; must be");
  c.breathing.scale = 1.9;
  test::expect_refusal([&] { validate(c); },
                       "Breathing: scale = 1.9; must be above 0 and at most 1.53846; the table "
                       "reaches a volumetric efficiency of 1.04 by itself");
}

TEST(ClosingCheck, RefusesACompressorThatBeatsTheSecondLaw) {
  auto c = boosted_chain();
  c.compressor.efficiency_scale = 1.4;
  expect_impossible(c, Flag::odd_compressor);
  c.compressor.efficiency_scale = 1.2;
  test::expect_refusal([&] { validate(c); }, "Compressor: efficiency_scale = 1.2; must be");
}

// An efficiency of 0.0076 for 0.76.
TEST(ClosingCheck, RefusesACompressorThatBurnsItsGas) {
  auto c = boosted_chain();
  c.compressor.efficiency_scale = 0.01;
  const auto r = behind_the_door(c);
  EXPECT_NE(r.status, 0.0);
  EXPECT_TRUE(std::isnan(r.power));
}

TEST(ClosingCheck, FlagsWhatIsOnlyOdd) {
  auto c = boosted_chain();
  c.combustion.phasing = 0.75;
  auto r = sweep::solve(c);
  ASSERT_EQ(r.status, 0.0);
  EXPECT_TRUE(has(r, Flag::odd_combustion));
  c = boosted_chain();
  c.engine.friction_constant = 5e5;
  c.engine.friction_pressure = 0.05;
  c.engine.friction_speed = 5e4;
  c.engine.friction_speed_squared = 2e3;
  r = sweep::solve(c);
  ASSERT_EQ(r.status, 0.0);
  EXPECT_TRUE(has(r, Flag::no_power));
  EXPECT_LT(r.power, 0.0);
  c = boosted_chain();
  c.exhaust.area = 0.0025;
  r = sweep::solve(c);
  ASSERT_EQ(r.status, 0.0);
  EXPECT_TRUE(has(r, Flag::odd_exhaust));
}

/// Chains that a validation takes, drawn at random over what engines of the trade have and beyond.
class RandomChains {
 public:
  Chain<double> next() {
    auto c = boosted_chain();
    if (pick() < 0.2) c.compressor.map = nullptr;
    c.operation.engine_speed = within(150.0, 900.0);
    c.ambient = {within(6e4, 1.05e5), within(240.0, 325.0), pick()};
    c.scoop = {within(0.0, 60.0), pick(), within(0.0, 40.0)};
    c.inlet = {within(0.0, 4.0), within(0.006, 0.03)};
    c.discharge = {within(0.0, 4.0), within(0.006, 0.03)};
    c.charge_duct = {within(0.0, 4.0), within(0.006, 0.03)};
    c.drive.step_up = within(1.0, 9.0);
    c.cooler.effectiveness = pick();
    c.cooler.coolant_temperature = within(270.0, 380.0);
    c.cooler.loss_coefficient = within(0.0, 5.0);
    c.throttle.opening = within(0.05, 1.0);
    c.injection.lambda = within(0.6, 1.2);
    c.injection.evaporated_fraction = pick();
    c.injection.place = fuel::InjectionPlace(int(within(0.0, 2.999)));
    c.fuel = fuel::generic_fuels()[std::size_t(within(0.0, 5.999))].fuel;
    c.combustion.phasing = within(0.0, 0.4);
    c.exhaust.area = within(0.002, 0.03);
    if (pick() < 0.3) c.bypass = {within(1e4, 1e5), within(1e-5, 5e-3)};
    return c;
  }

 private:
  double pick() { return std::uniform_real_distribution<double>(0.0, 1.0)(engine_); }
  double within(double low, double high) { return low + (high - low) * pick(); }
  std::mt19937_64 engine_{20};
};

/// Energy that enters with the fuel leaves as work, heat, unburned fuel and hot exhaust.
void expect_laws_hold(const Chain<double>& c, const Result<double>& r) {
  const double room = 1e-9;
  std::apply(
      [&](const auto&... column) {
        const auto check = [&](const char* name, double value) {
          const std::string text = name;
          const bool may_be_none = text.find("margin") != std::string::npos ||
                                   text == "brake_specific_fuel" || text == "air_per_power" ||
                                   !c.supercharged();
          EXPECT_TRUE(may_be_none || std::isfinite(value)) << name;
        };
        (check(column.name, r.*(column.member)), ...);
      },
      Result<double>::columns());
  // Passive parts lose total pressure.
  EXPECT_LE(r.compressor_inlet_pressure, r.scoop_pressure * (1.0 + room));
  EXPECT_LE(r.cooler_inlet_pressure, r.compressor_outlet_pressure * (1.0 + room));
  EXPECT_LE(r.cooler_outlet_pressure, r.cooler_inlet_pressure * (1.0 + room));
  EXPECT_LE(r.throttle_inlet_pressure, r.cooler_outlet_pressure * (1.0 + room));
  EXPECT_LE(r.plenum_pressure, r.throttle_inlet_pressure * (1.0 + room));
  // The cooler's outlet lies between its inlet and the coolant, before any fuel.
  if (c.supercharged()) {
    const double low = std::min(r.cooler_inlet_temperature, r.coolant_temperature);
    const double high = std::max(r.cooler_inlet_temperature, r.coolant_temperature);
    EXPECT_GE(r.cooler_outlet_temperature, low - 1e-6);
    EXPECT_LE(r.cooler_outlet_temperature, high + 1e-6);
    // Entropy does not fall through the compressor.
    EXPECT_LE(r.isentropic_efficiency, 1.0 + room);
    EXPECT_GT(r.compressor_power, 0.0);
  }
  // First law: each term on its own.
  const double rate = c.engine.displaced_rate(c.operation.engine_speed);
  const double work = r.indicated_pressure * rate;
  const double exhaust = test::heat_of_exhaust(c, r);
  EXPECT_NEAR((work + r.wall_heat_flow + r.unburned_power + exhaust) / r.fuel_power, 1.0, 1e-9);
  EXPECT_GT(exhaust, 0.0);
  EXPECT_GE(r.unburned_power, -room * r.fuel_power);
  EXPECT_LT(r.power, work + std::max(-r.pumping_pressure, 0.0) * rate + room * r.fuel_power);
}

TEST(ClosingCheck, LawsHoldOverRandomBuilds) {
  RandomChains chains;
  int matched = 0;
  for (int i = 0; i < 6000; ++i) {
    const auto c = chains.next();
    const auto r = sweep::solve(c);
    ASSERT_FALSE(std::isnan(r.status));
    if (r.status != 0.0) continue;
    ++matched;
    expect_laws_hold(c, r);
    if (::testing::Test::HasFailure()) FAIL() << "chain " << i << ", status " << r.status;
  }
  EXPECT_GT(matched, 1500);
}

}  // namespace
}  // namespace airchain::chain
