#include "airchain/sweep/direct.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/sweep/cycles.hpp"
#include "support/demo_chain.hpp"
#include "support/demo_cycle.hpp"

namespace airchain::sweep {
namespace {

using Chain = chain::Chain<double>;

/// The boosted chain of seven litres over eight cylinders of the demonstration engine.
Chain direct_chain(double rpm, bool supercharged = true) {
  Chain c = supercharged ? test::boosted_chain() : test::plain_chain();
  c.breathing.table = nullptr;
  c.cylinder = std::make_shared<const cycle::Setup>(test::demo_cycle());
  c.engine.displacement = 8.0 * c.cylinder->crank.displacement();
  c.engine.compression_ratio = c.cylinder->crank.compression_ratio;
  c.fuel = c.cylinder->mixture.recipe.fuel;
  c.injection.lambda = c.cylinder->mixture.recipe.lambda;
  c.injection.evaporated_fraction = c.cylinder->mixture.recipe.evaporated_fraction;
  c.combustion.phasing_retard = 1e-6;
  c.operation.engine_speed = rpm * base::kPi / 30.0;
  return c;
}

std::vector<Chain> pull(bool supercharged = true) {
  std::vector<Chain> chains;
  const auto cylinder = direct_chain(3000.0).cylinder;
  for (double rpm = 3000.0; rpm <= 7500.0; rpm += 500.0) {
    chains.push_back(direct_chain(rpm, supercharged));
    chains.back().cylinder = cylinder;
  }
  return chains;
}

std::vector<chain::Result<double>> solved(const std::vector<Chain>& chains, int threads = 1) {
  std::vector<chain::Result<double>> results(chains.size());
  EXPECT_TRUE(run_direct(chains, results.data(), threads));
  return results;
}

// What all cylinders fill more is on top of the cycle's, and a point that is held keeps it once.
TEST(RunDirect, CountsAllCylinders) {
  auto chains = pull();
  const auto alone = solved(chains);
  const auto together = cylinder::breathing_table({200.0, 500.0, 900.0}, {0.8, 3.0},
                                                  {0.9, 0.95, 1.06, 1.02, 0.96, 0.98});
  for (Chain& c : chains) c.breathing.together = together;
  const auto all = solved(chains);
  for (std::size_t i = 0; i < chains.size(); ++i) {
    const auto& r = all[i];
    ASSERT_EQ(r.status, 0.0) << i;
    const double more = chains[i].breathing.together_at(
        r.engine_speed, r.plenum_pressure / r.exhaust_pressure, r.charge_temperature);
    // The state moves with the air, and with it the cycle's own filling a little.
    EXPECT_NEAR(r.volumetric_efficiency / alone[i].volumetric_efficiency, more, 6e-3) << i;
    const auto held = chain::solve(held_at(chains[i], r));
    EXPECT_NEAR(held.air_flow / r.air_flow, 1.0, 1e-9) << i;
    EXPECT_NEAR(held.power / r.power, 1.0, 1e-9) << i;
  }
}

// The cycle at the matched state, run to its end on its own, gives the filling that was matched.
TEST(RunDirect, StandsWhereMatchAndCycleAgree) {
  for (bool supercharged : {true, false}) {
    const auto chains = pull(supercharged);
    const auto results = solved(chains);
    std::vector<cycle::Point<double>> points;
    for (std::size_t i = 0; i < chains.size(); ++i) {
      const auto& r = results[i];
      ASSERT_EQ(r.status, 0.0) << i;
      cycle::Point<double> p;
      p.speed = r.engine_speed;
      p.plenum_pressure = r.plenum_pressure;
      p.plenum_temperature = r.charge_temperature;
      p.exhaust_pressure = r.exhaust_pressure;
      p.half_burned = chains[i].combustion.phasing_at(r.plenum_pressure);
      points.push_back(p);
    }
    std::vector<cycle::CycleResult> cycles(points.size());
    cycle::Controls controls;
    controls.tolerance = 1e-7;
    ASSERT_TRUE(run_cycles(*chains[0].cylinder, points, controls, cycles.data(), 1));
    for (std::size_t i = 0; i < points.size(); ++i) {
      const auto& r = results[i];
      EXPECT_NEAR(r.volumetric_efficiency / cycles[i].volumetric_efficiency, 1.0, 2e-4) << i;
      EXPECT_NEAR(r.trapping, 1.0 - std::max(cycles[i].scavenging_loss, 0.0), 2e-4) << i;
      EXPECT_NEAR(r.pumping_pressure, cycles[i].pmep, 2e-3 * r.plenum_pressure) << i;
    }
  }
}

// The same grid and step, run on for thirty cycles a point.
TEST(RunDirect, StandsNearThirtyCycles) {
  for (bool supercharged : {true, false}) {
    const auto chains = pull(supercharged);
    const auto ours = solved(chains);
    std::vector<chain::Result<double>> best(chains.size());
    cycle::Controls controls = direct_controls();
    controls.tolerance = 1e-9;
    controls.most_cycles = 30;
    ASSERT_TRUE(run_direct(chains, best.data(), 1, {}, controls));
    for (std::size_t i = 0; i < chains.size(); ++i) {
      EXPECT_NEAR(ours[i].volumetric_efficiency / best[i].volumetric_efficiency, 1.0, 1e-4) << i;
      EXPECT_NEAR(ours[i].air_flow / best[i].air_flow, 1.0, 1e-4) << i;
      EXPECT_NEAR(ours[i].power / best[i].power, 1.0, 1.5e-4) << i;
      EXPECT_NEAR(ours[i].plenum_pressure / best[i].plenum_pressure, 1.0, 1e-4) << i;
    }
  }
}

TEST(RunDirect, DoesNotDependOnThreadsOrNeighbours) {
  const auto chains = pull();
  const auto together = solved(chains, 2);
  const auto alone = solved(chains, 1);
  for (std::size_t i = 0; i < chains.size(); ++i) {
    const auto single = solved({chains[i]})[0];
    for (const auto* other : {&alone[i], &single}) {
      EXPECT_EQ(together[i].power, other->power) << i;
      EXPECT_EQ(together[i].volumetric_efficiency, other->volumetric_efficiency) << i;
    }
    EXPECT_EQ(solve(chains[i]).power, single.power);
  }
}

TEST(RunDirect, GridOfAxesIsTheSamePoints) {
  Chain c = direct_chain(3000.0);
  const std::vector<Axis> axes{{"engine_speed", {400.0, 600.0}},
                               {"cooler.effectiveness", {0.6, 0.8}}};
  int power = 0;
  while (columns()[std::size_t(power)].name != "power") ++power;
  std::vector<double> found(4);
  double* out[] = {found.data()};
  ASSERT_TRUE(run(c, axes, {power}, out, 1));
  c.operation.engine_speed = 600.0;
  c.cooler.effectiveness = 0.6;
  EXPECT_EQ(found[2], solve(c).power);
}

TEST(RunDirect, SaysWhatHasNoAnswer) {
  auto fast = direct_chain(7500.0), slow = direct_chain(7500.0);
  fast.drive.step_up = 9.0;
  slow.drive.step_up = 1.0;
  slow.cylinder = fast.cylinder;
  const auto results = solved({fast, slow});
  EXPECT_EQ(results[0].status, double(base::Status::outside_map));
  EXPECT_TRUE(std::isnan(results[0].power));
  // Driven so slowly the compressor is a restriction, which has an answer.
  EXPECT_EQ(results[1].status, 0.0);
  EXPECT_LT(results[1].boost, 0.0);
}

TEST(RunDirect, NamesTheBadInputBeforeAnyWork) {
  auto both = direct_chain(3000.0);
  both.breathing.table = test::boosted_chain().breathing.table;
  EXPECT_THROW(solved({both}), base::InputError);
  EXPECT_THROW(solved({direct_chain(3000.0), direct_chain(4000.0)}), base::InputError);
  EXPECT_THROW(chain::validate(direct_chain(3000.0)), base::InputError);
  std::vector<double> found(2);
  double* out[] = {found.data()};
  EXPECT_THROW(run(direct_chain(3000.0), {{"injection.lambda", {0.8, 0.9}}}, {0}, out, 1),
               base::InputError);
}

TEST(HeldAt, GivesThePointBack) {
  const auto c = direct_chain(5000.0);
  const auto solved_point = solve(c);
  const auto again = chain::solve(held_at(c, solved_point));
  EXPECT_NEAR(again.power / solved_point.power, 1.0, 1e-6);
  EXPECT_NEAR(again.plenum_pressure / solved_point.plenum_pressure, 1.0, 1e-9);
}

TEST(RunDirect, StopsWhenAsked) {
  const auto chains = pull();
  std::vector<chain::Result<double>> results(chains.size());
  EXPECT_FALSE(run_direct(chains, results.data(), 1, [](std::size_t) { return false; }));
}

}  // namespace
}  // namespace airchain::sweep
