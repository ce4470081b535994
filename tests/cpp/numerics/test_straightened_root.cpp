#include <gtest/gtest.h>

#include <cmath>

#include "airchain/numerics/straightened_root.hpp"
#include "support/lanes.hpp"

namespace airchain::numerics {

namespace {

/// What was found of x^3 + x = level on [0, 2], and what is kept of q = x^2 at the root.
template <class T>
struct Kept {
  StraightenedRoot<T> root;
  T square{-1.0}, times{0.0};
};

/// The quantity that straightens is x^3 + x itself where `exact`, else only near it.
template <bool exact>
struct StraightenedCubic {
  template <class T>
  Kept<T> operator()(T level) const {
    Kept<T> found;
    T now(0.0), before(0.0);
    bool begun = false;
    const auto measure = [&](T x) {
      before = begun ? now : x * x;
      now = x * x;
      begun = true;
      const T rise = exact ? T(3.0) * x * x + T(1.0) : T(2.0) * x + T(1.0);
      return Straightened<T>{(x * x * x + x - level) * T(0.1), rise};
    };
    const auto keep = [&](auto lanes, T share) {
      found.square = where(lanes, now + share * (now - before), found.square);
      found.times += where(lanes, T(1.0), T(0.0));
    };
    found.root = straightened_root<T>(measure, keep, T(0.0), T(2.0), T(0.7), T(0.1), 1e-12, 1e-14);
    return found;
  }
};

}  // namespace

// Closed form of Cardano for x^3 + x = c.
TEST(StraightenedRoot, AgreesWithCardanoAndKeepsWhatStandsThere) {
  for (double c = 0.1; c < 10.0; c += 0.05) {
    const double q = std::sqrt(c * c / 4.0 + 1.0 / 27.0);
    const double expected = std::cbrt(c / 2.0 + q) + std::cbrt(c / 2.0 - q);
    for (const auto& found : {StraightenedCubic<true>{}(c), StraightenedCubic<false>{}(c)}) {
      EXPECT_EQ(found.root.converged, 1.0);
      EXPECT_EQ(found.times, 1.0);
      EXPECT_NEAR(found.root.x, expected, 1e-10) << c;
      EXPECT_NEAR(found.square, expected * expected, 1e-10) << c;
      EXPECT_LE(found.root.evaluations, 9) << c;
    }
  }
}

TEST(StraightenedRoot, SaysOnWhichSideTheRootLies) {
  const auto below = StraightenedCubic<false>{}(-1.0), above = StraightenedCubic<false>{}(11.0);
  EXPECT_EQ(below.root.below, 1.0);
  EXPECT_EQ(below.root.x, 0.0);
  EXPECT_EQ(below.square, 0.0);
  EXPECT_EQ(above.root.above, 1.0);
  EXPECT_EQ(above.root.x, 2.0);
  EXPECT_EQ(above.square, 4.0);
  EXPECT_EQ(below.root.converged + above.root.converged, 2.0);
}

TEST(StraightenedRoot, FindsAJumpAndNeverCallsNaNConverged) {
  const auto at = [](auto f) {
    const auto measure = [&](double x) { return Straightened<double>{f(x), 1.0}; };
    return straightened_root<double>(
        measure, [](bool, double) {}, 0.0, 1.0, 0.5, 1.0, 1e-13, 1e-15);
  };
  const auto jump = at([](double x) { return x > 0.3 ? 1.0 : -1.0; });
  EXPECT_EQ(jump.converged, 1.0);
  EXPECT_NEAR(jump.x, 0.3, 1e-14);
  EXPECT_EQ(at([](double) { return std::nan(""); }).converged, 0.0);
}

TEST(StraightenedRoot, LanesAgreeBitwiseWithPlainNumbers) {
  const std::array<double, 4> levels[] = {
      {0.7, 9.9, 3.0, 0.01}, {-1.0, 5.0, 11.0, 0.0}, {1.3, 1.3001, 10.0, 7.7}};
  for (const auto& level : levels) {
    test::expect_lanes_agree([](auto c) { return StraightenedCubic<false>{}(c).root.x; }, level);
    test::expect_lanes_agree([](auto c) { return StraightenedCubic<false>{}(c).square; }, level);
    test::expect_lanes_agree([](auto c) { return StraightenedCubic<true>{}(c).square; }, level);
    test::expect_lanes_agree(
        [](auto c) {
          return StraightenedCubic<false>{}(c).root.below -
                 StraightenedCubic<false>{}(c).root.above;
        },
        level);
  }
}

}  // namespace airchain::numerics
