#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cylinder/combustion.hpp"
#include "cylinder/water_gas.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"

namespace airchain::cylinder {

namespace {

constexpr double kHydrogen = 1.87;  // of gasoline [Heywood 1988, table D.4, from memory]
constexpr double kOxygenDemand = 1.0 + 0.25 * kHydrogen;
constexpr double kHeatPerCarbon = 43.0e6 * (12.011e-3 + 1.00794e-3 * kHydrogen);  // J/mol
using base::kDegree;
const double kBest = Combustion<double>{}.best_phasing;

struct GasolineEfficiency {
  template <class T>
  T operator()(T lambda) const {
    return combustion_efficiency(lambda, T(kHydrogen), T(0.0), T(kOxygenDemand), T(kHeatPerCarbon));
  }
};

double indicated(double compression_ratio, double lambda, double phasing = kBest) {
  return Combustion<double>{}
      .mean_value(compression_ratio, lambda, 0.0, mean_value::kDensity, mean_value::kSpeed, phasing)
      .work;
}

/// A naturally aspirated engine at full load; `heat` per displacement [J/m^3].
double peak(double phasing, double heat, double plenum = 1e5, double compression_ratio = 10.0) {
  return peak_pressure_estimate(compression_ratio, plenum, 1.05e5, 0.95, phasing, heat);
}

}  // namespace

// [Spindt, SAE 650507, from memory] the same balance by bisection; heats of combustion of CO and
// H2 from heats of formation.
TEST(CombustionEfficiency, AgreesWithWaterGasBalance) {
  for (double lambda = 0.65; lambda < 1.0; lambda += 0.025) {
    const auto products = water_gas_products(lambda, kHydrogen);
    const double lost = products.at("CO") * 282.98e3 + products.at("H2") * 241.83e3;
    EXPECT_NEAR(GasolineEfficiency{}(lambda), 1.0 - lost / kHeatPerCarbon, 1e-9) << lambda;
  }
}

// [Heywood 1988, fig. 3-9, from memory] about 0.75 to 0.85 at 20 % rich, 0.9 to 0.97 at 5 % rich.
TEST(CombustionEfficiency, AgreesWithHeywoodBand) {
  EXPECT_GT(GasolineEfficiency{}(1.0 / 1.2), 0.75);
  EXPECT_LT(GasolineEfficiency{}(1.0 / 1.2), 0.85);
  EXPECT_GT(GasolineEfficiency{}(1.0 / 1.05), 0.90);
  EXPECT_LT(GasolineEfficiency{}(1.0 / 1.05), 0.97);
}

TEST(CombustionEfficiency, IsCompleteWithEnoughAirAndFallsWhenRich) {
  EXPECT_NEAR(GasolineEfficiency{}(1.0), 1.0, 1e-14);
  EXPECT_NEAR(GasolineEfficiency{}(1.3), 1.0, 1e-14);
  double before = 1.0;
  for (double lambda = 0.99; lambda > 0.55; lambda -= 0.01) {
    EXPECT_LT(GasolineEfficiency{}(lambda), before);
    before = GasolineEfficiency{}(lambda);
  }
}

// Every oxygen atom that is missing leaves one CO or one H2 unburned: the loss lies between both.
TEST(CombustionEfficiency, LosesOneMoleculeForEveryMissingOxygenAtom) {
  for (const double lambda : {0.6, 0.7, 0.8, 0.9, 0.99}) {
    const double missing = 2.0 * (1.0 - lambda) * kOxygenDemand;
    const double lost = (1.0 - GasolineEfficiency{}(lambda)) * kHeatPerCarbon;
    EXPECT_GT(lost, missing * 241.83e3) << lambda;
    EXPECT_LT(lost, missing * 282.98e3) << lambda;
  }
}

// [Heywood 1988 and Stone, from memory] indicated efficiency 0.32 to 0.40 of engines; the cycle,
// gas exchange apart, lies some points above that where the mixture is stoichiometric.
TEST(IndicatedEfficiency, AgreesWithHeywoodBand) {
  for (const double compression_ratio : {9.0, 10.0, 11.0}) {
    EXPECT_GE(indicated(compression_ratio, 0.88), 0.32);
    EXPECT_LE(indicated(compression_ratio, 0.88), 0.40);
    EXPECT_GE(indicated(compression_ratio, 1.0), 0.32);
    EXPECT_LE(indicated(compression_ratio, 1.0), 0.42);
  }
}

// [Heywood 1988 eq. 5.31] the constant-volume air cycle with gamma 1.3 bounds every real engine.
TEST(IndicatedEfficiency, StaysBelowTheOttoCycle) {
  for (double r = 6.0; r <= 15.0; r += 0.5) {
    EXPECT_LT(indicated(r, 1.0), 1.0 - std::pow(r, -0.3));
    EXPECT_GT(indicated(r + 0.5, 1.0), indicated(r, 1.0));
  }
}

// At fixed air the work, efficiency over lambda, peaks where that of the cycle with its uneven
// mixture does, at 0.935, and falls to some 0.91 at 0.6.
TEST(IndicatedEfficiency, WorkAtFixedAirPeaksWhereTheCyclesDoes) {
  const auto work = [](double lambda) { return indicated(10.0, lambda) / lambda; };
  double best = 1.2;
  for (double lambda = 1.2; lambda > 0.6; lambda -= 0.005)
    if (work(lambda) > work(best)) best = lambda;
  EXPECT_NEAR(best, 0.935, 0.02);
  EXPECT_LT(work(1.0), work(best));
  EXPECT_NEAR(work(0.7) / work(best), 0.95, 0.02);
}

TEST(IndicatedEfficiency, FallsWithLateBurnAsTheCycleDoes) {
  const double best = indicated(10.0, 1.0);
  const auto late = [&](double degrees) {
    return indicated(10.0, 1.0, kBest + degrees * kDegree) / best;
  };
  EXPECT_NEAR(late(10.0), 0.958, 0.005);
  EXPECT_NEAR(late(30.0), 0.77, 0.02);
  double before = 1.1;
  for (double degrees = 0.0; degrees < 70.0; degrees += 5.0) {
    EXPECT_LT(late(degrees), before);
    before = late(degrees);
  }
  EXPECT_EQ(late(10.0), Combustion<double>{}.phasing_factor(kBest + 10.0 * kDegree));
}

// Denser and faster charge loses a smaller share of its heat to the walls, and works a little
// better for it.
TEST(MeanValue, WallHeatFallsWithDensityAndSpeed) {
  const auto at = [](double density, double speed) {
    return Combustion<double>{}.mean_value(10.0, 0.88, 0.0, density, speed, kBest);
  };
  EXPECT_LT(at(2.4, 15.0).wall_heat, 0.85 * at(1.2, 15.0).wall_heat);
  EXPECT_LT(at(1.2, 20.0).wall_heat, at(1.2, 8.0).wall_heat);
  EXPECT_GT(at(2.4, 15.0).work, at(1.2, 15.0).work);
  EXPECT_LT(at(1.2, 15.0).wall_heat + at(1.2, 15.0).work, GasolineEfficiency{}(0.88));
  // Beyond what was fitted the share stays one.
  EXPECT_NEAR(at(100.0, 15.0).wall_heat, at(1000.0, 15.0).wall_heat, 0.01);
  EXPECT_GT(at(1000.0, 15.0).wall_heat, 0.03);
  EXPECT_LT(at(0.05, 1.0).wall_heat, 0.5);
}

TEST(Phasing, RetardsAbove100KilopascalOnly) {
  Combustion<double> combustion;
  combustion.phasing_retard = 1e-6;
  EXPECT_EQ(combustion.phasing_at(0.6e5), combustion.phasing);
  EXPECT_NEAR(combustion.phasing_at(2e5), combustion.phasing + 0.1, 1e-15);
}

// [Heywood 1988, from memory] naturally aspirated, full load, compression ratio 10: mean peak
// pressures of 50 to 80 bar. 3.2 MJ/m^3 is gasoline at lambda 0.88 in air of 1.15 kg/m^3.
TEST(PeakPressure, AgreesWithNaturallyAspiratedBand) {
  EXPECT_GT(peak(kBest, 3.2e6), 50e5);
  EXPECT_LT(peak(kBest, 3.2e6), 80e5);
}

// Without heat and with the peak at top centre: compression from the mixed charge.
TEST(PeakPressure, WithoutHeatIsTheMotoredCompression) {
  const double start = (1e5 * 0.95 * 9.0 + 1.05e5) / 10.0;
  EXPECT_NEAR(peak(-mean_value::kPeakLater, 0.0), start * std::pow(10.0, mean_value::kPeakExponent),
              1e-6);
}

// [Heywood 1988 eqs 2.4 to 2.6] slider-crank volume, connecting rod 3.5 crank radii, read back from
// the motored pressure. 2e-3: the rod's obliquity is taken to first order.
TEST(PeakPressure, AgreesWithSliderCrankVolume) {
  const double start = (1e5 * 0.95 * 9.0 + 1.05e5) / 10.0;
  for (const double degrees : {0.0, 5.0, 15.0, 30.0, 45.0}) {
    const double angle = degrees * kDegree;
    const double sine = std::sin(angle);
    const double travel = 1.0 - std::cos(angle) + 3.5 - std::sqrt(3.5 * 3.5 - sine * sine);
    const double volume = 1.0 + 4.5 * travel;
    const double pressure = peak(angle - mean_value::kPeakLater, 0.0);
    EXPECT_NEAR(10.0 * std::pow(pressure / start, -1.0 / mean_value::kPeakExponent), volume,
                2e-3 * volume)
        << degrees;
  }
}

TEST(PeakPressure, RisesWithHeatBoostAndCompressionAndFallsWithRetard) {
  const double reference = peak(kBest, 3.2e6);
  EXPECT_GT(peak(kBest, 3.4e6), reference);
  EXPECT_GT(peak(kBest, 3.2e6, 1.2e5), reference);
  EXPECT_GT(peak(kBest, 3.2e6, 1e5, 10.5), reference);
  EXPECT_LT(peak(kBest + 5.0 * kDegree, 3.2e6), reference);
}

TEST(Combustion, LanesAgreeBitwiseWithPlainNumbers) {
  using test::expect_lanes_agree;
  const std::array<double, 4> lambda{0.7, 0.88, 1.0, 1.1};
  expect_lanes_agree(GasolineEfficiency{}, lambda);
  expect_lanes_agree(
      [](auto l) {
        using T = decltype(l);
        const auto shares = Combustion<T>{}.mean_value(T(9.5), l, T(0.4), T(1.7), T(18.0), T(0.2));
        return shares.work + shares.wall_heat;
      },
      lambda);
  expect_lanes_agree(
      [](auto p) {
        using T = decltype(p);
        return peak_pressure_estimate(T(9.0), p, T(1.1e5), T(0.9), T(0.2), T(3e6));
      },
      {5e4, 1e5, 1.8e5, 2.6e5});
}

TEST(Combustion, NamesTheBadInput) { test::expect_every_field_guarded(Combustion<double>{}); }

}  // namespace airchain::cylinder
