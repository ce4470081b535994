#include <gtest/gtest.h>

#include <cmath>

#include "airchain/numerics/elementary.hpp"
#include "support/lanes.hpp"

namespace airchain::numerics {

using test::expect_lanes_agree;

namespace {

// Two units in the last place of numbers just above a power of two.
constexpr double kTwoUnits = 4.5e-16;

struct Exp {
  template <class T>
  T operator()(T x) const {
    return numerics::exp(x);
  }
};
struct Log {
  template <class T>
  T operator()(T x) const {
    return numerics::log(x);
  }
};
struct Choices {
  template <class T>
  T operator()(T x) const {
    const T bounded = min(max(x, T(-1.0)), T(2.0));
    return where((x > T(0.0)) & !(x >= T(1.5)), bounded, sqrt(numerics::abs(x))) / T(3.0) - x;
  }
};

}  // namespace

// [C++ standard library, glibc] correctly rounded to within one unit.
TEST(Exp, AgreesWithStandardLibrary) {
  for (int i = -60000; i <= 60000; ++i) {
    const double x = i * 0.011513;
    const double expected = std::exp(x);
    ASSERT_NEAR(numerics::exp(x), expected, kTwoUnits * expected) << x;
  }
}

TEST(Log, AgreesWithStandardLibrary) {
  for (int i = 1; i <= 60000; ++i) {
    for (const double x : {i * 1.3e-4, i * 7.7e3, 1.0 + i * 1e-9, 1.0 - i * 1e-6, 1e-290 * i}) {
      const double expected = std::log(x);
      ASSERT_NEAR(numerics::log(x), expected, kTwoUnits * std::abs(expected)) << x;
    }
  }
}

// Two parts of pi/2 leave 4e-16 of the angle's size.
TEST(SineCosine, AgreesWithStandardLibrary) {
  for (int i = -40000; i <= 40000; ++i) {
    const double x = i * 0.000917;
    const auto [sine, cosine] = sine_cosine(x);
    ASSERT_NEAR(sine, std::sin(x), 4e-16 + 1e-16 * std::abs(x)) << x;
    ASSERT_NEAR(cosine, std::cos(x), 4e-16 + 1e-16 * std::abs(x)) << x;
  }
  expect_lanes_agree([](auto x) { return sine_cosine(x).sine + sine_cosine(x).cosine; },
                     {0.3, 2.0, 4.1, 5.9});
}

// The rounding of y ln x grows with its size; of a few tens, some 1e-14.
TEST(Pow, AgreesWithStandardLibrary) {
  for (int i = 1; i <= 400; ++i) {
    const double x = 0.02 * i;
    for (const double y : {-3.5, -0.2857142857142857, 0.4, 3.5}) {
      const double expected = std::pow(x, y);
      ASSERT_NEAR(numerics::pow(x, y), expected, 1e-14 * expected) << x << " to the " << y;
    }
  }
}

// The two series leave 7.5e-9 of the power and 7e-10 of the logarithm; every mantissa, and
// exponents of both signs.
TEST(QuickPow, AgreesWithStandardLibrary) {
  for (int i = 1; i <= 3000; ++i) {
    for (const double x : {1e-3 * i, 0.37 * i, 1e-9 * i, 1e12 * i})
      for (const double y : {-7.0, -0.55, 0.142857, 0.8, 3.5, 10.0}) {
        const double expected = std::pow(x, y);
        const double off = (7.5e-9 + 7e-10 * std::abs(y)) * expected;
        ASSERT_NEAR(numerics::quick_pow(x, y), expected, off) << x << " to the " << y;
      }
    const double x = 0.0173 * i;
    expect_lanes_agree([](auto t) { return numerics::quick_pow(t, decltype(t)(0.2857)); },
                       {x, 1.0 / x, 1e9 * x, 1e-12 * x});
  }
  EXPECT_EQ(numerics::quick_pow(1.0, 3.5), 1.0);
  for (const double none : {0.0, -2.0, std::nan("")})
    EXPECT_TRUE(std::isnan(numerics::quick_pow(none, 0.5)));
}

TEST(Exp, HoldsBeyondItsRangeAndKeepsNaN) {
  EXPECT_EQ(numerics::exp(800.0), numerics::exp(700.0));
  EXPECT_EQ(numerics::exp(-800.0), numerics::exp(-700.0));
  EXPECT_TRUE(std::isfinite(numerics::exp(800.0)));
  EXPECT_TRUE(std::isnan(numerics::exp(std::nan(""))));
  EXPECT_EQ(numerics::exp(0.0), 1.0);
}

TEST(Log, IsNoNumberWhereThereIsNone) {
  EXPECT_EQ(numerics::log(1.0), 0.0);
  EXPECT_TRUE(std::isnan(numerics::log(0.0)));
  EXPECT_TRUE(std::isnan(numerics::log(-2.0)));
  EXPECT_TRUE(std::isnan(numerics::log(std::nan(""))));
}

TEST(ExpAndLog, UndoEachOther) {
  for (double x = -20.0; x <= 20.0; x += 0.37)
    EXPECT_NEAR(numerics::log(numerics::exp(x)), x, 2.3e-16 + 2.3e-16 * std::abs(x));
}

TEST(Lanes, AgreeBitwiseWithPlainNumbers) {
  for (int i = 1; i <= 500; ++i) {
    const double x = 0.0173 * i;
    expect_lanes_agree(Exp{}, {x, -x, 37.0 * x, -71.3 * x});
    expect_lanes_agree(Log{}, {x, 1.0 / x, 1e9 * x, 1e-12 * x});
    expect_lanes_agree(Choices{}, {x, -x, 0.0, 1.5});
  }
  expect_lanes_agree(Exp{}, {900.0, -900.0, 0.0, 700.0});
}

TEST(Lanes, AnyMaskIsTrueWithOneLane) {
  const auto x = test::lanes_of({1.0, 2.0, 3.0, 4.0});
  EXPECT_TRUE(any(x > test::Lanes(3.5)));
  EXPECT_FALSE(any(x > test::Lanes(4.0)));
  EXPECT_TRUE(any((x <= test::Lanes(1.0)) | (x < test::Lanes(0.0))));
}

// As the SSE instructions do; the kernels rely on it to keep a bound when a value is no number.
TEST(MinAndMax, TakeTheSecondWhenTheFirstIsNaN) {
  EXPECT_EQ(numerics::max(std::nan(""), 3.0), 3.0);
  EXPECT_EQ(numerics::min(std::nan(""), 3.0), 3.0);
}

}  // namespace airchain::numerics
