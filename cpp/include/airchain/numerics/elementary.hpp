#pragma once

#include "airchain/numerics/pack.hpp"

// exp, log and pow in one source for plain numbers and lanes, so that both agree to the last bit
// (the platform's libm would differ between them). Within 2 units in the last place of libm.
namespace airchain::numerics {

/// exp(x) for -700 <= x <= 700; beyond, the value at that bound. NaN gives NaN.
template <class T>
AIRCHAIN_INLINE T exp(T x) {
  using Bits = BitsOf<T>;
  const T bounded = where(x > T(700.0), T(700.0), where(x < T(-700.0), T(-700.0), x));
  constexpr double kShift = 6755399441055744.0;  // 1.5 * 2^52: adding it rounds to an integer
  const T shifted = bounded * T(1.4426950408889634) + T(kShift);
  const T k = shifted - T(kShift);
  // ln 2 in two parts (Cody and Waite), the first with trailing zeros so that k * part is exact.
  const T r = (bounded - k * T(6.93147180369123816490e-01)) - k * T(1.90821492927058770002e-10);
  // Taylor series to r^13 on |r| <= ln(2)/2: remainder below 5e-18.
  const T r2 = r * r;
  const T r4 = r2 * r2;
  const T low = (T(1.0) + r) + r2 * (T(1.0 / 2) + r * T(1.0 / 6));
  const T mid = (T(1.0 / 24) + r * T(1.0 / 120)) + r2 * (T(1.0 / 720) + r * T(1.0 / 5040));
  const T high = (T(1.0 / 40320) + r * T(1.0 / 362880)) +
                 r2 * (T(1.0 / 3628800) + r * T(1.0 / 39916800)) +
                 r4 * (T(1.0 / 479001600) + r * T(1.0 / 6227020800));
  const T series = low + r4 * (mid + r4 * high);
  return Bits::to(Bits::from(series) + (Bits::from(shifted) << 52));
}

namespace detail {

template <class T>
struct Split {
  T mantissa, exponent;
};
/// x = m 2^e with sqrt(1/2) <= m < sqrt(2), for a positive normal number.
template <class T>
AIRCHAIN_INLINE Split<T> split(T x) {
  using Bits = BitsOf<T>;
  const auto bits = Bits::from(x);
  const auto whole = (bits - 0x3FE6A09E667F3BCDLL) & ~0xFFFFFFFFFFFFFLL;  // e 2^52
  // A small integer becomes a double through the mantissa of 2^52; 1024 keeps it positive.
  const auto above = Bits::shifted(whole + 0x4000000000000000LL, 52);
  return {Bits::to(bits - whole), Bits::to(above + 0x4330000000000000LL) - T(0x1p52 + 1024.0)};
}

}  // namespace detail

/// Natural logarithm of a positive normal number; NaN for zero, negative numbers and NaN.
template <class T>
AIRCHAIN_INLINE T log(T x) {
  const auto [m, e] = detail::split(x);
  const T s = (m - T(1.0)) / (m + T(1.0));
  const T z = s * s;
  const T z2 = z * z;
  const T z4 = z2 * z2;
  const T p = (T(2.0 / 3) + z * T(2.0 / 5)) + z2 * (T(2.0 / 7) + z * T(2.0 / 9)) +
              z4 * ((T(2.0 / 11) + z * T(2.0 / 13)) + z2 * (T(2.0 / 15) + z * T(2.0 / 17)) +
                    z4 * (T(2.0 / 19) + z * T(2.0 / 21)));
  const T value = e * T(6.93147180369123816490e-01) +
                  (s * T(2.0) + (s * z * p + e * T(1.90821492927058770002e-10)));
  return where(x > T(0.0), value, T(__builtin_nan("")));
}

/// x^y for positive x.
template <class T>
AIRCHAIN_INLINE T pow(T x, T y) {
  return exp(y * log(x));
}

/// x^y within 7.5e-9 + 7e-10 |y| of itself for a positive normal x and |y log(x)| below 700, in
/// half the work of `pow`: for what a search stops short of anyway. NaN for zero, negative numbers
/// and NaN.
template <class T>
AIRCHAIN_INLINE T quick_pow(T x, T y) {
  using Bits = BitsOf<T>;
  const auto [m, e] = detail::split(x);
  // log(m) = 2 artanh(s) to s^9: remainder below 7e-10 on |s| <= 0.172.
  const T s = (m - T(1.0)) / (m + T(1.0));
  const T z = s * s;
  const T z2 = z * z;
  const T p = (T(2.0) + z * T(2.0 / 3)) + z2 * ((T(2.0 / 5) + z * T(2.0 / 7)) + z2 * T(2.0 / 9));
  const T power = y * (e * T(0.69314718055994531) + s * p);
  // exp as 2^k exp(r), its Taylor series to r^7: remainder below 7.5e-9 of it on |r| <= ln(2)/2.
  constexpr double kShift = 6755399441055744.0;  // as in exp
  const T shifted = power * T(1.4426950408889634) + T(kShift);
  const T r = power - (shifted - T(kShift)) * T(0.69314718055994531);
  const T r2 = r * r;
  const T low = (T(1.0) + r) + r2 * (T(1.0 / 2) + r * T(1.0 / 6));
  const T high = (T(1.0 / 24) + r * T(1.0 / 120)) + r2 * (T(1.0 / 720) + r * T(1.0 / 5040));
  const T series = low + r2 * r2 * high;
  const T value = Bits::to(Bits::from(series) + (Bits::from(shifted) << 52));
  return where(x > T(0.0), value, T(__builtin_nan("")));
}

template <class T>
struct SineCosine {
  T sine, cosine;
};
/// Sine and cosine of an angle below 1e5 in size.
template <class T>
AIRCHAIN_INLINE SineCosine<T> sine_cosine(T x) {
  constexpr double kShift = 6755399441055744.0;
  const T k = (x * T(0.63661977236758134308) + T(kShift)) - T(kShift);
  // pi/2 in two parts, as in exp.
  const T r = (x - k * T(1.57079632673412561417)) - k * T(6.07710050650619224932e-11);
  const T z = r * r;
  // Taylor series to r^18 on |r| <= pi/4: remainder below 1e-17.
  const auto series = [&](const double* c) {
    T sum(c[7]);
    for (int i = 7; i-- > 0;) sum = sum * z + T(c[i]);
    return T(1.0) + z * sum;
  };
  constexpr double kSine[] = {-1.0 / 6,
                              1.0 / 120,
                              -1.0 / 5040,
                              1.0 / 362880,
                              -1.0 / 39916800,
                              1.0 / 6227020800,
                              -7.647163731819816e-13,
                              2.811457254345521e-15};
  constexpr double kCosine[] = {-1.0 / 2,
                                1.0 / 24,
                                -1.0 / 720,
                                1.0 / 40320,
                                -1.0 / 3628800,
                                1.0 / 479001600,
                                -1.1470745597729725e-11,
                                4.779477332387385e-14};
  const T s = r * series(kSine);
  const T c = series(kCosine);
  const T turns = (k * T(0.25) + T(kShift)) - T(kShift);  // nearest whole turn: quarter -2 to 2
  const T quarter = k - T(4.0) * turns;
  const auto odd = abs(abs(quarter) - T(1.0)) < T(0.5);
  const T sine = where(odd, c, s);
  const T cosine = where(odd, s, c);
  const auto upside_down = (quarter < T(-0.5)) | (quarter > T(1.5));
  const auto left = (quarter > T(0.5)) | (quarter < T(-1.5));
  return {where(upside_down, -sine, sine), where(left, -cosine, cosine)};
}

template <class T>
AIRCHAIN_INLINE T square(T x) {
  return x * x;
}

}  // namespace airchain::numerics
