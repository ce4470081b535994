#include "airchain/chain/stations.hpp"

#include <cmath>
#include <map>

#include "airchain/sweep/sweep.hpp"
#include "support/bad_input.hpp"
#include "support/demo_chain.hpp"

namespace airchain::chain {
namespace {

using test::boosted_chain;

std::map<std::string, StationState> by_name(const Chain<double>& c) {
  std::map<std::string, StationState> found;
  for (const auto& state : station_states(c)) found[state.name] = state;
  return found;
}

TEST(StationStates, StandInTheOrderOfTheAir) {
  std::vector<std::string> names;
  for (const auto& state : station_states(boosted_chain())) names.push_back(state.name);
  const std::vector<std::string> order{
      "ambient",      "scoop",         "compressor_inlet", "compressor_outlet",
      "cooler_inlet", "cooler_outlet", "throttle_inlet",   "plenum",
      "charge",       "exhaust"};
  EXPECT_EQ(names, order);
  EXPECT_EQ(station_states(test::plain_chain()).size(), 6u);
}

TEST(StationStates, AreThoseOfTheMatchedPoint) {
  auto c = boosted_chain();
  for (auto place : {fuel::InjectionPlace::port, fuel::InjectionPlace::plenum,
                     fuel::InjectionPlace::before_compressor}) {
    c.injection.place = place;
    auto s = by_name(c);
    const auto r = sweep::solve(c);
    EXPECT_DOUBLE_EQ(s["compressor_inlet"].density, r.compressor_inlet_density);
    EXPECT_DOUBLE_EQ(s["compressor_inlet"].mass_flow, r.compressor_flow);
    EXPECT_DOUBLE_EQ(s["cooler_inlet"].temperature, r.cooler_inlet_temperature);
    EXPECT_DOUBLE_EQ(s["plenum"].pressure, r.plenum_pressure);
    EXPECT_DOUBLE_EQ(s["plenum"].density, r.plenum_density);
    EXPECT_DOUBLE_EQ(s["charge"].dry_air_flow, r.air_flow);
    EXPECT_DOUBLE_EQ(s["exhaust"].temperature, r.exhaust_temperature);
  }
}

TEST(StationStates, MassAndWaterAreKept) {
  auto c = boosted_chain();
  c.ambient.relative_humidity = 1.0;
  c.cooler.coolant_temperature = 274.0;
  c.cooler.effectiveness = 0.95;
  auto s = by_name(c);
  const auto r = sweep::solve(c);
  EXPECT_GT(s["cooler_outlet"].liquid_water, 0.001);
  EXPECT_EQ(s["cooler_inlet"].liquid_water, 0.0);
  for (const char* name : {"ambient", "scoop", "cooler_outlet", "plenum", "charge"})
    EXPECT_NEAR(s[name].vapour + s[name].liquid_water, c.ambient.humidity_ratio(), 1e-15) << name;
  EXPECT_NEAR(s["charge"].mass_flow / (s["scoop"].mass_flow + r.fuel_flow), 1.0, 1e-12);
  EXPECT_NEAR(s["exhaust"].mass_flow / s["charge"].mass_flow, 1.0, 1e-12);
}

TEST(StationStates, FuelAppearsWhereItIsInjected) {
  auto c = boosted_chain();
  const double fuel = 1.0 / (c.injection.lambda * c.fuel.stoichiometric_ratio());
  const auto fuel_at = [&](const char* name) {
    const auto s = by_name(c)[name];
    return s.fuel_vapour + s.fuel_liquid;
  };
  EXPECT_EQ(fuel_at("plenum"), 0.0);
  EXPECT_NEAR(fuel_at("charge"), fuel, 1e-15);
  EXPECT_NEAR(by_name(c)["charge"].fuel_vapour, fuel * c.injection.evaporated_fraction, 1e-15);
  c.injection.place = fuel::InjectionPlace::plenum;
  EXPECT_EQ(fuel_at("throttle_inlet"), 0.0);
  EXPECT_NEAR(fuel_at("plenum"), fuel, 1e-15);
  c.injection.place = fuel::InjectionPlace::before_compressor;
  EXPECT_EQ(fuel_at("scoop"), 0.0);
  EXPECT_NEAR(fuel_at("compressor_inlet"), fuel, 1e-15);
}

TEST(StationStates, DensityIsThatOfTheIdealGasMixture) {
  const auto s = by_name(boosted_chain())["plenum"];
  const double moles = 1.0 / gas::kDryAir.molar_mass + s.vapour / gas::kWater.molar_mass;
  EXPECT_NEAR(s.density,
              (1.0 + s.vapour) / moles * s.pressure / (base::kMolarGasConstant * s.temperature),
              1e-12 * s.density);
}

TEST(StationStates, AnOpenBypassVentsBehindThePlenum) {
  auto c = boosted_chain();
  c.bypass.opens_at = 0.8 * sweep::solve(c).boost;
  auto s = by_name(c);
  const auto r = sweep::solve(c);
  EXPECT_NEAR((s["plenum"].mass_flow - r.bypass_flow) /
                  (s["charge"].dry_air_flow * (1.0 + s["plenum"].vapour)),
              1.0, 1e-12);
}

TEST(StationStates, WithoutAnAnswerTheyAreNoNumbers) {
  auto c = boosted_chain();
  c.drive.step_up = 8.0;
  for (const auto& state : station_states(c)) {
    EXPECT_TRUE(std::isnan(state.pressure)) << state.name;
    EXPECT_TRUE(std::isnan(state.mass_flow)) << state.name;
  }
}

TEST(StationStates, NamesTheBadInput) {
  auto c = boosted_chain();
  c.operation.engine_speed = 0.0;
  test::expect_refusal([&] { station_states(c); }, "Operation: engine_speed = 0 rad/s");
}

}  // namespace
}  // namespace airchain::chain
