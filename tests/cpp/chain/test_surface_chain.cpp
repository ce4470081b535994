#include <cmath>

#include "airchain/base/status.hpp"
#include "airchain/sweep/sweep.hpp"
#include "support/bad_input.hpp"
#include "support/demo_surface.hpp"
#include "support/exhaust_heat.hpp"

namespace airchain::chain {
namespace {

using test::chain_with_surface;

bool outside(const Result<double>& r) {
  return (static_cast<unsigned>(r.flags) &
          static_cast<unsigned>(base::Flag::outside_breathing_table)) != 0;
}

TEST(ChainWithSurface, TakesAConstantSurfaceLikeAConstantTable) {
  auto typed = test::boosted_chain();
  typed.breathing.table = cylinder::breathing_table({300.0}, {1.0}, {0.97});
  typed.breathing.temperature_exponent = 0.0;
  auto made = typed;
  made.breathing.table = nullptr;
  const std::vector<double> kept{1.0, 1.0}, none{0.0, 0.0};
  made.breathing.surface = cylinder::breathing_surface(
      {{150.0, 1000.0}, {1.5}, {330.0}, {80e3, 105e3, 180e3}, {0.97, 0.97}, kept, none, none});
  const auto a = sweep::solve(typed), b = sweep::solve(made);
  EXPECT_NEAR(a.air_flow / b.air_flow, 1.0, 1e-12);
  EXPECT_NEAR(a.indicated_pressure / b.indicated_pressure, 1.0, 1e-12);
  EXPECT_EQ(b.pumping_pressure, 0.0);
}

TEST(ChainWithSurface, ChargeLostInTheOverlapIsDrawnButDoesNotBurn) {
  const auto all = sweep::solve(chain_with_surface(1.0));
  const auto lossy = sweep::solve(chain_with_surface(0.95));
  EXPECT_NEAR(all.trapping, 1.0, 1e-12);
  EXPECT_NEAR(lossy.trapping, 0.95, 1e-12);
  // The engine swallows more air and so takes boost away.
  EXPECT_GT(lossy.air_flow, all.air_flow);
  EXPECT_LT(lossy.boost, all.boost);
  EXPECT_LT(lossy.power / lossy.air_flow, all.power / all.air_flow);
  EXPECT_LT(lossy.exhaust_temperature, all.exhaust_temperature);
  // What enters is work, heat to the walls, unburned fuel, or heat in the exhaust, this last by an
  // account of its own.
  const auto c = chain_with_surface(0.95);
  const double rate = c.engine.displacement * 700.0 / (4.0 * base::kPi);
  const double balance = lossy.indicated_pressure * rate + lossy.wall_heat_flow +
                         lossy.unburned_power + test::heat_of_exhaust(c, lossy);
  EXPECT_NEAR(balance / lossy.fuel_power, 1.0, 1e-9);
}

TEST(ChainWithSurface, PumpingComesFromTheSurface) {
  const auto r = sweep::solve(chain_with_surface());
  const double ratio = r.plenum_pressure / r.exhaust_pressure;
  EXPECT_NEAR(r.pumping_pressure / r.plenum_pressure, 1.5 - 0.5 * ratio, 1e-9);
}

// The pressure that the chain solves is the one that the surface is asked at.
TEST(ChainWithSurface, ExhaustPressureMovesTheFilling) {
  const auto c = chain_with_surface();
  const auto r = sweep::solve(c);
  const double ratio = r.plenum_pressure / r.exhaust_pressure;
  cylinder::Surface::Line<double> line(*c.breathing.surface, c.operation.engine_speed);
  const auto at = [&](double exhaust) {
    return line.at(ratio, r.charge_temperature, exhaust).volumetric_efficiency;
  };
  EXPECT_NEAR(r.volumetric_efficiency, at(r.exhaust_pressure), 1e-12);
  EXPECT_GT(at(r.exhaust_pressure), at(105e3) + 1e-4);
}

TEST(ChainWithSurface, AllCylindersFillAsTheyDoTogether) {
  const auto alone = chain_with_surface(), c = test::chain_with_all_cylinders();
  const auto r = sweep::solve(c);
  ASSERT_EQ(r.status, 0.0);
  const double ratio = r.plenum_pressure / r.exhaust_pressure;
  cylinder::Surface::Line<double> line(*c.breathing.surface, r.engine_speed);
  const double one = line.at(ratio, r.charge_temperature, r.exhaust_pressure).volumetric_efficiency;
  // By hand: u = N/(1 + x + x^2/2), x = 0.2 2 (T - 300)/(T + 300).
  const double x = 0.4 * (r.charge_temperature - 300.0) / (r.charge_temperature + 300.0);
  const double more = c.breathing.together->at(r.engine_speed / (1.0 + x + 0.5 * x * x), ratio)[0];
  EXPECT_GT(std::abs(more - 1.0), 0.01);
  EXPECT_NEAR(r.volumetric_efficiency / (one * more), 1.0, 1e-12);
  // More air through the same blower is less boost.
  const auto without = sweep::solve(alone);
  EXPECT_EQ(more > 1.0, r.air_flow > without.air_flow);
  EXPECT_EQ(more > 1.0, r.boost < without.boost);
}

TEST(ChainWithSurface, SaysWhereItLeavesTheWholeEngines) {
  auto c = test::chain_with_all_cylinders();
  EXPECT_FALSE(outside(sweep::solve(c)));
  c.operation.engine_speed = 240.0;
  EXPECT_FALSE(outside(sweep::solve(chain_with_surface())));
  EXPECT_TRUE(outside(sweep::solve(c)));
}

TEST(ChainWithSurface, SaysWhereItLeavesTheSurface) {
  auto c = chain_with_surface();
  EXPECT_FALSE(outside(sweep::solve(c)));
  c.cooler.effectiveness = 0.0;
  c.ambient.temperature = 318.0;
  c.drive.step_up = 5.5;
  c.injection.evaporated_fraction = 0.0;  // nor cooled by its fuel
  const auto hot = sweep::solve(c);
  ASSERT_GT(hot.charge_temperature, 400.0);
  EXPECT_TRUE(outside(hot));
}

Chain<double> chain_with_cycles() {
  auto c = chain_with_surface();
  auto surface = *c.breathing.surface;
  surface.burned = cylinder::burned_surface(test::burned_nodes());
  c.breathing.surface = std::make_shared<const cylinder::Surface>(surface);
  return c;
}

TEST(ChainWithSurface, WorkHeatAndExhaustComeFromTheCycles) {
  auto c = chain_with_cycles();
  const auto r = sweep::solve(c);
  ASSERT_EQ(r.status, 0.0);
  const double rate = c.engine.displacement * r.engine_speed / (4.0 * base::kPi);
  const double trapped = r.fuel_power * r.trapping;
  EXPECT_NEAR(r.indicated_pressure * rate / trapped, 0.35, 1e-12);
  EXPECT_NEAR(r.wall_heat_flow / trapped, 0.08, 1e-12);
  EXPECT_NEAR(r.exhaust_temperature, 1150.0, 1e-9);
  EXPECT_NEAR(r.peak_pressure / (r.plenum_pressure * r.volumetric_efficiency), 45.0, 1e-10);
  EXPECT_GT(r.coolant_power, r.wall_heat_flow);
  // Exhaust pressure follows from that temperature.
  const double mass = r.air_flow * (1.0 + c.ambient.humidity_ratio()) + r.fuel_flow;
  EXPECT_NEAR(cylinder::Exhaust<double>::back_pressure(
                  c.exhaust.resistance(), c.ambient.pressure, mass,
                  cylinder::kExhaustGasConstant * r.exhaust_temperature) /
                  r.exhaust_pressure,
              1.0, 1e-9);
  c.combustion.work_scale = 0.9;
  c.combustion.quality = 0.5;  // not asked
  EXPECT_NEAR(sweep::solve(c).indicated_pressure / r.indicated_pressure, 0.9, 1e-12);
}

TEST(ChainWithSurface, ABurnBeyondTheCyclesIsOdd) {
  const auto odd = [](const Chain<double>& c) {
    return (static_cast<unsigned>(sweep::solve(c).flags) &
            static_cast<unsigned>(base::Flag::odd_combustion)) != 0;
  };
  auto c = chain_with_cycles();
  EXPECT_FALSE(odd(c));
  c.combustion.phasing = 35.0 * base::kPi / 180.0;  // far off best, but run
  EXPECT_FALSE(odd(c));
  c.combustion.phasing = 44.0 * base::kPi / 180.0;
  EXPECT_TRUE(odd(c));
}

TEST(ChainWithSurface, MoreWorkThanHeatIsNotPossible) {
  auto c = chain_with_cycles();
  auto n = test::burned_nodes();
  n.work.assign(8, 0.95);
  auto surface = *c.breathing.surface;
  surface.burned = cylinder::burned_surface(n);
  c.breathing.surface = std::make_shared<const cylinder::Surface>(surface);
  EXPECT_EQ(sweep::solve(c).status, double(base::Status::not_possible));
}

TEST(ChainWithSurface, NamesTheBadInput) {
  auto c = chain_with_surface();
  c.breathing.table = test::boosted_chain().breathing.table;
  test::expect_refusal([&] { validate(c); }, "breathing has a table and a surface");
}

}  // namespace
}  // namespace airchain::chain
