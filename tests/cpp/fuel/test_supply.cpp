#include "airchain/fuel/supply.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::fuel {

using test::expect_refusal;
using test::published;

namespace {

// Invented parts, of a common size.
Supply<double> invented() {
  Supply<double> s;
  s.rail_pressure = 3e5;
  s.injectors = 8.0;
  s.density = 745.0;
  s.viscosity = 5e-4;
  s.injector.rated_flow = 0.012;
  s.injector.rated_pressure = 3e5;
  s.injector.rated_density = 760.0;
  s.injector.dead_time =
      dead_time_table({10.0, 14.0}, {2e5, 4e5}, {1.6e-3, 1.8e-3, 0.8e-3, 1.0e-3});
  s.pump.count = 2.0;
  s.pump.curves = pump_curves({12.0, 14.0}, {1e5, 3e5, 6e5, 9e5},
                              {9e-5, 8e-5, 5e-5, 0.0, 11e-5, 10e-5, 7e-5, 2e-5});
  s.supply_line.length = 4.0;
  s.supply_line.diameter = 0.0095;
  s.supply_line.loss_coefficient = 6.0;
  s.return_line = s.supply_line;
  return s;
}

FuelNeed<double> need(double flow = 0.06, double plenum = 2e5) {
  return {700.0, flow, plenum, plenum, 1e5};
}

}  // namespace

// Churchill, Haaland and Colebrook by the library fluids; tolerances are those of the formulas
// against each other: Churchill's is the formula coded here, to the printed figures.
TEST(DarcyFriction, AgreesWithChurchillAsPublished) {
  for (const auto& row : published("pipe_friction.csv")) {
    const double re = row.number("reynolds"), roughness = row.number("relative_roughness");
    const double expected = row.number("churchill");
    EXPECT_NEAR(darcy_friction(re, roughness), expected, 1e-6 * expected) << re;
    if (re >= 4000.0) {
      EXPECT_NEAR(darcy_friction(re, roughness) / row.number("colebrook"), 1.0, 0.035) << re;
    }
    if (re <= 1000.0) {
      EXPECT_NEAR(darcy_friction(re, roughness), 64.0 / re, 1e-3 * 64.0 / re) << re;
    }
  }
}

// Hagen and Poiseuille: dp = 128 mu L Q/(pi D^4).
TEST(Line, AgreesWithHagenPoiseuilleWhenLaminar) {
  Line<double> line;
  line.length = 2.0;
  line.diameter = 0.006;
  const double q = 2e-6, mu = 1e-3;
  const double expected = 128.0 * mu * 2.0 * q / (base::kPi * std::pow(0.006, 4));
  EXPECT_LT(line.reynolds(q, 745.0, mu), 1000.0);
  EXPECT_NEAR(line.pressure_drop(q, 745.0, mu), expected, 1e-4 * expected);
  EXPECT_EQ(line.pressure_drop(0.0, 745.0, mu), 0.0);
}

TEST(Line, FittingsLoseTheirShareOfTheDynamicPressure) {
  Line<double> plain = invented().supply_line, fitted = plain;
  plain.loss_coefficient = 0.0;
  const double q = 8e-5, v = q / (0.25 * base::kPi * 0.0095 * 0.0095);
  const double fittings =
      fitted.pressure_drop(q, 745.0, 5e-4) - plain.pressure_drop(q, 745.0, 5e-4);
  EXPECT_NEAR(fittings, 6.0 * 0.5 * 745.0 * v * v, 1e-6);
  EXPECT_NEAR(fitted.velocity(q), v, 1e-12);
}

// Bernoulli: flow of an orifice goes with the roots of pressure difference and density.
TEST(Injector, FlowGoesWithTheRootOfThePressureDifference) {
  const auto injector = invented().injector;
  EXPECT_NEAR(injector.flow_at(3e5, 760.0), 0.012, 1e-15);
  EXPECT_NEAR(injector.flow_at(1.2e6, 760.0), 0.024, 1e-15);
  EXPECT_NEAR(injector.flow_at(3e5, 760.0 * 0.81), 0.9 * 0.012, 1e-15);
  // Orifice equation with area and coefficient that give the rating: W = Cd A sqrt(2 rho dp).
  const double area = 0.012 / std::sqrt(2.0 * 760.0 * 3e5);
  EXPECT_NEAR(injector.flow_at(5e5, 790.0), area * std::sqrt(2.0 * 790.0 * 5e5), 1e-15);
}

// Fuel of a pulse [kg], reckoned the other way round: the time left after the dead time, at the
// flow held open.
double injected(const Injector<double>& injector, double time, double dp, double density,
                double voltage) {
  return (time - injector.dead_time_at(voltage, dp)) * injector.flow_at(dp, density);
}

TEST(Injector, PulseAndFuelAreInverse) {
  const auto injector = invented().injector;
  for (const double mass : {1e-6, 2e-5, 9e-5})
    for (const double dp : {2e5, 3e5, 4e5}) {
      const double time = injector.open_time(mass, dp, 745.0, 12.0);
      EXPECT_GT(time, injector.dead_time_at(12.0, dp));
      EXPECT_NEAR(injected(injector, time, dp, 745.0, 12.0), mass, 1e-12 * mass);
    }
}

TEST(Supply, DutyGivesTheFuelBack) {
  const auto s = invented();
  const auto p = at(s, need());
  const double pulses_a_second = 700.0 / (4.0 * base::kPi) * s.injectors;
  const double fuel =
      injected(s.injector, p.open_time, p.pressure_difference, s.density, s.pump.voltage) *
      pulses_a_second;
  EXPECT_NEAR(fuel, 0.06, 1e-14);
  EXPECT_NEAR(p.duty, p.open_time * 700.0 / (4.0 * base::kPi), 1e-15);
}

// Two pulses a cycle pay the dead time twice.
TEST(Supply, EveryPulsePaysItsDeadTime) {
  auto s = invented();
  const double once = at(s, need()).duty;
  s.pulses = 2.0;
  const auto twice = at(s, need());
  EXPECT_NEAR(twice.duty - once, twice.dead_time * 700.0 / (4.0 * base::kPi), 1e-14);
}

TEST(Supply, TheInjectorItAsksForStandsAtTheLimit) {
  auto s = invented();
  s.injector.rated_flow = at(s, need()).rated_flow_needed;
  EXPECT_NEAR(at(s, need()).duty, s.duty_limit, 1e-14);
}

TEST(Supply, FixedRailLosesWithBoostWhatAReferencedOneKeeps) {
  const auto s = invented();
  auto fixed = need();
  fixed.reference = fixed.ambient_pressure;
  EXPECT_NEAR(at(s, need()).pressure_difference, 3e5, 1e-9);
  EXPECT_NEAR(at(s, fixed).pressure_difference, 2e5, 1e-9);
  EXPECT_GT(at(s, fixed).duty, at(s, need()).duty);
  auto lost = fixed;
  lost.pressure = 4.5e5;
  const auto p = at(s, lost);
  EXPECT_EQ(p.driven, 0.0);
  EXPECT_TRUE(std::isnan(p.duty));
}

// The pressures of pump, line and rail close at the flow the pump gives there.
TEST(Supply, PumpStandsWhereItsCurveMeetsTheLine) {
  auto s = invented();
  const auto p = at(s, need());
  EXPECT_EQ(p.pump_known, 1.0);
  EXPECT_NEAR(p.pump_pressure, p.rail_pressure - 1e5 + p.supply_drop, 1e-6 * p.pump_pressure);
  EXPECT_NEAR(p.pump_flow, s.pump.flow_at(p.pump_pressure), 1e-15);
  EXPECT_NEAR(p.pump_margin, p.pump_flow * s.density / 0.06 - 1.0, 1e-12);
  EXPECT_NEAR(p.return_velocity * s.return_line.area() + p.pump_demand, p.pump_flow, 1e-15);
  s.place = RegulatorPlace::tank;
  const auto q = at(s, need());
  EXPECT_EQ(q.pump_margin, p.pump_margin);
  EXPECT_LT(q.supply_drop, p.supply_drop);
  EXPECT_EQ(q.return_drop, 0.0);
}

TEST(Supply, PumpOffItsCurvesIsNotKnown) {
  const auto s = invented();
  EXPECT_EQ(at(s, need(0.06, 9e5)).pump_known, 0.0);
  auto low = s;
  low.pump.voltage = 11.0;
  EXPECT_EQ(at(low, need()).pump_known, 0.0);
}

TEST(Supply, LanesAgreeBitwiseWithPlainNumbers) {
  const auto open = [](auto flow) {
    using T = decltype(flow);
    const auto plain = invented();
    Injector<T> injector;
    base::copy_fields(plain.injector, injector);
    injector.dead_time = plain.injector.dead_time;
    return injector.open_time(flow, T(2.5e5), T(745.0), T(13.0));
  };
  test::expect_lanes_agree(open, {1e-6, 3e-5, 6e-5, 1e-4});
  const auto drop = [](auto flow) {
    using T = decltype(flow);
    Line<T> line;
    base::copy_fields(invented().supply_line, line);
    return line.pressure_drop(flow, T(745.0), T(5e-4));
  };
  test::expect_lanes_agree(drop, {0.0, 1e-6, 4e-5, 2e-4});
  const auto margin = [](auto flow) {
    using T = decltype(flow);
    const auto plain = invented();
    Supply<T> s;
    base::copy_fields(plain, s);
    base::copy_fields(plain.injector, s.injector);
    base::copy_fields(plain.pump, s.pump);
    base::copy_fields(plain.supply_line, s.supply_line);
    base::copy_fields(plain.return_line, s.return_line);
    s.injector.dead_time = plain.injector.dead_time;
    s.pump.curves = plain.pump.curves;
    return at(s, FuelNeed<T>{T(700.0), flow, T(2e5), T(2e5), T(1e5)}).pump_margin;
  };
  test::expect_lanes_agree(margin, {0.02, 0.05, 0.08, 0.2});
}

TEST(Supply, NamesTheBadInput) {
  const auto s = invented();
  test::expect_every_field_guarded(s);
  test::expect_every_field_guarded(s.injector);
  test::expect_every_field_guarded(s.pump);
  test::expect_every_field_guarded(s.supply_line);
  ASSERT_NO_THROW(validate(s));
  auto bad = s;
  bad.injector.dead_time = nullptr;
  expect_refusal([&] { validate(bad); }, "Injector: dead_time = None; must be a DeadTimeTable");
  bad = s;
  bad.pump.curves = nullptr;
  expect_refusal([&] { validate(bad); }, "Pump: curves = None");
  expect_refusal([] { dead_time_table({12.0}, {3e5}, {0.02}); }, "Injector: dead_time = 0.02 s");
  expect_refusal(
      [] {
        dead_time_table({10.0, 12.0}, {3e5}, {1e-3, 2e-3});
      },
      "dead_time grows with voltage");
  expect_refusal([] { pump_curves({12.0}, {3e5}, {1e-4}); }, "has one value; must be two or more");
  expect_refusal([] { pump_curves({12.0}, {3e5, 4e5}, {1e-4, 2e-4}); }, "flow grows with pressure");
  expect_refusal(
      [] {
        pump_curves({12.0, 14.0}, {3e5, 4e5}, {2e-4, 1e-4, 1e-4, 0.0});
      },
      "flow falls with voltage");
  expect_refusal([&] { points(s, {need(-1.0)}); }, "Supply: fuel_flow = -1 kg/s");
  expect_refusal([] { generic_viscosity("kerosene"); }, "must be one of gasoline_regular");
}

// CRC Handbook, 25 degC (from memory): ethanol 1.074, methanol 0.544 mPa s.
TEST(Viscosity, E85LiesBetweenItsParts) {
  EXPECT_EQ(generic_viscosity("ethanol"), 1.074e-3);
  EXPECT_EQ(generic_viscosity("methanol"), 0.544e-3);
  const double mixed = std::exp(0.85 * std::log(1.074e-3) + 0.15 * std::log(0.5e-3));
  EXPECT_NEAR(generic_viscosity("e85"), mixed, 2e-6);
}

}  // namespace airchain::fuel
