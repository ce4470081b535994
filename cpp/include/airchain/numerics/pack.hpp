#pragma once

#include <cmath>
#include <cstdint>
#include <cstring>

// Lanes: one arithmetic type over several operating points. The tag names the instruction set the
// translation unit is compiled for, so that the linker never merges code of two sets.
namespace airchain::numerics {

#define AIRCHAIN_INLINE inline __attribute__((always_inline))

template <int W>
struct VectorTypes {
  typedef double Values __attribute__((vector_size(W * 8)));
  typedef long long Bits __attribute__((vector_size(W * 8)));
};

template <int W, class Tag>
struct Mask {
  using Bits = typename VectorTypes<W>::Bits;
  Bits bits;
};

template <int W, class Tag>
struct Pack {
  using Values = typename VectorTypes<W>::Values;
  static constexpr int kLanes = W;
  Values v;

  Pack() = default;
  AIRCHAIN_INLINE constexpr Pack(double x) : v(Values{} + x) {}  // NOLINT: numbers broadcast
  AIRCHAIN_INLINE constexpr explicit Pack(Values values) : v(values) {}

  AIRCHAIN_INLINE Pack& operator+=(Pack b) { return v += b.v, *this; }
  AIRCHAIN_INLINE Pack& operator-=(Pack b) { return v -= b.v, *this; }
  AIRCHAIN_INLINE Pack& operator*=(Pack b) { return v *= b.v, *this; }
  friend AIRCHAIN_INLINE Pack operator+(Pack a, Pack b) { return Pack(a.v + b.v); }
  friend AIRCHAIN_INLINE Pack operator-(Pack a, Pack b) { return Pack(a.v - b.v); }
  friend AIRCHAIN_INLINE Pack operator*(Pack a, Pack b) { return Pack(a.v * b.v); }
  friend AIRCHAIN_INLINE Pack operator/(Pack a, Pack b) { return Pack(a.v / b.v); }
  friend AIRCHAIN_INLINE Pack operator-(Pack a) { return Pack(-a.v); }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator<(Pack a, Pack b) { return {a.v < b.v}; }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator>(Pack a, Pack b) { return {a.v > b.v}; }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator<=(Pack a, Pack b) { return {a.v <= b.v}; }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator>=(Pack a, Pack b) { return {a.v >= b.v}; }
};

template <int W, class Tag>
AIRCHAIN_INLINE Mask<W, Tag> operator&(Mask<W, Tag> a, Mask<W, Tag> b) {
  return {a.bits & b.bits};
}
template <int W, class Tag>
AIRCHAIN_INLINE Mask<W, Tag> operator|(Mask<W, Tag> a, Mask<W, Tag> b) {
  return {a.bits | b.bits};
}
template <int W, class Tag>
AIRCHAIN_INLINE Mask<W, Tag> operator!(Mask<W, Tag> a) {
  return {~a.bits};
}
template <int W, class Tag>
AIRCHAIN_INLINE Pack<W, Tag> where(Mask<W, Tag> m, Pack<W, Tag> a, Pack<W, Tag> b) {
  return Pack<W, Tag>(m.bits ? a.v : b.v);
}
template <int W, class Tag>
AIRCHAIN_INLINE bool any(Mask<W, Tag> m) {
  long long joined = 0;
  for (int lane = 0; lane < W; ++lane) joined |= m.bits[lane];
  return joined != 0;
}
template <int W, class Tag>
AIRCHAIN_INLINE Pack<W, Tag> sqrt(Pack<W, Tag> a) {
#if defined(__AVX__) && defined(__GNUC__) && !defined(__clang__)
  if constexpr (W == 4) return Pack<W, Tag>(__builtin_ia32_sqrtpd256(a.v));
#endif
  for (int lane = 0; lane < W; ++lane) a.v[lane] = __builtin_sqrt(a.v[lane]);
  return a;
}
template <int W, class Tag>
AIRCHAIN_INLINE Pack<W, Tag> abs(Pack<W, Tag> a) {
  return Pack<W, Tag>(a.v < 0.0 ? -a.v : a.v);
}

// The same words for plain numbers, so that one template serves both.
AIRCHAIN_INLINE double where(bool m, double a, double b) { return m ? a : b; }
AIRCHAIN_INLINE bool any(bool m) { return m; }
AIRCHAIN_INLINE double sqrt(double a) { return __builtin_sqrt(a); }
AIRCHAIN_INLINE double abs(double a) { return a < 0.0 ? -a : a; }

/// NaN in the first argument gives the second, as in SSE.
template <class T>
AIRCHAIN_INLINE T min(T a, T b) {
  return where(a < b, a, b);
}
template <class T>
AIRCHAIN_INLINE T max(T a, T b) {
  return where(a > b, a, b);
}

/// Number of lanes, and reading or writing one of them.
template <class T>
inline constexpr int kLanes = 1;
template <int W, class Tag>
inline constexpr int kLanes<Pack<W, Tag>> = W;
AIRCHAIN_INLINE double lane(double a, int) { return a; }
template <int W, class Tag>
AIRCHAIN_INLINE double lane(const Pack<W, Tag>& a, int i) {
  return a.v[i];
}
AIRCHAIN_INLINE void set_lane(double& a, int, double value) { a = value; }
template <int W, class Tag>
AIRCHAIN_INLINE void set_lane(Pack<W, Tag>& a, int i, double value) {
  a.v[i] = value;
}

/// Bit patterns of a number or of every lane of a pack, for exp and log.
template <class T>
struct BitsOf;
template <>
struct BitsOf<double> {
  using Integer = std::int64_t;
  static AIRCHAIN_INLINE Integer from(double a) {
    Integer bits;
    std::memcpy(&bits, &a, sizeof bits);
    return bits;
  }
  static AIRCHAIN_INLINE double to(Integer bits) {
    double a;
    std::memcpy(&a, &bits, sizeof a);
    return a;
  }
};
template <int W, class Tag>
struct BitsOf<Pack<W, Tag>> {
  using Integer = typename Mask<W, Tag>::Bits;
  static AIRCHAIN_INLINE Integer from(Pack<W, Tag> a) { return (Integer)a.v; }
  static AIRCHAIN_INLINE Pack<W, Tag> to(Integer bits) {
    return Pack<W, Tag>((typename Pack<W, Tag>::Values)bits);
  }
};

}  // namespace airchain::numerics
