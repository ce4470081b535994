#include <gtest/gtest.h>

#include <cmath>

#include "airchain/gas/mixture.hpp"
#include "gas/named_species.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::gas {

using test::published;

namespace {

/// A mixture that is one mole of a single species.
Mixture<double> mole_of(const Species& species) {
  Mixture<double> m{};
  for (int k = 0; k < 5; ++k) m.a[k] = base::kMolarGasConstant * species.a[k] / (k + 1);
  m.gas_constant = base::kMolarGasConstant;
  return m;
}

template <class T>
Mixture<T> damp(T vapour) {
  return mixture_of(vapour, T(0.003), T(0.02), T(0.05),
                    FuelThermo<T>{T(83.0), T(1700.0), T(2200.0), T(350e3)});
}
Mixture<double> dry() { return mixture_of(Stream<double>{}, FuelThermo<double>{}); }

}  // namespace

// Seven figures computed from the coefficients of the source.
TEST(Species, AgreesWithNasaPolynomials) {
  for (const auto& [name, species] : test::kNamedSpecies) {
    const auto mole = mole_of(*species);
    const auto rows = published("nasa_polynomials.csv", "species", name);
    for (const auto& row : rows) {
      const double t = row.number("temperature_k");
      EXPECT_NEAR(mole.heat_capacity(t), row.number("heat_capacity_j_mol_k"), 1e-5) << name << t;
      EXPECT_NEAR(mole.enthalpy(t) - mole.enthalpy(298.15), row.number("enthalpy_from_298_j_mol"),
                  6e-3)
          << name << t;
      const auto& first = rows.front();
      EXPECT_NEAR(mole.entropy_rise(first.number("temperature_k"), t),
                  row.number("entropy_j_mol_k") - first.number("entropy_j_mol_k"), 1.1e-4)
          << name << t;
    }
  }
}

// 1e-4: the source takes argon alone for 0.934 %, here the other trace gases count with it.
TEST(DryAir, AgreesWithTabulatedHeatCapacity) {
  const auto air = dry();
  for (const auto& row : published("air_heat_capacity.csv")) {
    const double t = row.number("temperature_k");
    const double expected = row.number("heat_capacity_j_kg_k");
    EXPECT_NEAR(air.heat_capacity(t), expected, 1e-4 * expected) << t;
    EXPECT_NEAR(air.heat_capacity_ratio(t), row.number("gamma"), 1e-4) << t;
  }
}

// [US Standard Atmosphere 1976] 28.9644 g/mol; 1e-4: carbon dioxide has risen since.
TEST(DryAir, AgreesWithStandardAtmosphereMolarMass) {
  EXPECT_NEAR(kDryAir.molar_mass, 28.9644e-3, 2.9e-6);
}

// [CoolProp 8.0.0] PropsSI('H','S',PropsSI('S','T',298.15,'P',1e5,'Air'),'P',r*1e5,'Air') minus
// PropsSI('H','T',298.15,'P',1e5,'Air'): real air. 0.3 % is what the header states.
TEST(IsentropicRise, AgreesWithCoolPropAir) {
  const double rows[][2] = {
      {1.5, 36783.487}, {2.0, 65593.769}, {3.0, 110435.651}, {5.0, 174816.903}};
  for (const auto& [ratio, expected] : rows)
    EXPECT_NEAR(dry().isentropic_rise(298.15, std::log(ratio)), expected, 3e-3 * expected) << ratio;
}

TEST(Mixture, HeatCapacityIsTheSlopeOfEnthalpy) {
  const auto m = damp(0.02);
  for (double t = 250.0; t <= 950.0; t += 50.0) {
    const double slope = (m.enthalpy(t + 0.01) - m.enthalpy(t - 0.01)) / 0.02;
    EXPECT_NEAR(m.heat_capacity(t), slope, 1e-5);
  }
}

TEST(Mixture, EntropyRiseIsTheIntegralOfHeatCapacityOverTemperature) {
  const auto m = damp(0.02);
  constexpr int kSteps = 8000;
  const double width = (640.0 - 270.0) / kSteps;
  double sum = 0.0;
  for (int i = 0; i < kSteps; ++i) {
    const double t = 270.0 + (i + 0.5) * width;
    sum += m.heat_capacity(t) / t * width;
  }
  EXPECT_NEAR(m.entropy_rise(270.0, 640.0), sum, 1e-5);
  EXPECT_NEAR(m.entropy_rise(640.0, 270.0), -sum, 1e-5);
}

TEST(Mixture, TemperatureAfterFindsTheEnthalpy) {
  const auto m = damp(0.02);
  for (const double start : {250.0, 300.0, 450.0}) {
    for (double end = 230.0; end <= start + 400.0; end += 30.0)
      EXPECT_NEAR(m.temperature_after(start, m.enthalpy(end) - m.enthalpy(start)), end, 1e-9);
  }
}

TEST(Mixture, IsentropicRiseKeepsEntropy) {
  const auto m = dry();
  for (const double ratio : {0.7, 1.0, 1.8, 4.0, 6.0}) {
    const double rise = m.isentropic_rise(310.0, std::log(ratio));
    const double t2 = m.temperature_after(310.0, rise);
    EXPECT_NEAR(m.entropy_rise(310.0, t2), m.gas_constant * std::log(ratio), 1e-7) << ratio;
  }
}

TEST(Mixture, GasesCountFromTheDatumAndLiquidsFromBelow) {
  const FuelThermo<double> fuel{83.0, 1700.0, 2200.0, 350e3};
  EXPECT_NEAR(mixture_of(0.02, 0.0, 0.05, 0.0, fuel).enthalpy(kDatumTemperature), 0.0, 1e-9);
  EXPECT_NEAR(mixture_of(0.0, 0.01, 0.0, 0.05, fuel).enthalpy(kDatumTemperature),
              -0.01 * kWaterLatentHeat - 0.05 * 350e3, 1e-9);
}

// 2.4417 MJ/kg at 25 degC belongs to a heat capacity difference of vapour and liquid: the slope of
// the latent heat [Kirchhoff] must lead to 2.257 MJ/kg at 100 degC [IAPWS-95, steam tables] within
// the 0.2 % of ideal gas and constant liquid heat capacity.
TEST(Water, LatentHeatLeadsToTheBoilingPoint) {
  const FuelThermo<double> none;
  const double vapour = mixture_of(1.0, 0.0, 0.0, 0.0, none).enthalpy(373.15);
  const double liquid = mixture_of(0.0, 1.0, 0.0, 0.0, none).enthalpy(373.15);
  const double air = dry().enthalpy(373.15);
  EXPECT_GT(vapour - air, 0.0);
  EXPECT_NEAR(vapour - liquid, 2.257e6, 0.006 * 2.257e6);
}

TEST(Stream, CountsItsMass) {
  Stream<double> s;
  s.dry_air_flow = 0.5;
  s.vapour = 0.01;
  s.liquid_water = 0.002;
  s.fuel_vapour = 0.03;
  s.fuel_liquid = 0.04;
  EXPECT_NEAR(s.gas_mass_ratio(), 1.04, 1e-15);
  EXPECT_NEAR(s.mass_flow(), 0.5 * 1.082, 1e-15);
}

TEST(Mixture, LanesAgreeBitwiseWithPlainNumbers) {
  using test::expect_lanes_agree;
  const std::array<double, 4> vapour{0.0, 0.005, 0.02, 0.05};
  const auto after = [](auto w) {
    using T = decltype(w);
    return damp(w).temperature_after(T(300.0), T(7e4) + w);
  };
  const auto rise = [](auto w) { return damp(w).isentropic_rise(decltype(w)(300.0), w * w); };
  expect_lanes_agree(after, vapour);
  expect_lanes_agree(rise, vapour);
}

}  // namespace airchain::gas
