#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cylinder/engine.hpp"
#include "cylinder/water_gas.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::cylinder {

namespace {

Engine<double> engine() {
  Engine<double> e;
  e.displacement = 5.7e-3;
  e.stroke = 0.095;
  e.compression_ratio = 9.5;
  e.speed_limit = 750.0;
  return e;
}

const std::map<std::string, double> kMolarMass{{"CO2", 44.0095e-3},
                                               {"CO", 28.0101e-3},
                                               {"H2O", 18.01528e-3},
                                               {"H2", 2.01588e-3},
                                               {"N2", 28.0134e-3}};

/// Moles and mass of the products of gasoline at lambda 0.88, per carbon atom.
struct Products {
  std::map<std::string, double> moles = water_gas_products(0.88, 1.87);
  double total = 0.0;
  double mass = 0.0;

  Products() {
    for (const auto& [species, amount] : moles) {
      total += amount;
      mass += amount * kMolarMass.at(species);
    }
  }
};

}  // namespace

// [Heywood 1988 eq. 2.9] 2 S N: 86 mm at 6500 rpm give 18.6333 m/s.
TEST(MeanPistonSpeed, AgreesWithHeywood) {
  Engine<double> e = engine();
  e.stroke = 0.086;
  EXPECT_NEAR(e.mean_piston_speed(6500.0 * base::kRpm), 18.6333, 5e-5);
}

// [Heywood 1988 eq. 2.27] displacement times half the crank's turns: 5.7 L at 6000 rpm.
TEST(DisplacedRate, AgreesWithHeywood) {
  EXPECT_NEAR(engine().displaced_rate(6000.0 * base::kRpm), 5.7e-3 * 50.0, 1e-14);
}

// [Heywood 1988 and Stone, from memory] friction 2 to 3.5 bar at 6000 to 7000 rpm.
TEST(Friction, AgreesWithHeywoodBand) {
  for (const double rpm : {6000.0, 6500.0, 7000.0}) {
    for (const double peak : {80e5, 100e5}) {
      const double friction =
          engine().friction_pressure_at(peak, engine().mean_piston_speed(rpm * base::kRpm));
      EXPECT_GE(friction, 2e5) << rpm;
      EXPECT_LE(friction, 3.5e5) << rpm;
    }
  }
}

// [Chen and Flynn, SAE 650733, form] linear in peak pressure, quadratic in piston speed.
TEST(Friction, HasTheFormOfChenAndFlynn) {
  const auto e = engine();
  EXPECT_EQ(e.friction_pressure_at(0.0, 0.0), e.friction_constant);
  const double slope = e.friction_pressure_at(2e6, 10.0) - e.friction_pressure_at(1e6, 10.0);
  EXPECT_NEAR(slope, 0.005e6, 1e-6);
  const double second = e.friction_pressure_at(0.0, 20.0) -
                        2.0 * e.friction_pressure_at(0.0, 10.0) + e.friction_pressure_at(0.0, 0.0);
  EXPECT_NEAR(second, 2.0 * 90.0 * 100.0, 1e-6);
}

TEST(Pumping, CostsWithoutBoostAndCanGainWithIt) {
  const auto e = engine();
  EXPECT_GT(e.pumping_pressure(1.1e5, 0.95e5, 1.1, 15.0, 0.9), 0.0);
  EXPECT_LT(e.pumping_pressure(1.2e5, 1.9e5, 1.9, 10.0, 0.95), 0.0);
  EXPECT_NEAR(e.pumping_pressure(1.1e5, 1.0e5, 1.2, 0.0, 0.9), 1e4, 1e-9);
}

// At low speed the valves' loss stands alone; at high speed it grows with what is to be let out.
TEST(Pumping, LossGrowsWithSpeedAndWithLoad) {
  const auto e = engine();
  const auto loss = [&](double plenum, double speed) {
    const double density = plenum / (287.0 * 320.0);
    return (e.pumping_pressure(1.05e5, plenum, density, speed, 1.0) - 1.05e5 + plenum) /
           (density * speed * speed);
  };
  EXPECT_NEAR(loss(1e5, 5.0), e.valve_loss, 0.05 * e.valve_loss);
  EXPECT_GT(loss(1e5, 22.0), 1.2 * loss(1e5, 8.0));
  EXPECT_GT(loss(2.5e5, 22.0), 1.3 * loss(1e5, 22.0));
}

TEST(Exhaust, BackPressureSolvesItsEquation) {
  const Exhaust<double> exhaust;
  for (const double flow : {0.0, 0.1, 0.4, 0.8}) {
    const double rt = kExhaustGasConstant * 1150.0;
    const double p = exhaust.back_pressure(exhaust.resistance(), 1e5, flow, rt);
    const double density = p / rt;
    const double v = flow / (density * exhaust.area);
    EXPECT_NEAR(p - 1e5, exhaust.loss_coefficient * 0.5 * density * v * v, 1e-8) << flow;
  }
  EXPECT_EQ(exhaust.back_pressure(exhaust.resistance(), 1e5, 0.0, 3e5), 1e5);
}

// NASA polynomials from 298.15 to 1000 K, the last 200 K at the heat capacity of 1000 K: low by
// some 2 % there, 0.5 % in the mean.
TEST(ExhaustHeatCapacity, AgreesWithNasaPolynomials) {
  const Products products;
  double heat = 0.0;
  for (const auto& [species, amount] : products.moles) {
    const auto row = test::published("nasa_polynomials.csv", "species", species).back();
    ASSERT_EQ(row.number("temperature_k"), 1000.0);
    heat += amount *
            (row.number("enthalpy_from_298_j_mol") + 200.0 * row.number("heat_capacity_j_mol_k"));
  }
  const double mean = heat / products.mass / (1200.0 - 298.15);
  EXPECT_NEAR(kExhaustHeatCapacity, mean, 0.006 * mean);
}

TEST(ExhaustGasConstant, AgreesWithWaterGasProducts) {
  const Products products;
  const double expected = base::kMolarGasConstant * products.total / products.mass;
  EXPECT_NEAR(kExhaustGasConstant, expected, 2e-3 * expected);
}

TEST(Engine, LanesAgreeBitwiseWithPlainNumbers) {
  test::expect_lanes_agree(
      [](auto u) {
        using T = decltype(u);
        return Engine<T>{}.friction_pressure_at(T(7e6), u) +
               Engine<T>{}.pumping_pressure(T(1.1e5), T(1e5), T(1.2), u, T(0.9));
      },
      {0.0, 8.0, 15.0, 23.0});
  test::expect_lanes_agree(
      [](auto w) {
        using E = Exhaust<decltype(w)>;
        return E::back_pressure(E{}.resistance(), 1e5, w, 3e5);
      },
      {0.0, 0.2, 0.5, 0.9});
}

TEST(Engine, NamesTheBadInput) {
  test::expect_every_field_guarded(engine());
  test::expect_every_field_guarded(Exhaust<double>{});
  test::expect_refusal([] { base::require_fields(Engine<double>{}); },
                       "Engine: displacement = nan m^3; must be between 1e-05 and 0.05 m^3");
}

}  // namespace airchain::cylinder
