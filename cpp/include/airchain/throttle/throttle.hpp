#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/gas/nozzle.hpp"

namespace airchain::throttle {

/// Throttle plates into the plenum: a nozzle whose jet is lost.
template <class T>
struct Throttle {
  static constexpr const char* kName = "Throttle";
  T area{0.02};
  T discharge_coefficient{0.9};
  T opening{1.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("area", &Throttle::area, "m^2", base::between(base::kLeastFlowArea, 1.0),
              "flow area of all blades wide open"),
        field("discharge_coefficient", &Throttle::discharge_coefficient, "1",
              base::above_up_to(0.0, 1.0), "effective over geometric area"),
        field("opening", &Throttle::opening, "1", base::above_up_to(0.0, 1.0),
              "open share of the area; 1 is wide open")};
  }

  /// One over the load W^2 R T / p^2 upstream at which the throttle chokes [1/m^4].
  ///
  ///     1/(psi Cd opening A)^2,   psi = sqrt(gamma) (2/(gamma + 1))^3 = 0.6847 at gamma = 1.4
  AIRCHAIN_INLINE T per_choked_load() const {
    const T choked = area * discharge_coefficient * opening * T(kChokedFlow);
    return T(1.0) / (choked * choked);
  }
  /// Plenum over upstream total pressure at a load over that which chokes.
  ///
  ///     r = rc + (1 - rc) sqrt(1 - q),   q = load / choked load = (flow / choked flow)^2
  ///
  /// The ellipse through the ends of the isentropic nozzle function, with gamma = 1.4: within
  /// 0.31 % of its flow everywhere. At the choked flow the pressure falls freely: there r drops
  /// steeply instead, at a flow 0.01 % too large for every halving.
  AIRCHAIN_INLINE static T pressure_ratio(T relative_load) {
    const T critical(kCriticalRatio);
    const T inside = numerics::max(T(1.0) - relative_load, T(0.0));
    const T ratio = critical + (T(1.0) - critical) * sqrt(inside);
    const auto beyond = relative_load > T(1.0);
    if (!numerics::any(beyond)) return ratio;
    const T excess = numerics::max(sqrt(relative_load) - T(1.0), T(0.0));
    return numerics::where(beyond, ratio * numerics::exp(T(-7000.0) * excess), ratio);
  }
  static constexpr double kCriticalRatio = 0.5282817877171742;  // (2/2.4)^3.5
  static constexpr double kChokedFlow = 0.6847314563772704;     // sqrt(1.4) (2/2.4)^3
};

}  // namespace airchain::throttle
