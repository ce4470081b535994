#include <gtest/gtest.h>

#include <cmath>

#include "airchain/numerics/curve.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"

namespace airchain::numerics {

using test::expect_refusal;

namespace {

const std::vector<double> kX{0.0, 1.0, 2.5, 3.0, 5.0, 6.0};
const std::vector<double> kY{1.0, 2.0, 2.2, 2.1, 4.0, 4.0};
const std::vector<double> kBetween{0.4, 1.7, 2.6, 4.0, 5.5};

Curve curve(Slopes slopes) { return Curve(kX, kY, "Curve", "x", "y", slopes); }

void expect_through(const Curve& c, const std::vector<double>& expected) {
  for (std::size_t i = 0; i < kBetween.size(); ++i)
    EXPECT_NEAR(c.at(kBetween[i]), expected[i], 4e-15) << kBetween[i];
}

}  // namespace

// [SciPy 1.17.1] scipy.interpolate.PchipInterpolator(kX, kY)(kBetween)
TEST(Curve, AgreesWithScipyPchip) {
  expect_through(curve(Slopes::monotone),
                 {1.5221183471074382, 2.1393812059993875, 2.1896, 3.05, 4.0});
}

// [SciPy 1.17.1] scipy.interpolate.CubicSpline(kX, kY, bc_type=((1, a), (1, b)))(kBetween), with a
// and b the end slopes of numpy.polyfit(..., 3) through the first and the last four points.
TEST(Curve, AgreesWithScipyCubicSpline) {
  expect_through(curve(Slopes::smooth), {1.5112229631265184, 2.2550625221821514, 2.170632963862516,
                                         2.871811290203871, 4.22150327518952});
}

TEST(Curve, PassesThroughItsPoints) {
  for (const Slopes slopes : {Slopes::monotone, Slopes::smooth}) {
    const Curve c = curve(slopes);
    for (std::size_t i = 0; i < kX.size(); ++i) EXPECT_DOUBLE_EQ(c.at(kX[i]), kY[i]);
    EXPECT_EQ(c.y(), kY);
    EXPECT_EQ(c.x(), kX);
  }
}

TEST(Curve, NeverOvershootsMonotoneData) {
  const Curve c({0.0, 1.0, 1.1, 4.0, 9.0}, {0.0, 0.1, 5.0, 5.0, 7.0}, "Curve", "x", "y");
  double before = c.at(0.0);
  for (int i = 1; i <= 9000; ++i) {
    const double now = c.at(0.001 * i);
    ASSERT_GE(now, before - 1e-14) << 0.001 * i;
    before = now;
  }
  EXPECT_EQ(c.at(2.7), 5.0);  // flat data stay flat
}

TEST(Curve, SmoothReproducesACubic) {
  const auto cubic = [](double x) { return 2.0 - x + 0.5 * x * x - 0.1 * x * x * x; };
  std::vector<double> y;
  for (const double x : kX) y.push_back(cubic(x));
  const Curve c(kX, y, "Curve", "x", "y", Slopes::smooth);
  for (double x = 0.0; x <= 6.0; x += 0.1) EXPECT_NEAR(c.at(x), cubic(x), 2e-14);
}

TEST(Curve, TwoPointsMakeAStraightLineAndOneAConstant) {
  const Curve line({1.0, 3.0}, {10.0, 20.0}, "Curve", "x", "y");
  EXPECT_NEAR(line.at(1.5), 12.5, 1e-14);
  const Curve constant(0.7);
  EXPECT_TRUE(constant.constant());
  EXPECT_EQ(constant.at(-1e9), 0.7);
  EXPECT_TRUE(constant.inside(1e9));
}

TEST(Curve, HoldsItsEndsAndKnowsThem) {
  const Curve c = curve(Slopes::monotone);
  EXPECT_EQ(c.at(-1.0), 1.0);
  EXPECT_DOUBLE_EQ(c.at(7.0), 4.0);
  EXPECT_TRUE(c.inside(0.0) && c.inside(6.0));
  EXPECT_FALSE(c.inside(-1e-9) || c.inside(6.0 + 1e-9) || c.inside(std::nan("")));
  EXPECT_TRUE(std::isnan(c.at(std::nan(""))));
  EXPECT_EQ(c.lowest(), 1.0);
  EXPECT_EQ(c.highest(), 4.0);
}

TEST(Curve, LanesAgreeBitwiseWithPlainNumbers) {
  const Curve uneven = curve(Slopes::monotone);
  const Curve even({0.0, 1.0, 2.0, 3.0}, {0.0, 3.0, 1.0, 5.0}, "Curve", "x", "y", Slopes::smooth);
  for (const Curve& c : {uneven, even})
    test::expect_lanes_agree([&](auto x) { return c.at(x); }, {0.3, 2.99, -4.0, 17.0});
}

TEST(Curve, NamesTheBadInput) {
  expect_refusal([] { Curve({}, {}, "Cooler", "mass_flow", "value"); },
                 "Cooler: mass_flow is empty; must be at least one number");
  expect_refusal(
      [] {
        Curve({1.0, 1.0}, {0.0, 1.0}, "Cooler", "mass_flow", "value");
      },
      "Cooler: mass_flow[1] = 1; must be greater than the one before it (1)");
  expect_refusal(
      [] {
        Curve({1.0, 2.0}, {0.0}, "Cooler", "mass_flow", "value");
      },
      "Cooler: value has 1 values but mass_flow has 2; must be as many");
  expect_refusal(
      [] {
        Curve({1.0, 2.0}, {0.0, std::nan("")}, "Cooler", "mass_flow", "value");
      },
      "Cooler: value[1] = nan; must be a finite number");
}

}  // namespace airchain::numerics
