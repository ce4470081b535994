#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cycle/mixture.hpp"
#include "support/demo_cycle.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

// Burned gas in equilibrium: composition, what is fitted to it, and cycles with it.
namespace airchain::cycle {

using test::demo_cycle;
using test::demo_point;

namespace {

ChargeMixture mixture_of(double hydrogen, double oxygen, double lambda, double unevenness = 0.0) {
  fuel::Fuel<double> f = fuel::generic_fuel(oxygen > 0.0 ? "methanol" : "gasoline_premium").fuel;
  f.hydrogen_ratio = hydrogen;
  f.oxygen_ratio = oxygen;
  return charge_mixture({f, lambda, 1.0, 0.0, 20e-6, unevenness});
}

}  // namespace

// The energies of dissociation hold 0.3 % of a thermal energy of 2 MJ/kg and 1 % of themselves.
TEST(BurnedGas, AgreesWithCanteraEquilibrium) {
  int rows = 0;
  for (const auto& row : test::published("burned_equilibrium.csv")) {
    ++rows;
    const auto m =
        mixture_of(row.number("hydrogen_ratio"), row.number("oxygen_ratio"), row.number("lambda"));
    const double t = row.number("temperature_k");
    const auto more = m.dissociation.at(t, std::log(row.number("density_kg_m3")));
    const double energy = row.number("energy_of_dissociation_j_kg");
    EXPECT_NEAR(more.energy, energy, 1500.0 + 0.01 * std::abs(energy)) << rows;
    EXPECT_NEAR(m.burned.gas_constant + more.constant, row.number("gas_constant_j_kg_k"), 0.05)
        << rows;
  }
  EXPECT_EQ(rows, 24);
}

TEST(BurnedGas, SlopesAreThoseOfTheEnergyAndNothingIsAddedToColdGas) {
  for (const double lambda : {0.8, 1.0}) {
    const auto d = mixture_of(2.25, 0.0, lambda).dissociation;
    for (double t = 1650.0; t < 3200.0; t += 170.0) {
      const auto at = d.at(t, 2.0), below = d.at(t - 0.5, 2.0), above = d.at(t + 0.5, 2.0);
      EXPECT_NEAR(at.heat, above.energy - below.energy, 1e-4 * std::abs(at.heat) + 1e-3);
      EXPECT_NEAR(at.slope, above.heat - below.heat, 1e-3 * std::abs(at.slope) + 1e-4);
      EXPECT_NEAR(at.constant_rise, above.constant - below.constant, 1e-6);
      EXPECT_NEAR(at.bend, above.constant_rise - below.constant_rise, 1e-7);
    }
    for (const double t : {300.0, 1599.0, gas::kFrozenBelow}) {
      EXPECT_EQ(d.at(t, 2.0).energy, 0.0);
      EXPECT_EQ(d.at(t, 2.0).heat, 0.0);
      EXPECT_EQ(d.at(t, 2.0).slope, 0.0);
      EXPECT_EQ(d.at(t, 2.0).constant, 0.0);
      EXPECT_EQ(d.at(t, 2.0).bend, 0.0);
    }
  }
}

TEST(BurnedGas, LanesAgreeBitwiseWithPlainNumbers) {
  const auto d = mixture_of(2.25, 0.0, 0.9).dissociation;
  test::expect_lanes_agree(
      [&](auto t) {
        using T = decltype(t);
        const auto at = d.at(t, T(2.0) - T(1e-4) * t);
        return at.energy + at.heat + at.slope + at.constant + at.constant_rise + at.bend;
      },
      {1200.0, 1700.0, 2600.0, 3500.0});
}

// An uneven charge keeps its atoms; at lambda 1 its oxygen and its carbon monoxide stand side by
// side, as they do in an exhaust.
TEST(BurnedGas, UnevenChargesBurnLessOfTheirFuel) {
  const auto even = mixture_of(1.87, 0.0, 1.0), uneven = mixture_of(1.87, 0.0, 1.0, 0.05);
  EXPECT_LT(uneven.heat, 0.99 * even.heat);
  EXPECT_GT(uneven.heat, 0.96 * even.heat);
  EXPECT_NEAR(uneven.fuel_fraction, even.fuel_fraction, 1e-15);
  EXPECT_NEAR(uneven.burned.gas_constant / even.burned.gas_constant, 1.0, 5e-3);
  // Far on either side the spread no longer matters.
  EXPECT_NEAR(mixture_of(1.87, 0.0, 1.3, 0.04).heat / mixture_of(1.87, 0.0, 1.3).heat, 1.0, 1e-4);
  // More of it holds more back.
  EXPECT_LT(mixture_of(1.87, 0.0, 1.0, 0.1).heat, uneven.heat);
}

// What is dissociated gives its heat back: energy is closed, and the exhaust carries it.
TEST(BurnedGas, KeepsTheEnergyBalance) {
  for (const auto gas : {BurnedGas::equilibrium, BurnedGas::frozen})
    for (const double late : {8.0, 50.0}) {
      auto s = demo_cycle();
      s.burned_gas = gas;
      auto p = demo_point(4500, 180e3, 130e3);
      p.half_burned = late * base::kDegree;
      const auto r = solve_line(s, {p})[0];
      EXPECT_TRUE(r.converged);
      EXPECT_LT(std::abs(r.energy_error), 1e-9) << late;
      EXPECT_LT(std::abs(r.mass_error), 1e-9);
    }
}

// Cylinders without heat loss, against the same ones of a fixed composition. Where the gas is
// hottest, near lambda 1, it takes most: the greatest work lies richer.
TEST(BurnedGas, DissociationTakesMostWorkNearLambdaOne) {
  const auto ratio_at = [](double lambda) {
    auto s = demo_cycle();
    s.heat_loss.multiplier = 0.0;
    s.mixture = charge_mixture(
        {fuel::generic_fuel("gasoline_premium").fuel, lambda, 0.4, 0.008, 20e-6, 0.0});
    const auto equal = solve_line(s, {demo_point(3000)})[0];
    s.burned_gas = BurnedGas::frozen;
    const auto frozen = solve_line(s, {demo_point(3000)})[0];
    return frozen.gross_imep / equal.gross_imep * equal.fresh_mass / frozen.fresh_mass;
  };
  const double rich = ratio_at(0.8), one = ratio_at(1.0), lean = ratio_at(1.2);
  EXPECT_GT(rich, 1.001);
  EXPECT_LT(rich, 1.006);
  EXPECT_NEAR(one, 1.024, 0.006);
  EXPECT_GT(one, lean);
  EXPECT_GT(lean, rich);
}

}  // namespace airchain::cycle
