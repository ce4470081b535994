#pragma once

#include "airchain/numerics/elementary.hpp"

namespace airchain::cylinder {

/// An uneven charge is so many parcels of equal air. Each holds the mean charge's fuel times
/// 1 + unevenness s: s are the middles of steps of equal chance of a normal distribution, spread to
/// variance 1.
inline constexpr int kParcels = 8;
inline constexpr double kParcelSteps[kParcels] = {-1.6629, -0.9617, -0.5299, -0.1705,
                                                  0.1705,  0.5299,  0.9617,  1.6629};

/// How rich and how lean an uneven charge is. What burns has its kink at lambda 1 of every parcel:
///
///     lean = mean max(z_i, 0),   rich = mean min(z_i, 0),   z_i = lambda/(1 + unevenness s_i) - 1
struct Parcels {
  double spread[kParcels];  ///< lambda of each over that of the whole charge [1]
  double mean;              ///< of these [1]

  explicit Parcels(double unevenness) {
    mean = 0.0;
    for (int i = 0; i < kParcels; ++i) {
      spread[i] = 1.0 / (1.0 + unevenness * kParcelSteps[i]);
      mean += spread[i] / kParcels;
    }
  }
  template <class T>
  AIRCHAIN_INLINE T lean(T lambda) const {
    T sum(0.0);
    for (int i = 0; i < kParcels; ++i) sum += numerics::max(lambda * T(spread[i]), T(1.0));
    return sum * T(1.0 / kParcels) - T(1.0);
  }
  template <class T>
  AIRCHAIN_INLINE T rich(T lambda, T lean_side) const {
    return lambda * T(mean) - T(1.0) - lean_side;
  }
};

}  // namespace airchain::cylinder
