#pragma once

#include <cmath>
#include <cstdint>
#include <cstring>

// Lanes: one arithmetic type over several operating points. The tag names the instruction set the
// translation unit is compiled for, so that the linker never merges code of two sets.
namespace airchain::numerics {

#define AIRCHAIN_INLINE inline __attribute__((always_inline))
#define AIRCHAIN_INLINE_LAMBDA __attribute__((always_inline))

template <int W>
struct VectorTypes {
  typedef double Values __attribute__((vector_size(W * 8)));
  typedef long long Bits __attribute__((vector_size(W * 8)));
};

#if defined(__AVX__) && defined(__GNUC__) && !defined(__clang__)
#define AIRCHAIN_AVX_BUILTINS
#endif
#if defined(__AVX512F__) && defined(__GNUC__) && !defined(__clang__)
#define AIRCHAIN_AVX512_BUILTINS
#endif

/// All ones or all zeros in each lane.
template <int W, class Tag>
struct Mask {
  using Bits = typename VectorTypes<W>::Bits;
  Bits bits;
};
#ifdef AIRCHAIN_AVX512_BUILTINS
/// A bit a lane: AVX-512 has registers for such masks.
template <class Tag>
struct Mask<8, Tag> {
  using Bits = unsigned char;
  Bits bits;
};
enum class Compared { less = 1, less_or_equal = 2, greater_or_equal = 13, greater = 14 };
inline constexpr int kAsSet = 4;  // rounding as the processor stands
inline constexpr char kAllLanes = -1;

template <Compared how, class Tag, class Values>
AIRCHAIN_INLINE Mask<8, Tag> compared(Values a, Values b) {
  return {static_cast<unsigned char>(
      __builtin_ia32_cmppd512_mask(a, b, static_cast<int>(how), kAllLanes, kAsSet))};
}
#define AIRCHAIN_COMPARED(how, a, op, b)                     \
  if constexpr (W == 8)                                      \
    return numerics::compared<Compared::how, Tag>(a.v, b.v); \
  else                                                       \
    return {a.v op b.v};  // NOLINT: an operator takes no parentheses
#else
#define AIRCHAIN_COMPARED(how, a, op, b) return {a.v op b.v};  // NOLINT: as above
#endif

template <int W, class Tag>
struct Pack {
  using Values = typename VectorTypes<W>::Values;
  using Half = Pack<W / 2, Tag>;
  Values v;

  Pack() = default;
  // Less nothing: the compiler drops it, and it keeps the sign of a zero.
  AIRCHAIN_INLINE constexpr Pack(double x) : v(x - Values{}) {}  // NOLINT: numbers broadcast
  AIRCHAIN_INLINE constexpr explicit Pack(Values values) : v(values) {}
  /// Eight lanes of twice four.
  AIRCHAIN_INLINE Pack(Half a, Half b)
      : v(__builtin_shufflevector(a.v, b.v, 0, 1, 2, 3, 4, 5, 6, 7)) {}

  AIRCHAIN_INLINE Pack& operator+=(Pack b) { return v += b.v, *this; }
  AIRCHAIN_INLINE Pack& operator-=(Pack b) { return v -= b.v, *this; }
  AIRCHAIN_INLINE Pack& operator*=(Pack b) { return v *= b.v, *this; }
  friend AIRCHAIN_INLINE Pack operator+(Pack a, Pack b) { return Pack(a.v + b.v); }
  friend AIRCHAIN_INLINE Pack operator-(Pack a, Pack b) { return Pack(a.v - b.v); }
  friend AIRCHAIN_INLINE Pack operator*(Pack a, Pack b) { return Pack(a.v * b.v); }
  friend AIRCHAIN_INLINE Pack operator/(Pack a, Pack b) { return Pack(a.v / b.v); }
  friend AIRCHAIN_INLINE Pack operator-(Pack a) { return Pack(-a.v); }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator<(Pack a, Pack b) { AIRCHAIN_COMPARED(less, a, <, b) }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator>(Pack a, Pack b) {
    AIRCHAIN_COMPARED(greater, a, >, b)
  }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator<=(Pack a, Pack b) {
    AIRCHAIN_COMPARED(less_or_equal, a, <=, b)
  }
  friend AIRCHAIN_INLINE Mask<W, Tag> operator>=(Pack a, Pack b) {
    AIRCHAIN_COMPARED(greater_or_equal, a, >=, b)
  }
};

template <int W, class Tag>
AIRCHAIN_INLINE Mask<W, Tag> operator&(Mask<W, Tag> a, Mask<W, Tag> b) {
  return {static_cast<typename Mask<W, Tag>::Bits>(a.bits & b.bits)};
}
template <int W, class Tag>
AIRCHAIN_INLINE Mask<W, Tag> operator|(Mask<W, Tag> a, Mask<W, Tag> b) {
  return {static_cast<typename Mask<W, Tag>::Bits>(a.bits | b.bits)};
}
template <int W, class Tag>
AIRCHAIN_INLINE Mask<W, Tag> operator!(Mask<W, Tag> a) {
  return {static_cast<typename Mask<W, Tag>::Bits>(~a.bits)};
}

template <int W, class Tag>
AIRCHAIN_INLINE Pack<W, Tag> where(Mask<W, Tag> m, Pack<W, Tag> a, Pack<W, Tag> b) {
#ifdef AIRCHAIN_AVX_BUILTINS
  if constexpr (W == 4)
    return Pack<W, Tag>(
        __builtin_ia32_blendvpd256(b.v, a.v, (typename VectorTypes<4>::Values)m.bits));
#endif
#ifdef AIRCHAIN_AVX512_BUILTINS
  if constexpr (W == 8)
    return Pack<W, Tag>(__builtin_ia32_blendmpd_512_mask(b.v, a.v, m.bits));
  else
#endif
    return Pack<W, Tag>(m.bits ? a.v : b.v);
}
template <int W, class Tag>
AIRCHAIN_INLINE bool any(Mask<W, Tag> m) {
#ifdef AIRCHAIN_AVX_BUILTINS
  if constexpr (W == 4)
    return __builtin_ia32_movmskpd256((typename VectorTypes<4>::Values)m.bits) != 0;
#endif
#ifdef AIRCHAIN_AVX512_BUILTINS
  if constexpr (W == 8) {
    return m.bits != 0;
  } else
#endif
  {
    long long joined = 0;
    for (int lane = 0; lane < W; ++lane) joined |= m.bits[lane];
    return joined != 0;
  }
}
template <int W, class Tag>
AIRCHAIN_INLINE Pack<W, Tag> sqrt(Pack<W, Tag> a) {
#ifdef AIRCHAIN_AVX_BUILTINS
  if constexpr (W == 4) return Pack<W, Tag>(__builtin_ia32_sqrtpd256(a.v));
#endif
#ifdef AIRCHAIN_AVX512_BUILTINS
  if constexpr (W == 8)
    return Pack<W, Tag>(__builtin_ia32_sqrtpd512_mask(a.v, a.v, kAllLanes, kAsSet));
#endif
  for (int lane = 0; lane < W; ++lane) a.v[lane] = __builtin_sqrt(a.v[lane]);
  return a;
}
// Clears the sign, also of a zero.
template <int W, class Tag>
AIRCHAIN_INLINE Pack<W, Tag> abs(Pack<W, Tag> a) {
  using Bits = typename VectorTypes<W>::Bits;
  const Bits bits = (Bits)a.v & (Bits{} + 0x7FFFFFFFFFFFFFFFLL);
  return Pack<W, Tag>((typename VectorTypes<W>::Values)bits);
}

// The same words for plain numbers, so that one template serves both.
AIRCHAIN_INLINE double where(bool m, double a, double b) { return m ? a : b; }
AIRCHAIN_INLINE bool any(bool m) { return m; }
AIRCHAIN_INLINE double sqrt(double a) { return __builtin_sqrt(a); }
AIRCHAIN_INLINE double abs(double a) { return __builtin_fabs(a); }

// Two packs, or two plain numbers, side by side: two independent chains of arithmetic, which hide
// each other's waits. The second half's lanes count on from the first's.
template <class HalfMask>
struct TwinMask {
  HalfMask low, high;
};

template <class P>
struct Twin {
  using Half = P;
  using HalfMask = decltype(P{} < P{});
  Half low, high;

  Twin() = default;
  AIRCHAIN_INLINE constexpr Twin(double x) : low(x), high(x) {}  // NOLINT: numbers broadcast
  AIRCHAIN_INLINE constexpr Twin(Half a, Half b) : low(a), high(b) {}

  AIRCHAIN_INLINE Twin& operator+=(Twin b) { return low += b.low, high += b.high, *this; }
  AIRCHAIN_INLINE Twin& operator-=(Twin b) { return low -= b.low, high -= b.high, *this; }
  AIRCHAIN_INLINE Twin& operator*=(Twin b) { return low *= b.low, high *= b.high, *this; }
  friend AIRCHAIN_INLINE Twin operator+(Twin a, Twin b) { return {a.low + b.low, a.high + b.high}; }
  friend AIRCHAIN_INLINE Twin operator-(Twin a, Twin b) { return {a.low - b.low, a.high - b.high}; }
  friend AIRCHAIN_INLINE Twin operator*(Twin a, Twin b) { return {a.low * b.low, a.high * b.high}; }
  friend AIRCHAIN_INLINE Twin operator/(Twin a, Twin b) { return {a.low / b.low, a.high / b.high}; }
  friend AIRCHAIN_INLINE Twin operator-(Twin a) { return {-a.low, -a.high}; }
  friend AIRCHAIN_INLINE TwinMask<HalfMask> operator<(Twin a, Twin b) {
    return {a.low < b.low, a.high < b.high};
  }
  friend AIRCHAIN_INLINE TwinMask<HalfMask> operator>(Twin a, Twin b) {
    return {a.low > b.low, a.high > b.high};
  }
  friend AIRCHAIN_INLINE TwinMask<HalfMask> operator<=(Twin a, Twin b) {
    return {a.low <= b.low, a.high <= b.high};
  }
  friend AIRCHAIN_INLINE TwinMask<HalfMask> operator>=(Twin a, Twin b) {
    return {a.low >= b.low, a.high >= b.high};
  }
};

template <class M>
AIRCHAIN_INLINE TwinMask<M> operator&(TwinMask<M> a, TwinMask<M> b) {
  // Not through bools' own &, which gives an int.
  return {static_cast<M>(a.low & b.low), static_cast<M>(a.high & b.high)};
}
template <class M>
AIRCHAIN_INLINE TwinMask<M> operator|(TwinMask<M> a, TwinMask<M> b) {
  return {static_cast<M>(a.low | b.low), static_cast<M>(a.high | b.high)};
}
template <class M>
AIRCHAIN_INLINE TwinMask<M> operator!(TwinMask<M> a) {
  return {!a.low, !a.high};
}
template <class P>
AIRCHAIN_INLINE Twin<P> where(TwinMask<typename Twin<P>::HalfMask> m, Twin<P> a, Twin<P> b) {
  return {where(m.low, a.low, b.low), where(m.high, a.high, b.high)};
}
template <class M>
AIRCHAIN_INLINE bool any(TwinMask<M> m) {
  return any(m.low | m.high);
}
template <class P>
AIRCHAIN_INLINE Twin<P> sqrt(Twin<P> a) {
  return {sqrt(a.low), sqrt(a.high)};
}
template <class P>
AIRCHAIN_INLINE Twin<P> abs(Twin<P> a) {
  return {abs(a.low), abs(a.high)};
}

/// NaN in the first argument gives the second, as in SSE.
template <class T>
AIRCHAIN_INLINE T min(T a, T b) {
  return where(a < b, a, b);
}
template <class T>
AIRCHAIN_INLINE T max(T a, T b) {
  return where(a > b, a, b);
}
#ifdef AIRCHAIN_AVX_BUILTINS
template <class Tag>
AIRCHAIN_INLINE Pack<4, Tag> min(Pack<4, Tag> a, Pack<4, Tag> b) {
  return Pack<4, Tag>(__builtin_ia32_minpd256(a.v, b.v));
}
template <class Tag>
AIRCHAIN_INLINE Pack<4, Tag> max(Pack<4, Tag> a, Pack<4, Tag> b) {
  return Pack<4, Tag>(__builtin_ia32_maxpd256(a.v, b.v));
}
#endif
#ifdef AIRCHAIN_AVX512_BUILTINS
template <class Tag>
AIRCHAIN_INLINE Pack<8, Tag> min(Pack<8, Tag> a, Pack<8, Tag> b) {
  return Pack<8, Tag>(__builtin_ia32_minpd512_mask(a.v, b.v, a.v, kAllLanes, kAsSet));
}
template <class Tag>
AIRCHAIN_INLINE Pack<8, Tag> max(Pack<8, Tag> a, Pack<8, Tag> b) {
  return Pack<8, Tag>(__builtin_ia32_maxpd512_mask(a.v, b.v, a.v, kAllLanes, kAsSet));
}
#endif

template <class P>
AIRCHAIN_INLINE Twin<P> min(Twin<P> a, Twin<P> b) {
  return {min(a.low, b.low), min(a.high, b.high)};
}
template <class P>
AIRCHAIN_INLINE Twin<P> max(Twin<P> a, Twin<P> b) {
  return {max(a.low, b.low), max(a.high, b.high)};
}

/// Number of lanes, and reading or writing one of them.
template <class T>
inline constexpr int kLanes = 1;
template <int W, class Tag>
inline constexpr int kLanes<Pack<W, Tag>> = W;
template <class P>
inline constexpr int kLanes<Twin<P>> = 2 * kLanes<P>;
AIRCHAIN_INLINE double lane(double a, int) { return a; }
template <int W, class Tag>
AIRCHAIN_INLINE double lane(const Pack<W, Tag>& a, int i) {
  return a.v[i];
}
template <class P>
AIRCHAIN_INLINE double lane(const Twin<P>& a, int i) {
  return i < kLanes<P> ? lane(a.low, i) : lane(a.high, i - kLanes<P>);
}
AIRCHAIN_INLINE void set_lane(double& a, int, double value) { a = value; }
template <int W, class Tag>
AIRCHAIN_INLINE void set_lane(Pack<W, Tag>& a, int i, double value) {
  a.v[i] = value;
}

template <class P>
AIRCHAIN_INLINE void set_lane(Twin<P>& a, int i, double value) {
  set_lane(i < kLanes<P> ? a.low : a.high, i % kLanes<P>, value);
}

/// The whole number below a number from 0 to 2^31, also as an index for every lane.
AIRCHAIN_INLINE double whole(double a, int* index) {
  *index = static_cast<int>(a);
  return *index;
}
template <int W, class Tag>
AIRCHAIN_INLINE Pack<W, Tag> whole(Pack<W, Tag> a, int* index) {
  typedef int Indices __attribute__((vector_size(W * 4)));
  const Indices k = __builtin_convertvector(a.v, Indices);
  std::memcpy(index, &k, sizeof k);
  return Pack<W, Tag>(__builtin_convertvector(k, typename Pack<W, Tag>::Values));
}

template <class P>
AIRCHAIN_INLINE Twin<P> whole(Twin<P> a, int* index) {
  return {whole(a.low, index), whole(a.high, index + kLanes<P>)};
}

/// `from[index]` in every lane.
AIRCHAIN_INLINE void gather(double& a, const double* from, const int* index) { a = from[*index]; }
template <class Tag>
AIRCHAIN_INLINE void gather(Pack<4, Tag>& a, const double* from, const int* index) {
  a.v =
      typename Pack<4, Tag>::Values{from[index[0]], from[index[1]], from[index[2]], from[index[3]]};
}
template <class Tag>
AIRCHAIN_INLINE void gather(Pack<8, Tag>& a, const double* from, const int* index) {
  a.v =
      typename Pack<8, Tag>::Values{from[index[0]], from[index[1]], from[index[2]], from[index[3]],
                                    from[index[4]], from[index[5]], from[index[6]], from[index[7]]};
}
template <class P>
AIRCHAIN_INLINE void gather(Twin<P>& a, const double* from, const int* index) {
  gather(a.low, from, index);
  gather(a.high, from, index + kLanes<P>);
}

/// Bit patterns of a number or of every lane of a pack, for exp and log.
template <class T>
struct BitsOf;
template <>
struct BitsOf<double> {
  using Integer = std::uint64_t;  // sums of patterns may wrap around
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
  /// Shifted right with zeros from the left, which AVX2 has for every lane; the other it lacks.
  static AIRCHAIN_INLINE Integer shifted(Integer bits, int by) { return bits >> by; }
};
template <int W, class Tag>
struct BitsOf<Pack<W, Tag>> {
  using Integer = typename VectorTypes<W>::Bits;
  typedef unsigned long long Unsigned __attribute__((vector_size(W * 8)));
  static AIRCHAIN_INLINE Integer from(Pack<W, Tag> a) { return (Integer)a.v; }
  static AIRCHAIN_INLINE Pack<W, Tag> to(Integer bits) {
    return Pack<W, Tag>((typename Pack<W, Tag>::Values)bits);
  }
  static AIRCHAIN_INLINE Integer shifted(Integer bits, int by) {
    return (Integer)((Unsigned)bits >> by);
  }
};
template <class P>
struct BitsOf<Twin<P>> {
  using Half = BitsOf<P>;
  struct Integer {
    typename Half::Integer low, high;
    friend AIRCHAIN_INLINE Integer operator+(Integer a, Integer b) {
      return {a.low + b.low, a.high + b.high};
    }
    friend AIRCHAIN_INLINE Integer operator-(Integer a, Integer b) {
      return {a.low - b.low, a.high - b.high};
    }
    friend AIRCHAIN_INLINE Integer operator+(Integer a, long long b) {
      return {a.low + b, a.high + b};
    }
    friend AIRCHAIN_INLINE Integer operator-(Integer a, long long b) {
      return {a.low - b, a.high - b};
    }
    friend AIRCHAIN_INLINE Integer operator&(Integer a, long long b) {
      return {a.low & b, a.high & b};
    }
    friend AIRCHAIN_INLINE Integer operator<<(Integer a, int b) {
      return {a.low << b, a.high << b};
    }
  };
  static AIRCHAIN_INLINE Integer from(Twin<P> a) { return {Half::from(a.low), Half::from(a.high)}; }
  static AIRCHAIN_INLINE Twin<P> to(Integer bits) {
    return {Half::to(bits.low), Half::to(bits.high)};
  }
  static AIRCHAIN_INLINE Integer shifted(Integer bits, int by) {
    return {Half::shifted(bits.low, by), Half::shifted(bits.high, by)};
  }
};

}  // namespace airchain::numerics
