#include <cmath>

#include "airchain/base/status.hpp"
#include "airchain/fuel/evaporation.hpp"
#include "airchain/sweep/sweep.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"

namespace airchain::chain {
namespace {

using base::Flag;
using base::Status;
using test::boosted_chain;
using test::has;

bool is(const Result<double>& r, Status status) { return r.status == double(status); }

TEST(Chain, EngineSwallowsWhatTheCompressorDelivers) {
  const auto c = boosted_chain();
  const auto r = sweep::solve(c);
  ASSERT_TRUE(is(r, Status::matched));
  // The engine's side on its own: volumetric efficiency on plenum pressure and charge state.
  auto charge = c.ambient.air();
  const double vapour = charge.vapour;
  const double fuel = 1.0 / (c.injection.lambda * c.fuel.stoichiometric_ratio());
  const double gas_constant = gas::kDryAir.gas_constant() + vapour * gas::kWater.gas_constant() +
                              fuel * c.injection.evaporated_fraction * c.fuel.thermo().gas_constant;
  const double swallowed = r.volumetric_efficiency * c.engine.displacement * 700.0 /
                           (4.0 * base::kPi) * r.charge_pressure /
                           (gas_constant * r.charge_temperature);
  EXPECT_NEAR(swallowed / r.air_flow, 1.0, 1e-10);
  EXPECT_NEAR(r.compressor_flow / (r.air_flow * (1.0 + vapour)), 1.0, 1e-12);
}

// Methanol typed to evaporate farther than the air can hold: the charge is saturated, the point
// says so, and single points are their lanes' to the bit.
TEST(Chain, FuelEvaporatesOnlyAsFarAsTheAirHoldsIt) {
  auto c = boosted_chain();
  EXPECT_FALSE(has(sweep::solve(c), Flag::fuel_saturated));
  EXPECT_EQ(sweep::solve(c).fuel_evaporated, c.injection.evaporated_fraction);
  c.fuel = fuel::generic_fuel("methanol").fuel;
  c.injection.lambda = 0.72;
  for (const auto place : {fuel::InjectionPlace::port, fuel::InjectionPlace::plenum,
                           fuel::InjectionPlace::before_compressor}) {
    c.injection.place = place;
    const auto r = sweep::solve(c);
    ASSERT_TRUE(is(r, Status::matched));
    EXPECT_TRUE(has(r, Flag::fuel_saturated));
    EXPECT_GT(r.fuel_evaporated, 0.13);
    EXPECT_LT(r.fuel_evaporated, 0.28);
    if (place == fuel::InjectionPlace::before_compressor) continue;
    const double fuel = 1.0 / (c.injection.lambda * c.fuel.stoichiometric_ratio());
    const double own = fuel * r.fuel_evaporated * c.fuel.thermo().gas_constant;
    const double rest =
        gas::kDryAir.gas_constant() + c.ambient.humidity_ratio() * gas::kWater.gas_constant();
    EXPECT_NEAR(own / (own + rest) * r.plenum_pressure /
                    fuel::saturation_pressure(c.fuel.thermo(), r.charge_temperature),
                1.0, 1e-9);
    EXPECT_GT(r.charge_temperature, 268.0);
    EXPECT_LT(r.charge_temperature, 290.0);
  }
}

TEST(Chain, EnergyClosesFromTheInletToTheCharge) {
  const auto c = boosted_chain();
  const auto r = sweep::solve(c);
  // Enthalpy by numerical integration of the heat capacities, not by the chain's own polynomial.
  const double fuel = 1.0 / (c.injection.lambda * c.fuel.stoichiometric_ratio());
  const double vapour = c.ambient.humidity_ratio();
  const double evaporated = fuel * c.injection.evaporated_fraction;
  const auto heat_up = [&](double from, double to, double with_vapour_fuel, double with_liquid) {
    const int steps = 2000;
    double sum = 0.0;
    for (int i = 0; i < steps; ++i) {
      const double t = from + (to - from) * (i + 0.5) / steps;
      const auto cp = [&](const gas::Species& s) {
        return s.gas_constant() *
               (s.a[0] + t * (s.a[1] + t * (s.a[2] + t * (s.a[3] + t * s.a[4]))));
      };
      sum += (cp(gas::kDryAir) + vapour * cp(gas::kWater) +
              with_vapour_fuel * c.fuel.vapour_heat_capacity +
              with_liquid * c.fuel.liquid_heat_capacity) *
             (to - from) / steps;
    }
    return sum;
  };
  const double m = r.air_flow;
  EXPECT_NEAR(m * heat_up(r.compressor_inlet_temperature, r.compressor_outlet_temperature, 0, 0) /
                  r.compressor_power,
              1.0, 1e-9);
  EXPECT_NEAR(
      m * heat_up(r.cooler_outlet_temperature, r.cooler_inlet_temperature, 0, 0) / r.cooler_heat,
      1.0, 1e-9);
  // Fuel at 298.15 K, the datum: heat that cools the charge is what evaporation took.
  const double taken =
      -heat_up(r.plenum_temperature, gas::kDatumTemperature, 0, 0) +
      -heat_up(gas::kDatumTemperature, r.charge_temperature, evaporated, fuel - evaporated);
  EXPECT_NEAR(taken / (evaporated * c.fuel.latent_heat), 1.0, 1e-9);
}

TEST(Chain, PressureFallsThroughEveryPassivePart) {
  const auto r = sweep::solve(boosted_chain());
  EXPECT_LT(r.compressor_inlet_pressure, r.scoop_pressure);
  EXPECT_GT(r.compressor_outlet_pressure, r.compressor_inlet_pressure);
  EXPECT_LT(r.cooler_inlet_pressure, r.compressor_outlet_pressure);
  EXPECT_LT(r.cooler_outlet_pressure, r.cooler_inlet_pressure);
  EXPECT_LT(r.throttle_inlet_pressure, r.cooler_outlet_pressure);
  EXPECT_LT(r.plenum_pressure, r.throttle_inlet_pressure);
  EXPECT_GT(r.exhaust_pressure, 98e3);
}

TEST(Chain, PowerIsWhatTheTermsLeave) {
  auto c = boosted_chain();
  c.drive.drag_torque = 0.2;
  c.drive.inertia = 4e-3;
  c.operation.engine_acceleration = 60.0;
  const auto r = sweep::solve(c);
  const double rate = c.engine.displacement * 700.0 / (4.0 * base::kPi);
  EXPECT_NEAR(r.torque * 700.0,
              (r.indicated_pressure - r.pumping_pressure - r.friction_pressure) * rate -
                  r.drive_power - 4e-3 * 5.2 * 5.2 * 60.0 * 700.0 / 0.97,
              1e-6 * r.power);
  EXPECT_NEAR(r.drive_power * 0.97, r.compressor_power + 0.2 * 700.0 * 5.2, 1e-6);
}

TEST(Chain, BoostIsFoundNotGiven) {
  const auto base_case = sweep::solve(boosted_chain());
  auto breathes_better = boosted_chain();
  breathes_better.breathing.scale = 1.05;
  auto chokes_at_filter = boosted_chain();
  chokes_at_filter.inlet.loss_coefficient = 4.0;
  EXPECT_LT(sweep::solve(breathes_better).boost, base_case.boost);
  EXPECT_GT(sweep::solve(breathes_better).air_flow, base_case.air_flow);
  const auto starved = sweep::solve(chokes_at_filter);
  // Common practice, no source: pressure lost at the filter costs about the pressure ratio times
  // itself at the plenum.
  const double lost = base_case.compressor_inlet_pressure - starved.compressor_inlet_pressure;
  EXPECT_NEAR((base_case.boost - starved.boost) / (lost * base_case.pressure_ratio), 1.0, 0.35);
}

TEST(Chain, GaugeBoostRisesFasterThanSpeedSquared) {
  auto c = boosted_chain();
  const auto slow = sweep::solve(c);
  c.drive.drive_ratio = 1.1;
  const auto fast = sweep::solve(c);
  ASSERT_TRUE(is(fast, Status::matched));
  const double slow_rise = slow.compressor_outlet_pressure - slow.compressor_inlet_pressure;
  const double fast_rise = fast.compressor_outlet_pressure - fast.compressor_inlet_pressure;
  EXPECT_GT(fast_rise / slow_rise, 1.1 * 1.1);
  EXPECT_LT(fast_rise / slow_rise, std::pow(1.1, 4.0));
}

TEST(Chain, WithoutCompressorThePlenumIsBelowAmbient) {
  const auto r = sweep::solve(test::plain_chain());
  ASSERT_TRUE(is(r, Status::matched));
  EXPECT_LT(r.boost, 0.0);
  EXPECT_GT(r.boost, -10e3);
  EXPECT_EQ(r.drive_power, 0.0);
  EXPECT_TRUE(std::isnan(r.surge_margin));
  EXPECT_LT(r.power, sweep::solve(boosted_chain()).power);
}

TEST(Chain, StatusSaysWhyThereIsNoAnswer) {
  auto c = boosted_chain();
  c.operation.engine_speed = 260.0;
  c.drive.step_up = 12.0;
  EXPECT_TRUE(is(sweep::solve(c), Status::left_of_estimated_surge_line));
  EXPECT_TRUE(std::isnan(sweep::solve(c).power));
  c = boosted_chain();
  c.drive.step_up = 1.0;
  c.compressor.flow_scale = 0.5;
  auto data = c.compressor.map->data();
  data.right_end = compressor::RightEnd::last_point;
  c.compressor.map =
      std::make_shared<const compressor::CompressorMap>(compressor::CompressorMap::from(data));
  EXPECT_TRUE(is(sweep::solve(c), Status::beyond_choke));
  c = boosted_chain();
  c.drive.step_up = 8.0;
  EXPECT_TRUE(is(sweep::solve(c), Status::outside_map));
}

// A choked compressor holds its flow and loses pressure until the engine swallows it; its work, and
// so the rise of temperature, stays.
TEST(Chain, AChokedCompressorSlidesDownItsChokeLine) {
  auto c = boosted_chain();
  c.compressor.flow_scale = 0.5;
  double before = 1.0;
  for (const double scale : {1.1, 1.4, 1.8}) {  // of an engine too large for its compressor
    c.engine.displacement = scale * 7e-3;
    const auto r = sweep::solve(c);
    ASSERT_TRUE(is(r, Status::matched)) << scale;
    EXPECT_TRUE(has(r, Flag::on_choke_line)) << scale;
    EXPECT_EQ(r.map_place, 1.0);
    EXPECT_NEAR(r.choke_margin, 0.0, 1e-12);
    EXPECT_LT(r.isentropic_efficiency, before);
    EXPECT_GT(r.compressor_outlet_temperature, r.compressor_inlet_temperature + 20.0);
    // The engine swallows what the compressor delivers.
    EXPECT_NEAR(r.air_flow * (1.0 + c.ambient.humidity_ratio()) / r.compressor_flow, 1.0, 1e-9);
    before = r.isentropic_efficiency;
  }
  EXPECT_LT(before, 0.3);
}

// Driven so slowly that it is only in the way: pressure falls over it, and power goes in.
TEST(Chain, ASlowCompressorIsARestriction) {
  auto c = boosted_chain();
  c.drive.step_up = 1.2;
  const auto r = sweep::solve(c);
  ASSERT_TRUE(is(r, Status::matched));
  EXPECT_TRUE(has(r, Flag::on_choke_line));
  EXPECT_LT(r.pressure_ratio, 1.0);
  EXPECT_LT(r.boost, 0.0);
  EXPECT_LT(r.isentropic_efficiency, 0.0);
  EXPECT_GT(r.compressor_power, 0.0);
  EXPECT_GT(r.compressor_outlet_temperature, r.compressor_inlet_temperature);
}

// Where the line leaves the map nothing jumps.
TEST(Chain, TheChokeLineBeginsWhereTheMapEnds) {
  auto c = boosted_chain();
  c.compressor.flow_scale = 0.5;
  double inside = 4e-3, choked = 12e-3, boost_inside = 0.0, boost_choked = 0.0;
  for (int i = 0; i < 45; ++i) {
    c.engine.displacement = 0.5 * (inside + choked);
    const auto r = sweep::solve(c);
    ASSERT_TRUE(is(r, Status::matched));
    const bool on_line = has(r, Flag::on_choke_line);
    (on_line ? choked : inside) = c.engine.displacement;
    (on_line ? boost_choked : boost_inside) = r.boost;
  }
  EXPECT_NEAR(boost_inside, boost_choked, 1.0);
}

// Up to 10 % above its highest speed line the map is extended by similarity, and says so.
TEST(Chain, AboveTheHighestSpeedLineSimilarityHoldsForTenPerCent) {
  auto c = boosted_chain();
  c.operation.engine_speed = 500.0;
  const auto speed_of = [&](double share) {
    const auto r = sweep::solve(boosted_chain());
    return share * c.compressor.map->design_speed() / r.corrected_speed * 700.0 / 500.0;
  };
  const double step_up = c.drive.step_up;
  c.drive.step_up = step_up * speed_of(0.995);
  const auto below = sweep::solve(c);
  ASSERT_TRUE(is(below, Status::matched));
  EXPECT_FALSE(has(below, Flag::above_highest_speed_line));
  c.drive.step_up = step_up * speed_of(1.06);
  const auto above = sweep::solve(c);
  ASSERT_TRUE(is(above, Status::matched));
  EXPECT_TRUE(has(above, Flag::above_highest_speed_line));
  EXPECT_GT(above.pressure_ratio, below.pressure_ratio);
  c.drive.step_up = step_up * speed_of(1.12);
  EXPECT_TRUE(is(sweep::solve(c), Status::outside_map));
}

TEST(Chain, MarginFromAPredictedSurgeLineIsMarkedAsAnEstimate) {
  auto c = boosted_chain();
  const auto r = sweep::solve(c);
  ASSERT_TRUE(is(r, Status::matched));
  EXPECT_TRUE(has(r, Flag::surge_estimated));
  EXPECT_FALSE(has(r, Flag::surge_not_known));
  EXPECT_GT(r.surge_margin, 0.0);
  const auto with_left_end = [&](compressor::LeftEnd end) {
    auto data = boosted_chain().compressor.map->data();
    data.left_end = end;
    c.compressor.map =
        std::make_shared<const compressor::CompressorMap>(compressor::CompressorMap::from(data));
    return sweep::solve(c);
  };
  const auto measured = with_left_end(compressor::LeftEnd::surge);
  EXPECT_EQ(measured.surge_margin, r.surge_margin);
  EXPECT_FALSE(has(measured, Flag::surge_estimated));
  const auto unknown = with_left_end(compressor::LeftEnd::last_point);
  EXPECT_TRUE(std::isnan(unknown.surge_margin));
  EXPECT_TRUE(has(unknown, Flag::surge_not_known));
}

// 200 K is the lower end of the heat capacities [NASA TM-4513].
// Fuel that is told to evaporate wholly in winter air stops where the air is full of its vapour,
// within what is known of the gas.
TEST(Chain, FuelCannotCoolTheGasOutOfWhatIsKnown) {
  auto c = boosted_chain();
  c.ambient.temperature = 240.0;
  c.fuel = fuel::generic_fuel("methanol").fuel;
  c.injection.evaporated_fraction = 1.0;
  c.injection.place = fuel::InjectionPlace::before_compressor;
  c.drive.step_up = 4.0;
  const auto r = sweep::solve(c);
  ASSERT_TRUE(is(r, Status::matched));
  EXPECT_GT(r.compressor_inlet_temperature, gas::kLowestTemperature);
  EXPECT_FALSE(has(r, Flag::outside_gas_data));
  EXPECT_TRUE(has(r, Flag::fuel_saturated));
}

TEST(Chain, BypassHoldsItsLimitAndVentsTheRest) {
  auto c = boosted_chain();
  const auto closed = sweep::solve(c);
  c.bypass.opens_at = closed.boost * 0.8;
  const auto held = sweep::solve(c);
  ASSERT_TRUE(is(held, Status::matched));
  EXPECT_TRUE(has(held, Flag::bypass_open));
  EXPECT_FALSE(has(held, Flag::bypass_saturated));
  EXPECT_NEAR(held.boost / c.bypass.opens_at, 1.0, 1e-10);
  EXPECT_GT(held.bypass_flow, 0.0);
  const double wet = 1.0 + c.ambient.humidity_ratio();
  EXPECT_NEAR((held.air_flow * wet + held.bypass_flow) / held.compressor_flow, 1.0, 1e-10);
  c.bypass.effective_area = 1e-5;
  const auto small = sweep::solve(c);
  EXPECT_TRUE(has(small, Flag::bypass_saturated));
  EXPECT_GT(small.boost, c.bypass.opens_at);
  EXPECT_LT(small.boost, closed.boost);
}

TEST(Chain, OpenBypassKeepsTheCompressorOnItsMap) {
  auto c = boosted_chain();
  c.operation.engine_speed = 260.0;
  c.drive.step_up = 12.0;
  ASSERT_TRUE(is(sweep::solve(c), Status::left_of_estimated_surge_line));
  c.bypass.opens_at = 30e3;
  const auto r = sweep::solve(c);
  ASSERT_TRUE(is(r, Status::matched));
  EXPECT_TRUE(has(r, Flag::bypass_open));
  EXPECT_NEAR(r.boost, 30e3, 1e-4);
  EXPECT_GT(r.map_place, 0.0);
  EXPECT_GT(r.bypass_flow, r.air_flow);
}

TEST(Chain, PartThrottleReachesVacuum) {
  auto c = test::plain_chain();
  double before = sweep::solve(c).plenum_pressure;
  for (double opening : {0.5, 0.2, 0.1, 0.05}) {
    c.throttle.opening = opening;
    const auto r = sweep::solve(c);
    ASSERT_TRUE(is(r, Status::matched)) << opening;
    EXPECT_LT(r.plenum_pressure, before);
    before = r.plenum_pressure;
  }
  EXPECT_TRUE(has(sweep::solve(c), Flag::throttle_choked));
}

TEST(Chain, WetAirCondensesInAColdCooler) {
  auto c = boosted_chain();
  c.ambient.relative_humidity = 1.0;
  c.cooler.coolant_temperature = 274.0;
  c.cooler.effectiveness = 0.95;
  const auto r = sweep::solve(c);
  ASSERT_TRUE(is(r, Status::matched));
  EXPECT_TRUE(has(r, Flag::condensing));
  EXPECT_NEAR(r.condensed_water / r.air_flow + r.humidity_ratio, c.ambient.humidity_ratio(), 1e-12);
  EXPECT_GE(r.cooler_outlet_temperature, 274.0);
  const double saturation = gas::humidity_ratio(
      gas::saturation_pressure(r.cooler_outlet_temperature), r.cooler_outlet_pressure);
  EXPECT_NEAR(r.humidity_ratio / saturation, 1.0, 1e-9);
}

// Common practice, no source: 9.5 to 10.5 hp per lb/min with drive power added back.
TEST(Chain, AirPerPowerIsInTheTradesBand) {
  auto c = boosted_chain();
  c.operation.engine_speed = 620.0;
  const auto r = sweep::solve(c);
  const double horsepower = (r.power + r.drive_power) / 745.7;
  const double pounds_a_minute = r.air_flow / 0.45359237 * 60.0;
  EXPECT_GT(horsepower / pounds_a_minute, 9.5);
  EXPECT_LT(horsepower / pounds_a_minute, 10.6);
}

TEST(Chain, NamesTheBadInput) {
  auto c = boosted_chain();
  c.cooler.effectiveness = 1.2;
  test::expect_refusal([&] { validate(c); },
                       "Cooler: effectiveness = 1.2; must be between 0 and 1");
  c = boosted_chain();
  c.ambient.temperature = 25.0;
  test::expect_refusal([&] { validate(c); }, "did you mean 25 degC?");
  c = boosted_chain();
  c.breathing.table = nullptr;
  test::expect_refusal([&] { validate(c); }, "breathing has no table");
  c = boosted_chain();
  c.operation.engine_speed = 0.0;
  test::expect_refusal([&] { sweep::solve(c); }, "Operation: engine_speed = 0 rad/s");
}

}  // namespace
}  // namespace airchain::chain
