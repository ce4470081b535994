#pragma once

#include <array>

#include "airchain/numerics/pack.hpp"

// Cubics kept as coefficients, four numbers side by side: one load a lane.
namespace airchain::numerics {

typedef double Four __attribute__((vector_size(32), aligned(8)));

/// Coefficients in t = (x - x0)/width of the cubic with these values and slopes at its ends.
inline std::array<double, 4> cubic_coefficients(double y0, double slope0, double y1, double slope1,
                                                double width) {
  const double rise = y1 - y0;
  const double s0 = width * slope0;
  const double s1 = width * slope1;
  return {y0, s0, 3.0 * rise - (2.0 * s0 + s1), (s0 + s1) - 2.0 * rise};
}

/// a + b t + c t^2 + d t^3, of numbers or of whole rows.
template <class Value, class T>
AIRCHAIN_INLINE Value cubic_at(Value a, Value b, Value c, Value d, T t) {
  return (a + b * t) + (c + d * t) * (t * t);
}

/// Cubics in every lane.
template <class T>
struct Cubic {
  T a, b, c, d;

  /// From the coefficients of every lane's cubic in `rows`.
  AIRCHAIN_INLINE static Cubic from(const Four* rows) {
    Cubic cubic;
    if constexpr (kLanes<T> == 4) {
      typedef double V __attribute__((vector_size(32)));
      const V r0 = rows[0], r1 = rows[1], r2 = rows[2], r3 = rows[3];
      const V even01 = __builtin_shufflevector(r0, r1, 0, 4, 2, 6);
      const V odd01 = __builtin_shufflevector(r0, r1, 1, 5, 3, 7);
      const V even23 = __builtin_shufflevector(r2, r3, 0, 4, 2, 6);
      const V odd23 = __builtin_shufflevector(r2, r3, 1, 5, 3, 7);
      cubic.a = T(__builtin_shufflevector(even01, even23, 0, 1, 4, 5));
      cubic.b = T(__builtin_shufflevector(odd01, odd23, 0, 1, 4, 5));
      cubic.c = T(__builtin_shufflevector(even01, even23, 2, 3, 6, 7));
      cubic.d = T(__builtin_shufflevector(odd01, odd23, 2, 3, 6, 7));
    } else if constexpr (kLanes<T> > 4) {
      const auto low = Cubic<typename T::Half>::from(rows);
      const auto high = Cubic<typename T::Half>::from(rows + kLanes<T> / 2);
      cubic.a = T(low.a, high.a);
      cubic.b = T(low.b, high.b);
      cubic.c = T(low.c, high.c);
      cubic.d = T(low.d, high.d);
    } else {
      const Four r = rows[0];
      cubic = {r[0], r[1], r[2], r[3]};
    }
    return cubic;
  }

  AIRCHAIN_INLINE T at(T t) const { return cubic_at(a, b, c, d, t); }
  AIRCHAIN_INLINE T slope(T t) const { return b + t * (T(2.0) * c + t * (T(3.0) * d)); }
};

}  // namespace airchain::numerics
