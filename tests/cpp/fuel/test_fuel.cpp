#include <gtest/gtest.h>

#include <cmath>

#include "airchain/fuel/evaporation.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::fuel {

using test::expect_refusal;
using test::published;

namespace {

Fuel<double> fuel_of(const test::PublishedRow& row) {
  Fuel<double> fuel = generic_fuel("gasoline_regular").fuel;
  fuel.hydrogen_ratio = row.number("hydrogen_per_carbon");
  fuel.oxygen_ratio = row.number("oxygen_per_carbon");
  return fuel;
}

gas::Stream<double> warm_air() {
  gas::Stream<double> s;
  s.pressure = 1.5e5;
  s.temperature = 330.0;
  s.dry_air_flow = 0.4;
  s.vapour = 0.008;
  return s;
}

/// Fall of temperature of air at 25 degC when all the fuel of a stoichiometric mixture, as warm,
/// evaporates in it.
double full_cooling(const char* name) {
  const auto& fuel = generic_fuel(name).fuel;
  Injection<double> injection;
  injection.lambda = 1.0;
  injection.evaporated_fraction = 1.0;
  auto before = warm_air();
  before.temperature = injection.fuel_temperature = gas::kDatumTemperature;
  auto thermo = fuel.thermo();
  thermo.vapour_pressure = 1e30;  // the air holds all of it
  const auto after = inject(injection, 1.0 / fuel.stoichiometric_ratio(), thermo, before);
  return before.temperature - after.temperature;
}

double enthalpy(const gas::Stream<double>& s, const gas::FuelThermo<double>& thermo) {
  return gas::mixture_of(s, thermo).enthalpy(s.temperature);
}

}  // namespace

// 2e-4: oxygen 20.946 % and 28.9647 g/mol there, 20.9476 % and 28.9665 g/mol here.
TEST(StoichiometricRatio, AgreesWithAtctFuels) {
  for (const auto& row : published("atct_fuels.csv")) {
    const double expected = row.number("stoichiometric_ratio");
    EXPECT_NEAR(fuel_of(row).stoichiometric_ratio(), expected, 2e-4 * expected) << row.text("fuel");
  }
}

TEST(StoichiometricRatio, AgreesWithHeywoodBlends) {
  for (const auto& row : published("heywood_stoichiometry.csv")) {
    const double expected = row.number("stoichiometric_ratio");
    EXPECT_NEAR(fuel_of(row).stoichiometric_ratio(), expected, 2e-4 * expected)
        << row.text("blend");
  }
}

// [Active Thermochemical Tables 1.112] heats of formation; the printed figures.
TEST(GenericFuel, AgreesWithAtctAlcohols) {
  for (const char* name : {"ethanol", "methanol"}) {
    const auto row = published("atct_fuels.csv", "fuel", name).front();
    const auto& fuel = generic_fuel(name).fuel;
    EXPECT_NEAR(fuel.lower_heating_value, row.number("lower_heating_value_mj_kg") * 1e6, 500.0);
    EXPECT_NEAR(fuel.latent_heat, row.number("latent_heat_kj_kg") * 1e3, 50.0);
    EXPECT_NEAR(fuel.vapour_molar_mass, row.number("molar_mass_g_mol") * 1e-3, 5e-7);
    EXPECT_EQ(fuel.hydrogen_ratio, row.number("hydrogen_per_carbon"));
    EXPECT_EQ(fuel.oxygen_ratio, row.number("oxygen_per_carbon"));
  }
}

// E85 is 85 % by volume of ethanol in gasoline of 745 kg/m^3 and 43 MJ/kg: 29.1 MJ/kg by mass.
TEST(GenericFuel, E85IsTheMixtureOfItsParts) {
  const auto& ethanol = generic_fuel("ethanol").fuel;
  const auto& gasoline = generic_fuel("gasoline_regular").fuel;
  const auto& blend = generic_fuel("e85").fuel;
  const double alcohol = 0.85 * ethanol.density;
  const double share = alcohol / (alcohol + 0.15 * gasoline.density);
  const auto mixed = [&](double Fuel<double>::*member) {
    return share * ethanol.*member + (1.0 - share) * gasoline.*member;
  };
  EXPECT_NEAR(blend.lower_heating_value, mixed(&Fuel<double>::lower_heating_value), 5e4);
  EXPECT_NEAR(blend.latent_heat, mixed(&Fuel<double>::latent_heat), 5e3);
  EXPECT_NEAR(blend.density, 0.85 * ethanol.density + 0.15 * gasoline.density, 0.5);
  EXPECT_NEAR(
      blend.vapour_molar_mass,
      1.0 / (share / ethanol.vapour_molar_mass + (1.0 - share) / gasoline.vapour_molar_mass), 2e-4);
  const double ratio =
      share * ethanol.stoichiometric_ratio() + (1.0 - share) * gasoline.stoichiometric_ratio();
  EXPECT_NEAR(blend.stoichiometric_ratio(), ratio, 0.015 * ratio);
}

// Bands of (1/AFR) h_fg/(cp_air + cp_v/AFR) at stoichiometric mixture [Heywood 1988, ch. 7 and 9,
// from memory].
TEST(Inject, AgreesWithFullEvaporationCooling) {
  EXPECT_GE(full_cooling("gasoline_regular"), 20.0);
  EXPECT_LE(full_cooling("gasoline_regular"), 25.0);
  EXPECT_GE(full_cooling("ethanol"), 85.0);
  EXPECT_LE(full_cooling("ethanol"), 95.0);
  EXPECT_GE(full_cooling("methanol"), 140.0);
  EXPECT_LE(full_cooling("methanol"), 150.0);
}

// The fuel brings its own enthalpy, that of a liquid at its own temperature; the sum is kept.
TEST(Inject, KeepsEnthalpyAndMass) {
  const auto& fuel = generic_fuel("e85").fuel;
  const auto thermo = fuel.thermo();
  for (const double share : {0.0, 0.35, 1.0}) {
    Injection<double> injection;
    injection.evaporated_fraction = share;
    injection.fuel_temperature = 288.0;
    const auto before = warm_air();
    const auto after = inject(injection, 0.12, thermo, before);
    gas::Stream<double> fuel_alone = before;
    fuel_alone.fuel_liquid = 1.0;
    fuel_alone.temperature = 288.0;
    gas::Stream<double> air_alone = before;
    air_alone.temperature = 288.0;
    const double brought = enthalpy(fuel_alone, thermo) - enthalpy(air_alone, thermo);
    EXPECT_NEAR(enthalpy(after, thermo), enthalpy(before, thermo) + 0.12 * brought, 1e-6);
    EXPECT_NEAR(after.mass_ratio(), before.mass_ratio() + 0.12, 1e-15);
    if (share < 0.9)
      EXPECT_NEAR(after.fuel_vapour, 0.12 * share, 1e-15);
    else  // more than the air holds
      EXPECT_LT(after.fuel_vapour, 0.5 * 0.12);
    EXPECT_NEAR(after.fuel_vapour + after.fuel_liquid, 0.12, 1e-15);
    EXPECT_EQ(after.pressure, before.pressure);
  }
}

TEST(Inject, WithoutFuelChangesNothing) {
  const auto after =
      inject(Injection<double>{}, 0.0, generic_fuel("ethanol").fuel.thermo(), warm_air());
  EXPECT_NEAR(after.temperature, warm_air().temperature, 1e-12);
}

TEST(Inject, LanesAgreeBitwiseWithPlainNumbers) {
  const auto temperature = [](auto ratio) {
    using T = decltype(ratio);
    Fuel<T> fuel;
    base::copy_fields(generic_fuel("methanol").fuel, fuel);
    gas::Stream<T> s;
    s.temperature = T(350.0);
    return inject(Injection<T>{}, ratio, fuel.thermo(), s).temperature;
  };
  test::expect_lanes_agree(temperature, {0.0, 0.06, 0.1, 0.2});
}

TEST(Fuel, NamesTheBadInput) {
  for (const auto& named : generic_fuels()) test::expect_every_field_guarded(named.fuel);
  test::expect_every_field_guarded(Injection<double>{});
  expect_refusal([] { generic_fuel("kerosene"); },
                 "Fuel: name = \"kerosene\"; must be one of gasoline_regular, ");
}

// Clausius and Clapeyron with one latent heat: 5 % between 265 and 335 K.
TEST(SaturationPressure, AgreesWithEquationsOfState) {
  for (const auto& row : published("fuel_vapour_pressure.csv")) {
    const auto thermo = generic_fuel(row.text("fuel")).fuel.thermo();
    const double expected = row.number("saturation_pressure_pa");
    const double t = row.number("temperature_k");
    EXPECT_NEAR(saturation_pressure(thermo, t), expected, 0.06 * expected) << row.text("fuel") << t;
    EXPECT_NEAR(saturation_temperature(thermo, saturation_pressure(thermo, t)), t, 1e-9);
  }
}

// The limits of methanol at lambda 0.72, ethanol and E85 in a plenum, as saturation and enthalpy
// give them by the equations of state: 16 to 22 %, 25 % and 29 %.
TEST(Inject, EvaporatesOnlyWhatTheAirHolds) {
  const struct {
    const char* fuel;
    double lambda, least, most, coldest, hottest;
  } cases[] = {{"methanol", 0.72, 0.16, 0.22, 269.0, 287.0},
               {"ethanol", 0.86, 0.22, 0.29, 273.0, 292.0},
               {"e85", 0.86, 0.27, 0.34, 273.0, 292.0}};
  for (const auto& each : cases) {
    for (const auto& [pressure, temperature] :
         {std::pair{100e3, 300.0}, {150e3, 310.0}, {220e3, 320.0}}) {
      Injection<double> injection;
      injection.lambda = each.lambda;
      const auto& fuel = generic_fuel(each.fuel).fuel;
      const auto s = charge_after_fuel(fuel, injection, pressure, temperature, 0.008);
      const double all = s.fuel_vapour + s.fuel_liquid, share = s.fuel_vapour / all;
      EXPECT_GT(share, each.least) << each.fuel << pressure;
      EXPECT_LT(share, each.most) << each.fuel << pressure;
      EXPECT_GT(s.temperature, each.coldest) << each.fuel << pressure;
      EXPECT_LT(s.temperature, each.hottest) << each.fuel << pressure;
      const auto thermo = fuel.thermo();
      const double rest = gas::kDryAir.gas_constant() + 0.008 * gas::kWater.gas_constant();
      const double held = saturation_pressure(thermo, s.temperature);
      EXPECT_NEAR(partial_pressure(thermo, s.fuel_vapour, rest, pressure), held, 1e-9 * held);
    }
  }
}

// Less is typed than the air holds: nothing changes.
TEST(Inject, LeavesWhatIsHeldAsItWasTyped) {
  Injection<double> injection;
  injection.evaporated_fraction = 0.1;
  const auto s = charge_after_fuel(generic_fuel("methanol").fuel, injection, 150e3, 320.0, 0.0);
  EXPECT_DOUBLE_EQ(s.fuel_vapour / (s.fuel_vapour + s.fuel_liquid), 0.1);
  const auto gasoline = charge_after_fuel(generic_fuel("gasoline_premium").fuel,
                                          Injection<double>{}, 250e3, 290.0, 0.01);
  EXPECT_NEAR(gasoline.fuel_vapour / (gasoline.fuel_vapour + gasoline.fuel_liquid), 0.35, 1e-15);
}

TEST(Inject, IsTheSameInLanesAtTheLimit) {
  test::expect_lanes_agree(
      [](auto temperature) {
        using T = decltype(temperature);
        const auto& fuel = generic_fuel("methanol").fuel;
        const auto plain = fuel.thermo();
        gas::FuelThermo<T> thermo{T(plain.gas_constant), T(plain.vapour_heat_capacity),
                                  T(plain.liquid_heat_capacity), T(plain.latent_heat),
                                  T(plain.vapour_pressure)};
        gas::Stream<T> s;
        s.pressure = T(1.5e5);
        s.temperature = temperature;
        const auto after = inject(Injection<T>{}, T(0.2), thermo, s);
        return after.temperature + after.fuel_vapour;
      },
      {285.0, 320.0, 370.0, 450.0});  // limited twice, and held twice
}

TEST(ChargeAfterFuel, NamesTheBadInput) {
  const auto& fuel = generic_fuel("e85").fuel;
  expect_refusal([&] { charge_after_fuel(fuel, {}, 5e3, 300.0, 0.0); }, "Charge: pressure = ");
  expect_refusal([&] { charge_after_fuel(fuel, {}, 1e5, 30.0, 0.0); }, "Charge: temperature = ");
  expect_refusal([&] { charge_after_fuel(fuel, {}, 1e5, 300.0, 0.5); }, "Charge: humidity_ratio");
}

}  // namespace airchain::fuel
