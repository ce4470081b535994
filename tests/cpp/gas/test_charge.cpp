#include <gtest/gtest.h>

#include <cmath>

#include "airchain/gas/charge.hpp"
#include "gas/named_species.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::gas {

namespace {

GasClass pure(const Species& species) {
  GasClass g;
  g.add(1.0, species);
  return g;
}

GasClass air_with_fuel() {
  GasClass g;
  g.add(0.93, kDryAir);
  g.add_fuel_vapour(0.05, 83.0, 1700.0, 0.0);
  g.add_liquid(0.02, 2200.0);
  return g;
}
GasClass exhaust() {
  GasClass g;
  g.add(0.72, kNitrogen);
  g.add(0.19, kCarbonDioxide);
  g.add(0.09, kWater);
  return g;
}

}  // namespace

// Seven figures computed from the coefficients of the source; half a unit of the seventh figure of
// the largest enthalpy. The two ranges meet within that at 1000 K in the source, here exactly.
TEST(Charge, AgreesWithNasaPolynomialsInBothRanges) {
  for (const auto& [name, species] : test::kNamedSpecies) {
    const Charge charge(pure(*species), pure(*species));
    for (const char* file : {"nasa_polynomials.csv", "nasa_polynomials_high.csv"}) {
      for (const auto& row : test::published(file)) {
        if (row.text("species") != name) continue;
        const double t = row.number("temperature_k");
        const auto at = charge.caloric(t, 0.5);
        const double r = species->gas_constant();
        EXPECT_NEAR((at.heat + r) * species->molar_mass, row.number("heat_capacity_j_mol_k"), 1e-5)
            << name << t;
        EXPECT_NEAR((at.energy + r * t) * species->molar_mass,
                    row.number("enthalpy_from_298_j_mol"), 0.06)
            << name << t;
      }
    }
  }
}

TEST(Charge, HeatIsTheSlopeOfEnergyAndMixingIsLinear) {
  const Charge charge(air_with_fuel(), exhaust());
  for (const double y : {0.0, 0.3, 1.0}) {
    for (double t = 250.0; t < 3000.0; t += 130.0) {
      const double slope =
          (charge.caloric(t + 0.01, y).energy - charge.caloric(t - 0.01, y).energy) / 0.02;
      EXPECT_NEAR(charge.caloric(t, y).heat, slope, 2e-5);
      const double expected =
          charge.caloric(t, 0.0).energy + y * charge.caloric(t, 0.0).burned_rise;
      EXPECT_NEAR(charge.caloric(t, y).energy, expected, 1e-6);
    }
  }
}

TEST(Charge, FindsTheTemperatureOfAnEnergy) {
  const Charge charge(air_with_fuel(), exhaust());
  for (double t = 250.0; t < 3000.0; t += 111.0) {
    const double energy = charge.caloric(t, 0.4).energy;
    const auto near = charge.settled(energy, 0.4, t + 20.0);
    EXPECT_NEAR(near.temperature, t, 2e-3);
    EXPECT_NEAR(near.heat * near.inverse_heat, 1.0, 1e-4);
    EXPECT_NEAR(charge.settled(energy, 0.4, t + 1e-3).temperature, t, 1e-9);
    EXPECT_NEAR(charge.settled(energy, 0.4, t - 100.0).temperature, t, 0.3);
  }
}

// A series about a temperature gives what `settled` gives from it, for any mixture.
TEST(Charge, ExpansionFindsTheTemperatureOfAnEnergy) {
  const Charge charge(air_with_fuel(), exhaust());
  for (double t = 250.0; t < 3000.0; t += 111.0)
    for (const double burned : {0.0, 0.3, 1.0}) {
      const auto about = charge.expansion(t + 20.0);
      const double energy = charge.caloric(t, burned).energy;
      const auto found = about.settled(energy, burned, 1.0 / about.of(burned).heat);
      const auto wanted = charge.settled(energy, burned, t + 20.0);
      EXPECT_NEAR(found.temperature, wanted.temperature, 1e-8);
      EXPECT_NEAR(found.heat, wanted.heat, 1e-9 * wanted.heat);
      // Told at the temperature itself.
      const double rise = charge.caloric(t, burned).burned_rise;
      EXPECT_NEAR(found.burned_rise, rise, 1e-3 * std::abs(rise) + 30.0);
      const double apart = charge.gas_constant(1.0) / charge.gas_constant(0.0) - 1.0;
      EXPECT_NEAR(charge.near_inverse_constant(burned) * charge.gas_constant(burned), 1.0,
                  0.25 * apart * apart + 1e-12);
      const auto far = charge.expansion(t + 40.0);
      EXPECT_NEAR(far.settled(energy, burned, 1.0 / far.of(burned).heat).temperature, t, 0.02);
    }
}

// Published values of pure vapours, and Heywood 1988, figure of gasoline vapour (from memory): near
// 3.3 kJ/(kg K) at 900 K.
TEST(Charge, FuelVapourAgreesWithPublishedHeatCapacities) {
  struct Kind {
    const char* name;
    double oxygen, constant, heat;
  };
  for (const auto& kind : {Kind{"CH3OH", 1.0, 259.49, 1484.70}, {"C2H5OH", 0.5, 180.48, 1587.60}}) {
    GasClass g;
    g.add_fuel_vapour(1.0, kind.constant, kind.heat, kind.oxygen);
    const Charge charge(g, g);
    int rows = 0;
    for (const auto& row : test::published("fuel_vapour_heat_capacity.csv")) {
      if (row.text("species") != kind.name) continue;
      ++rows;
      const double cp = charge.caloric(row.number("temperature_k"), 0.0).heat + kind.constant;
      EXPECT_NEAR(cp, row.number("heat_capacity_j_kg_k"), 1e-4 * cp) << kind.name;
    }
    EXPECT_GT(rows, 4);
  }
  GasClass g;
  g.add_fuel_vapour(1.0, 83.0, 1700.0, 0.0);
  const Charge charge(g, g);
  EXPECT_NEAR(charge.caloric(350.0, 0.0).heat + 83.0, 1700.0, 1e-9);
  EXPECT_NEAR(charge.caloric(900.0, 0.0).heat + 83.0, 3300.0, 100.0);
  EXPECT_GT(charge.caloric(2500.0, 0.0).heat, 1.2 * charge.caloric(1000.0, 0.0).heat);
}

TEST(Charge, LanesAgreeBitwiseWithPlainNumbers) {
  const Charge charge(air_with_fuel(), exhaust());
  test::expect_lanes_agree(
      [&](auto t) {
        using T = decltype(t);
        const auto at = charge.settled(T(900.0) * t, t * T(3e-4), t);
        return at.temperature + at.heat * at.inverse_heat;
      },
      {300.0, 999.0, 1001.0, 2400.0});
}

}  // namespace airchain::gas
