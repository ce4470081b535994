#include <gtest/gtest.h>

#include <cmath>

#include "airchain/numerics/elementary.hpp"
#include "airchain/numerics/root.hpp"
#include "support/lanes.hpp"

namespace airchain::numerics {

namespace {

/// Root of x^3 + x - level on [0, 2], rising through zero.
struct ShiftedCubic {
  template <class T>
  Root<T> operator()(T level) const {
    return bracketed_root<T>([&](T x) { return x * x * x + x - level; }, T(0.0), T(2.0), T(1.0),
                             T(4.0), 1e-13, 1e-15);
  }
};

Root<double> root_of(double (*f)(double), double low, double high) {
  return bracketed_root<double>(f, low, high, 0.5 * (low + high), 1.0, 1e-13, 1e-15);
}

}  // namespace

// Closed form of Cardano for x^3 + x = c.
TEST(BracketedRoot, AgreesWithCardano) {
  for (double c = 0.1; c < 10.0; c += 0.3) {
    const double q = std::sqrt(c * c / 4.0 + 1.0 / 27.0);
    const double expected = std::cbrt(c / 2.0 + q) + std::cbrt(c / 2.0 - q);
    const auto root = ShiftedCubic{}(c);
    EXPECT_EQ(root.converged, 1.0);
    EXPECT_NEAR(root.x, expected, 2e-13);
    EXPECT_LE(root.evaluations, 12);
  }
}

TEST(BracketedRoot, FindsRootsOnItsEnds) {
  for (const double level : {0.0, 10.0}) {
    const auto root = ShiftedCubic{}(level);
    EXPECT_EQ(root.converged, 1.0);
    EXPECT_NEAR(root.x, level > 0.0 ? 2.0 : 0.0, 1e-12);
  }
}

TEST(BracketedRoot, SaysOnWhichSideTheRootLies) {
  const auto below = ShiftedCubic{}(-1.0);
  EXPECT_EQ(below.below, 1.0);
  EXPECT_EQ(below.above, 0.0);
  EXPECT_EQ(below.x, 0.0);
  const auto above = ShiftedCubic{}(11.0);
  EXPECT_EQ(above.above, 1.0);
  EXPECT_EQ(above.below, 0.0);
  EXPECT_EQ(above.x, 2.0);
  EXPECT_EQ(above.value, -1.0);
}

TEST(BracketedRoot, FindsRootsOfStiffAndOfFlatFunctions) {
  const auto stiff = root_of([](double x) { return numerics::exp(40.0 * x) - 2.0; }, -1.0, 1.0);
  EXPECT_NEAR(stiff.x, std::log(2.0) / 40.0, 1e-14);
  const auto step = root_of([](double x) { return x > 0.3 ? 1.0 : -1.0; }, 0.0, 1.0);
  EXPECT_EQ(step.converged, 1.0);
  EXPECT_NEAR(step.x, 0.3, 1e-14);
  const auto flat = root_of([](double x) { return (x - 0.2) * (x - 0.2) * (x - 0.2); }, -1.0, 1.0);
  EXPECT_EQ(flat.converged, 1.0);
  EXPECT_NEAR(flat.x, 0.2, 1e-4);  // |f| <= 1e-13 there
}

TEST(BracketedRoot, NeverCallsNaNConverged) {
  const auto root = root_of([](double) { return std::nan(""); }, 0.0, 1.0);
  EXPECT_EQ(root.converged, 0.0);
}

TEST(BracketedRoot, SaysWhenItRanOutOfEvaluations) {
  const auto root = bracketed_root<double>([](double x) { return x > 0.3 ? 1.0 : -1.0; }, 0.0, 1.0,
                                           0.5, 1.0, 1e-13, 1e-15, 5);
  EXPECT_EQ(root.converged, 0.0);
}

TEST(BracketedRoot, LanesAgreeBitwiseWithPlainNumbers) {
  const std::array<double, 4> levels[] = {{0.7, 9.9, 3.0, 0.01}, {-1.0, 5.0, 11.0, 0.0}};
  for (const auto& level : levels) {
    test::expect_lanes_agree([](auto c) { return ShiftedCubic{}(c).x; }, level);
    test::expect_lanes_agree([](auto c) { return ShiftedCubic{}(c).value; }, level);
    test::expect_lanes_agree(
        [](auto c) { return ShiftedCubic{}(c).below - ShiftedCubic{}(c).above; }, level);
  }
}

}  // namespace airchain::numerics
