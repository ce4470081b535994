#include <gtest/gtest.h>

#include <cmath>

#include "airchain/duct/duct.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"

namespace airchain::duct {

using test::expect_refusal;

namespace {

const Duct<double> kFilter{1.8, 0.012};
const Duct<double> kPipe{0.6, 0.007};

/// Pressure ratios at a flow parameter y = W sqrt(R T)/p.
template <class T>
T from_inlet(const Duct<T>& duct, T y) {
  return Duct<T>::ratio_from_inlet(duct.resistance(), y * y);
}
template <class T>
T from_outlet(const Duct<T>& duct, T y) {
  return Duct<T>::ratio_from_outlet(duct.resistance(), y * y);
}

/// Pressure lost by `duct` at a mass flow, of air of 1e5 Pa at `density`.
double drop(const Duct<double>& duct, double mass_flow, double density) {
  const double pressure = 1e5;
  const double flow_parameter = mass_flow / std::sqrt(pressure * density);  // R T = p / rho
  return pressure * (1.0 - from_inlet(duct, flow_parameter));
}

}  // namespace

// [Darcy and Weisbach, as in White, Fluid Mechanics] dp = K rho v^2 / 2, v = W/(rho A).
TEST(Duct, AgreesWithLossCoefficientFormula) {
  const double v = 0.35 / (1.16 * 0.012);
  EXPECT_NEAR(drop(kFilter, 0.35, 1.16), 1.8 * 0.5 * 1.16 * v * v, 1e-9);
}

TEST(Duct, FromMeasuredDropReturnsTheDrop) {
  for (const double pressure_drop : {50.0, 1800.0, 12000.0}) {
    const auto duct = from_pressure_drop(pressure_drop, 0.42, 1.19);
    EXPECT_NEAR(drop(duct, 0.42, 1.19), pressure_drop, 1e-9);
    EXPECT_NEAR(drop(duct, 0.21, 1.19), pressure_drop / 4.0, 1e-9);  // square law
    EXPECT_NEAR(drop(duct, 0.42, 2.38), pressure_drop / 2.0, 1e-9);
  }
}

TEST(Duct, InSeriesLosesTheSum) {
  const auto both = in_series({kFilter, kPipe});
  EXPECT_NEAR(drop(both, 0.3, 1.2), drop(kFilter, 0.3, 1.2) + drop(kPipe, 0.3, 1.2), 1e-9);
  EXPECT_NEAR(drop(in_series({kPipe, kFilter}), 0.3, 1.2), drop(both, 0.3, 1.2), 1e-9);
  EXPECT_EQ(in_series({}).loss_coefficient, 0.0);
}

// Air thins on the way: two like ducts lose k y^2 (1 + 1/r) for the sum's 2 k y^2, and in the limit
// of many dp/p = -k y^2/p^2, p^2 = 1 - 2 k y^2.
TEST(Duct, InSeriesUnderstatesAsItSays) {
  for (const int count : {2, 50}) {
    const std::vector<Duct<double>> ducts(static_cast<std::size_t>(count), {1.2 / count, 0.007});
    double chain = 1.0;
    for (const auto& duct : ducts) chain *= from_inlet(duct, 0.004 / chain);
    const double sum = 1.0 - from_inlet(in_series(ducts), 0.004);
    const double loss = 1.0 - chain;
    EXPECT_GT(loss, 0.15);
    EXPECT_NEAR((1.0 - sum / loss) / loss, count == 2 ? 0.25 : 0.5, 0.04) << count;
  }
}

TEST(Duct, InletAndOutletFormsAreInverses) {
  for (double y = 0.0; y < 0.007; y += 0.0005) {
    const double ratio = from_inlet(kPipe, y);
    EXPECT_NEAR(from_outlet(kPipe, y / ratio), ratio, 1e-14);
  }
}

TEST(Duct, WithoutLossOrFlowKeepsThePressure) {
  EXPECT_EQ(from_inlet(kPipe, 0.0), 1.0);
  EXPECT_EQ(from_outlet(kPipe, 0.0), 1.0);
  EXPECT_EQ((from_inlet(Duct<double>{0.0, 0.01}, 0.01)), 1.0);
}

// [Bernoulli] 30 m/s in air of 1.2 kg/m^3: 540 Pa.
TEST(Scoop, AgreesWithDynamicPressure) {
  gas::Stream<double> s;
  s.pressure = 1e5;
  s.temperature = 300.0;
  const auto ram = Scoop<double>{30.0, 0.75, 8.0}.at(s, 1.2);
  EXPECT_NEAR(ram.pressure - s.pressure, 0.75 * 540.0, 1e-9);
  EXPECT_NEAR(ram.temperature, 308.0, 1e-12);
  const auto still = Scoop<double>{0.0, 0.75, 0.0}.at(s, 1.2);
  EXPECT_EQ(still.pressure, s.pressure);
}

TEST(Duct, LanesAgreeBitwiseWithPlainNumbers) {
  const auto both = [](auto y) {
    using T = decltype(y);
    const Duct<T> duct{T(0.6), T(0.007)};
    return from_inlet(duct, y) - from_outlet(duct, y);
  };
  test::expect_lanes_agree(both, {0.0, 0.001, 0.004, 0.007});
}

TEST(Duct, NamesTheBadInput) {
  test::expect_every_field_guarded(kFilter);
  test::expect_every_field_guarded(Scoop<double>{});
  expect_refusal([] { from_pressure_drop(0.0, 0.4, 1.2); },
                 "Duct: pressure_drop = 0 Pa; must be above 0 and at most 50000 Pa");
  expect_refusal([] { from_pressure_drop(100.0, -0.4, 1.2); }, "Duct: mass_flow = -0.4 kg/s");
  expect_refusal([] { from_pressure_drop(100.0, 0.4, 0.0); }, "Duct: density = 0 kg/m^3");
  expect_refusal([] { in_series({kFilter, {1.0, -0.1}}); }, "Duct: area = -0.1 m^2");
}

}  // namespace airchain::duct
