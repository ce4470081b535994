#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::cylinder {

/// Crank angle after top centre at which half of the charge has burned at best torque, by common
/// practice 8 to 10 degrees (no source). The one value of the chain and of every spark search.
inline constexpr double kBestPhasing = 8.0 * base::kPi / 180.0;

/// How the trapped charge burns: Wiebe's function of the crank angle,
///
///     x = (1 - exp(-a y^(m+1)))/(1 - exp(-a)),   y = (angle - start)/duration   [Wiebe 1956]
///
/// so that x is 1 at the end. The duration answers to speed, mixture and residual gas,
///
///     duration = duration_ref (n/n_ref)^speed_exponent (1 + 3.5 (1/lambda - 1.1)^2) (1 + 2
///     residual)
///
/// (common practice, no source: most of the burn scales with turbulence and so with speed; mixture
/// fastest some 10 % rich). Range: residual up to 0.3, lambda 0.7 to 1.2. Left out: variation from
/// cycle to cycle, the change of shape with speed, knock's effect on the burn.
struct Burn {
  static constexpr const char* kName = "Burn";
  double half_burned = kBestPhasing;
  double duration = 55.0 * base::kPi / 180.0;
  double reference_speed = 400.0;
  double speed_exponent = 0.25;
  double shape = 2.0;
  double efficiency = 5.0;
  double completeness = 0.97;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("half_burned", &Burn::half_burned, "rad", between(-0.3, 1.0),
              "crank angle after top centre at which half the charge has burned"),
        field("duration", &Burn::duration, "rad", between(0.2, 3.0),
              "crank angle from start to end of burn at the reference speed, lambda 0.91 and no "
              "residual gas"),
        field("reference_speed", &Burn::reference_speed, "rad/s", between(50.0, 1500.0),
              "crank speed of that duration"),
        field("speed_exponent", &Burn::speed_exponent, "1", between(0.0, 0.8),
              "growth of the duration with speed"),
        field("shape", &Burn::shape, "1", between(0.5, 5.0), "Wiebe's exponent m"),
        field("efficiency", &Burn::efficiency, "1", between(2.0, 10.0), "Wiebe's factor a"),
        field("completeness", &Burn::completeness, "1", between(0.8, 1.0),
              "share of the available heat that is released; crevices and walls keep the rest")};
  }

  /// From start to end of burn [rad] at a crank speed [rad/s]: the class's duration =
  /// duration_ref (n/n_ref)^speed_exponent (1 + 3.5 (1/lambda - 1.1)^2) (1 + 2 residual).
  template <class T>
  AIRCHAIN_INLINE T duration_at(T speed, T lambda, T residual) const {
    const T off = T(1.0) / lambda - T(1.1);
    return T(duration) * numerics::pow(speed / T(reference_speed), T(speed_exponent)) *
           (T(1.0) + T(3.5) * off * off) * (T(1.0) + T(2.0) * residual);
  }
  /// Place in the burn [1] where a share x of the charge has burned:
  ///
  ///     y = (-ln(1 - x (1 - exp(-a)))/a)^(1/(m + 1))
  template <class T>
  AIRCHAIN_INLINE T place_of(T burned) const {
    const T left = T(1.0) - burned * (T(1.0) - numerics::exp(T(-efficiency)));
    return numerics::pow(numerics::log(left) / T(-efficiency), T(1.0 / (shape + 1.0)));
  }
  /// Crank angle at which the burn starts so that half has burned at `half` [rad]:
  /// start = half - y(1/2) duration.
  template <class T>
  AIRCHAIN_INLINE T start_of(T half, T duration_now) const {
    return half - place_of(T(0.5)) * duration_now;
  }
  /// Share burned [1] at a place y; 0 before, 1 after: x = (1 - exp(-a y^(m+1)))/(1 - exp(-a)).
  template <class T>
  AIRCHAIN_INLINE T burned_at(T place) const {
    using numerics::any, numerics::where;
    if (!any((place > T(0.0)) & (place < T(1.0)))) return where(place > T(0.0), T(1.0), T(0.0));
    const T y = numerics::min(numerics::max(place, T(1e-12)), T(1.0));
    const T power = numerics::pow(y, T(shape + 1.0));
    const T value =
        (T(1.0) - numerics::exp(T(-efficiency) * power)) / (T(1.0) - numerics::exp(T(-efficiency)));
    return where(place > T(0.0), value, T(0.0));
  }
};

}  // namespace airchain::cylinder
