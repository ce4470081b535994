#include "airchain/cycle/cycle.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cycle/lanes.hpp"
#include "support/bad_input.hpp"
#include "support/demo_cycle.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::cycle {

using test::demo_cycle;
using test::demo_point;
using test::DemoEngine;

namespace {

std::vector<double> efficiencies(const Setup& s, const std::vector<double>& rpm,
                                 const Controls& controls = {}) {
  std::vector<Point<double>> points;
  for (double r : rpm) points.push_back(demo_point(r));
  std::vector<double> found;
  for (const auto& r : solve_line(s, points, controls)) {
    EXPECT_TRUE(r.converged);
    found.push_back(r.volumetric_efficiency);
  }
  return found;
}

}  // namespace

// Complete products without dissociation; heating value and latent heat of the fuel's own figures
// differ from those in the file's polynomials by up to 0.1 %, air by 2e-5.
TEST(ChargeMixture, AgreesWithFrozenFlameTemperatures) {
  for (const auto& row : test::published("frozen_flame_temperature.csv")) {
    fuel::Fuel<double> f = fuel::generic_fuel("ethanol").fuel;
    f.hydrogen_ratio = row.number("hydrogen_ratio");
    f.oxygen_ratio = row.number("oxygen_ratio");
    f.vapour_molar_mass = row.number("molar_mass_kg_mol");
    f.lower_heating_value = row.number("liquid_heating_value_j_kg");
    f.latent_heat = row.number("latent_heat_j_kg");
    const auto m = charge_mixture({f, row.number("lambda"), 1.0, 0.0, 20e-6, 0.0});
    const gas::Charge gas(m.fresh, m.burned);
    const auto enthalpy = [&](double t) {
      return gas.caloric(t, 1.0).energy + gas.gas_constant(1.0) * t;
    };
    const auto root = [&](auto&& f_of_t, double target) {
      double low = 300.0, high = 3500.0;
      for (int i = 0; i < 60; ++i) {
        const double t = 0.5 * (low + high);
        (f_of_t(t) < target ? low : high) = t;
      }
      return low;
    };
    EXPECT_NEAR(root(enthalpy, m.heat), row.number("constant_pressure_k"), 3.0);
    const double start = gas.caloric(298.15, 0.0).energy;
    EXPECT_NEAR(root([&](double t) { return gas.caloric(t, 1.0).energy; }, m.heat + start),
                row.number("constant_volume_k"), 4.0);
  }
}

// Latent heat belongs to the fuel: droplets and vapour are one fuel's heat of formation.
TEST(ChargeMixture, HeatAndLatentHeatAreThoseOfTheLiquid) {
  for (const char* name : {"gasoline_premium", "methanol"}) {
    const auto& fuel = fuel::generic_fuel(name).fuel;
    const auto some = charge_mixture({fuel, 0.8, 0.2, 0.0});
    const auto all = charge_mixture({fuel, 0.8, 1.0, 0.0});
    EXPECT_NEAR(some.heat + some.latent_heat, all.heat, 1e-9 * all.heat);
    EXPECT_EQ(all.latent_heat, 0.0);
    EXPECT_NEAR(some.evaporated.gas_constant, all.fresh.gas_constant, 1e-12);
  }
}

// Fuel that comes in as droplets evaporates in the closed cylinder and cools what has not burned.
TEST(Cycle, DropletsCoolTheUnburnedCharge) {
  auto s = demo_cycle();
  const auto run = [&](double diameter) {
    s.mixture = charge_mixture({fuel::generic_fuel("methanol").fuel, 0.8, 0.2, 0.008, diameter});
    return solve_line(s, {demo_point(3000, 180e3, 115e3)})[0];
  };
  const auto fine = run(5e-6), usual = run(20e-6), coarse = run(500e-6);
  for (const auto* r : {&fine, &usual, &coarse}) {
    EXPECT_TRUE(r->converged);
    EXPECT_LT(std::abs(r->energy_error), 1e-9);
    EXPECT_LT(std::abs(r->mass_error), 1e-9);
  }
  EXPECT_LT(fine.knock_integral, 0.8 * coarse.knock_integral);
  EXPECT_GT(usual.knock_integral, fine.knock_integral);
  EXPECT_LT(usual.knock_integral, coarse.knock_integral);
  // What is released, less what evaporation took, is the liquid's heat whenever it evaporated.
  const auto per_charge = [](const CycleResult& r) { return r.fuel_heat / r.fresh_mass; };
  EXPECT_NEAR(per_charge(fine) / per_charge(coarse), 1.0, 6e-3);
}

// Balances over the runner, cylinder and primary between plenum and collector.
TEST(Cycle, ConservesMassAndEnergy) {
  for (const double rpm : {2000.0, 5500.0}) {
    const auto r = solve_line(demo_cycle(), {demo_point(rpm, 150e3, 120e3)})[0];
    EXPECT_TRUE(r.converged);
    EXPECT_LT(std::abs(r.mass_error), 1e-9);
    EXPECT_LT(std::abs(r.energy_error), 1e-9);
    // What has not settled between two cycles.
    EXPECT_LT(std::abs(r.change), 1e-3);
    // The pieces come from different sums: fresh charge drawn, lost and trapped.
    const double drawn = r.air_mass / demo_cycle().mixture.air_fraction;
    EXPECT_NEAR(drawn * (1.0 - r.scavenging_loss), r.fresh_mass, 1e-3 * drawn);
    EXPECT_NEAR(r.fuel_heat, 0.97 * r.fresh_mass * demo_cycle().mixture.heat, 1e-3 * r.fuel_heat);
  }
}

// Without pipes the same balances hold, in lanes and alone; wide and ever shorter pipes come near.
TEST(Cycle, RunsWithoutPipes) {
  auto s = demo_cycle();
  s.intake.cells = s.exhaust.cells = 0;
  const auto p = demo_point(3000, 150e3, 120e3);
  const auto bare = solve_line(s, {p})[0];
  EXPECT_TRUE(bare.converged);
  EXPECT_LT(std::abs(bare.mass_error), 1e-9);
  EXPECT_LT(std::abs(bare.energy_error), 1e-9);
  double before = 1.0;
  for (const double length : {0.24, 0.08, 0.02}) {
    s.intake.cells = s.exhaust.cells = 4;
    s.intake.taper = {length, 0.14, 0.14, 0.0};
    s.exhaust.taper = {length, 0.14, 0.14, 0.0};
    const auto wide = solve_line(s, {p})[0];
    const double off = std::abs(wide.volumetric_efficiency / bare.volumetric_efficiency - 1.0);
    EXPECT_LT(off, before) << length;
    before = off;
  }
  EXPECT_LT(before, 8e-3);
}

// Work by the trapezoidal rule over the trace's own pressures and volumes.
TEST(Cycle, WorkIsTheAreaOfTheIndicatorDiagram) {
  const auto t = trace(demo_cycle(), demo_point(4000));
  double work = 0.0, peak = 0.0;
  for (std::size_t i = 0; i < t.rows.size(); ++i) {
    const auto& a = t.rows[i == 0 ? t.rows.size() - 1 : i - 1];
    work += 0.5 * (a.pressure + t.rows[i].pressure) * (t.rows[i].volume - a.volume);
    peak = std::max(peak, t.rows[i].pressure);
  }
  EXPECT_NEAR(work / demo_cycle().crank.displacement(), t.result.imep, 1e-3 * t.result.imep);
  EXPECT_NEAR(peak, t.result.peak_pressure, 1e-4 * peak);
}

namespace {

/// Constant heat capacities and no heat loss: the textbook's gas.
Setup ideal_gas_engine(double gamma) {
  auto s = demo_cycle();
  gas::GasClass g;
  g.gas_constant = 287.0;
  g.low[0] = g.high[0] = 287.0 * gamma / (gamma - 1.0);
  s.mixture.fresh = s.mixture.burned = s.mixture.evaporated = g;
  s.mixture.latent_heat = 0.0;
  s.mixture.heat = 1e-3;
  s.heat_loss.multiplier = 0.0;
  s.burn.completeness = 1.0;
  s.burn.speed_exponent = 0.0;
  return s;
}

}  // namespace

// Without heat ln p falls with gamma times ln V between the valves.
TEST(Cycle, MotoredWithoutHeatLossReturnsGamma) {
  const auto t = trace(ideal_gas_engine(1.35), demo_point(3000));
  const auto& first = t.rows[5];
  for (const auto& row : t.rows) {
    if (row.angle <= first.angle + 0.3 || row.angle > 1.2) continue;
    const double change = std::log(row.pressure / first.pressure);
    EXPECT_NEAR(change, -1.35 * std::log(row.volume / first.volume), 5e-4) << row.angle;
  }
}

// [Heywood 1988, eq. 5.31] 1 - r^(1 - gamma) between equal volumes; a burn of 12 degrees about top
// centre loses less than 2 % of it.
TEST(Cycle, ApproachesTheOttoCycleWhenTheBurnIsShort) {
  auto s = ideal_gas_engine(1.3);
  s.mixture.heat = 1.5e6;
  s.burn.duration = 0.2;
  s.burn.efficiency = 5.0;
  auto p = demo_point(3000);
  p.half_burned = 0.0;
  const auto t = trace(s, p);
  std::vector<double> angle, pressure;
  for (const auto& row : t.rows) {
    angle.push_back(row.angle);
    pressure.push_back(row.pressure);
  }
  const numerics::Curve curve(angle, pressure, "trace", "angle", "pressure");
  constexpr double kReach = 1.2;  // after inlet closing, before exhaust opening
  constexpr int kParts = 4000;
  double work = 0.0;
  for (int i = 0; i < kParts; ++i) {
    const double a = kReach * (2.0 * i / kParts - 1.0), b = kReach * (2.0 * (i + 1) / kParts - 1.0);
    work += curve.at(0.5 * (a + b)) * (s.crank.at(b).volume - s.crank.at(a).volume);
  }
  const double ratio = s.crank.at(kReach).volume / s.crank.clearance_volume();
  const double otto = 1.0 - std::pow(ratio, 1.0 - 1.3);
  EXPECT_LT(work / t.result.fuel_heat, otto);
  EXPECT_GT(work / t.result.fuel_heat, 0.98 * otto);
}

// No kink at fine spacing, which a valve that is not solved well shows first.
TEST(Cycle, IsSmoothInSpeed) {
  for (const double from : {2300.0, 5000.0}) {
    std::vector<double> rpm;
    for (int i = 0; i < 9; ++i) rpm.push_back(from + 30.0 * i);
    const auto ve = efficiencies(demo_cycle(), rpm);
    for (std::size_t i = 1; i + 1 < ve.size(); ++i) {
      EXPECT_LT(std::abs(ve[i] - ve[i - 1]), 0.02) << rpm[i];
      EXPECT_LT(std::abs(ve[i + 1] - 2 * ve[i] + ve[i - 1]), 0.005) << rpm[i];
    }
  }
}

TEST(Cycle, ConvergesWithGridStepAndTolerance) {
  const std::vector<double> rpm{2500, 5500};
  const auto base = efficiencies(demo_cycle(), rpm);
  DemoEngine fine, coarse;
  fine.intake_cells = fine.exhaust_cells = 60;
  coarse.intake_cells = coarse.exhaust_cells = 15;
  const auto finer = efficiencies(demo_cycle(fine), rpm);
  const auto coarser = efficiencies(demo_cycle(coarse), rpm);
  Controls small_step, tight;
  small_step.courant = 0.4;
  tight.tolerance = 1e-7;
  const auto stepped = efficiencies(demo_cycle(), rpm, small_step);
  const auto settled = efficiencies(demo_cycle(), rpm, tight);
  for (std::size_t i = 0; i < rpm.size(); ++i) {
    EXPECT_NEAR(base[i], finer[i], 2e-3 * base[i]);
    EXPECT_LT(std::abs(base[i] - finer[i]), std::abs(coarser[i] - finer[i]));
    EXPECT_NEAR(base[i], stepped[i], 3e-4 * base[i]);
    EXPECT_NEAR(base[i], settled[i], Controls{}.tolerance * base[i]);
  }
}

TEST(Cycle, DoesNotDependOnWhereItStarted) {
  const auto cold = efficiencies(demo_cycle(), {4000});
  const auto warm = efficiencies(demo_cycle(), {5000, 4500, 4000});
  EXPECT_NEAR(warm[2], cold[0], 3e-4 * cold[0]);
}

// Lanes take lines as they get free; every line's results equal those of plain numbers bitwise.
TEST(Cycle, LanesAgreeBitwiseWithPlainNumbers) {
  DemoEngine coarse;
  coarse.intake_cells = coarse.exhaust_cells = 8;
  const auto s = demo_cycle(coarse);
  std::vector<Point<double>> points;
  for (int i = 0; i < 12; ++i) points.push_back(demo_point(2500 + 450 * i, 90e3 + 12e3 * i));
  const Grids grids(s);
  std::vector<CycleResult> results(points.size());
  std::vector<Line> lines;  // six for four lanes
  for (std::size_t i = 0; i < points.size(); i += 2) lines.emplace_back(&points[i], &results[i], 2);
  std::size_t given = 0;
  CourseRunner<test::Lanes> runner(s, grids, Controls{});
  runner.run([&]() -> Course* { return given < lines.size() ? &lines[given++] : nullptr; });
  for (std::size_t i = 0; i < points.size(); i += 2) {
    const auto plain = solve_line(s, {points[i], points[i + 1]});
    for (std::size_t k = 0; k < 2; ++k)
      for (const auto& number : kResultNumbers)
        EXPECT_TRUE(test::same_bits(results[i + k].*number.member, plain[k].*number.member))
            << i + k << ' ' << number.name;
  }
}

// Vacuum, back flow, cranking speed and 10,000 rpm run, converge and balance.
TEST(Cycle, RunsAtTheEdges) {
  auto s = demo_cycle();
  for (const auto& p : {demo_point(300), demo_point(10000), demo_point(2000, 25e3, 101e3),
                        demo_point(3000, 100e3, 300e3), demo_point(6000, 400e3, 110e3)}) {
    const auto r = solve_line(s, {p})[0];
    EXPECT_TRUE(r.converged) << p.speed;
    EXPECT_LT(std::abs(r.mass_error), 1e-9);
    EXPECT_LT(std::abs(r.energy_error), 1e-9);
    EXPECT_GT(r.volumetric_efficiency, 0.0);
    EXPECT_LT(r.volumetric_efficiency, 1.5);
  }
}

TEST(Cycle, SaysWhenItHasNotConverged) {
  Controls c;
  c.most_cycles = 2;
  c.tolerance = 1e-9;
  EXPECT_FALSE(solve_line(demo_cycle(), {demo_point(4000)}, c)[0].converged);
}

TEST(Cycle, NamesTheBadInput) {
  test::expect_every_field_guarded(demo_point(4000));
  test::expect_every_field_guarded(Controls{});
  auto s = demo_cycle();
  s.intake.taper.far_diameter = 0.03;
  s.intake.taper.diameter = 0.03;
  test::expect_refusal([&] { validate(s); }, "Intake: area at the valve");
  s = demo_cycle();
  s.exhaust.cells = 2;
  test::expect_refusal([&] { validate(s); }, "Runner: cells = 2");
  s.exhaust.cells = 30.5;
  test::expect_refusal([&] { validate(s); }, "Runner: cells = 30.5; must be a whole number");
  test::expect_every_field_guarded(demo_cycle());
  test::expect_every_field_guarded(demo_cycle().intake);
  test::expect_every_field_guarded(demo_cycle().mixture.recipe);
  test::expect_refusal(
      [] {
        valve_area({1.0, 2.0, 3.0}, {0.0, 0.001, 0.0005});
      },
      "ValveArea: area at an end = 0.0005 m^2");
  test::expect_refusal(
      [] {
        valve_area({1.0, 2.0, 3.0}, {0.0, -0.001, 0.0});
      },
      "ValveArea: area = -0.001 m^2");
  s = demo_cycle();
  s.crank.bore = -1.0;
  test::expect_refusal([&] { validate(s); }, "Crank: bore = -1 m");
  test::expect_refusal([] { solve_line(demo_cycle(), {}); }, "Cycle: there are no points");
  auto high = test::demo_lobe(258, 300, 0.014);
  test::expect_refusal(
      [&] { valve_area(cylinder::LiftCurve(high), 0.0, test::demo_bench(0.05, 1.0)); },
      "ValveArea: highest lift");
}

}  // namespace airchain::cycle
