#pragma once

#include <vector>

#include "airchain/gas/equilibrium.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::gas {

/// What equilibrium adds to burned gas of a fixed composition, per kilogram of it, and its first
/// and second slope over temperature.
template <class T>
struct Dissociated {
  T energy{0.0}, heat{0.0}, slope{0.0};            ///< [J/kg], [J/(kg K)], [J/(kg K^2)]
  T constant{0.0}, constant_rise{0.0}, bend{0.0};  ///< of the gas constant [J/(kg K)] and so on
};

/// Gas colder than this counts as frozen [K]. By 1,700 K its reactions are slower than an expansion
/// [Heywood 1988, section 4.9, from memory]; what is dissociated there is 0.2 % of its energy.
inline constexpr double kFrozenBelow = 1600.0;

/// A share of the charge that burns by itself: its part of the mass and what it burns to, as
/// moles per kilogram of it, without dissociation.
struct Parcel {
  double mass;
  Composition burned;
};

/// Energy and gas constant of burned gas in equilibrium above those of its fixed composition, as
/// polynomials in temperature and in the logarithm of density, times s^2:
///
///     d = s^2 sum of c_kl x^k z^l,   s = (T - 1600 K)/1700 K, 0 to 1,   x = 2 s - 1,
///     z = (ln(rho m^3/kg) - mean)/half,   rho 0.3 to 80 kg/m^3, beyond as at the ends
///
/// so that both leave the fixed composition without a step. Made at setup for a fuel and lambda.
class Dissociation {
 public:
  static constexpr int kTemperature = 9, kDensity = 6;  // terms

  Dissociation() = default;
  /// Fitted to the equilibria of parcels, each with its own.
  explicit Dissociation(const std::vector<Parcel>& parcels);

  /// At a temperature and ln(density) of burned gas; 0 below `kFrozenBelow`.
  template <class T>
  AIRCHAIN_INLINE Dissociated<T> at(T temperature, T log_density) const {
    using numerics::max, numerics::min;
    const T s = min(max((temperature - T(kFrozenBelow)) * T(1.0 / kReach), T(0.0)), T(1.0));
    const T z = min(max((log_density - T(kMeanLog)) * T(1.0 / kHalfLog), T(-1.0)), T(1.0));
    const auto energy = course(energy_, s, z), constant = course(constant_, s, z);
    return {energy.value, energy.rise, energy.bend, constant.value, constant.rise, constant.bend};
  }

 private:
  static constexpr double kReach = 1700.0;
  static constexpr double kMeanLog = 1.5890269151739727;  // of 0.3 and 80 kg/m^3
  static constexpr double kHalfLog = 2.7929997194999086;

  template <class T>
  struct Course {
    T value, rise, bend;
  };
  /// With q = sum of c_k x^k and ' for d/ds: s^2 q, (2 s q + s^2 q')/reach,
  /// (2 q + 4 s q' + s^2 q'')/reach^2.
  template <class T>
  AIRCHAIN_INLINE static Course<T> course(const double (&c)[kTemperature][kDensity], T s, T z) {
    const T x = T(2.0) * s - T(1.0);
    T q(0.0), q1(0.0), q2(0.0);
    for (int k = kTemperature; k-- > 0;) {
      T at(c[k][kDensity - 1]);
      for (int l = kDensity - 1; l-- > 0;) at = at * z + T(c[k][l]);
      q2 = q2 * x + q1;
      q1 = q1 * x + q;
      q = q * x + at;
    }
    q1 = T(2.0) * q1;
    q2 = T(8.0) * q2;
    // Beyond the ends the value stays as it is.
    const auto inside = (s > T(0.0)) & (s < T(1.0));
    const T rise = s * (T(2.0) * q + s * q1) * T(1.0 / kReach);
    const T bend = (T(2.0) * q + s * (T(4.0) * q1 + s * q2)) * T(1.0 / (kReach * kReach));
    return {s * s * q, numerics::where(inside, rise, T(0.0)),
            numerics::where(inside, bend, T(0.0))};
  }

  double energy_[kTemperature][kDensity] = {};
  double constant_[kTemperature][kDensity] = {};
};

}  // namespace airchain::gas
