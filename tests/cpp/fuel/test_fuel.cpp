#include <gtest/gtest.h>

#include <cmath>

#include "airchain/fuel/fuel.hpp"
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
  const auto after = inject(injection, 1.0 / fuel.stoichiometric_ratio(), fuel.thermo(), before);
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
    EXPECT_NEAR(after.fuel_vapour, 0.12 * share, 1e-15);
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

}  // namespace airchain::fuel
