#pragma once

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
    return std::tuple{field("area", &Throttle::area, "m^2", base::above_up_to(0.0, 1.0),
                            "flow area of all blades wide open"),
                      field("discharge_coefficient", &Throttle::discharge_coefficient, "1",
                            base::above_up_to(0.0, 1.0), "effective over geometric area"),
                      field("opening", &Throttle::opening, "1", base::above_up_to(0.0, 1.0),
                            "open share of the area; 1 is wide open")};
  }

  /// Plenum over upstream total pressure at a flow parameter W sqrt(R T) / p upstream.
  ///
  ///     r = rc + (1 - rc) sqrt(1 - (y / ymax)^2)
  ///
  /// The ellipse through the ends of the isentropic nozzle function, with gamma = 1.4: within
  /// 0.31 % of its flow everywhere. At the choked flow the pressure falls freely: there r drops
  /// steeply instead, at a flow 0.01 % too large for every halving.
  AIRCHAIN_INLINE T pressure_ratio(T flow_parameter) const {
    const T critical(kCriticalRatio);
    const T q = flow_parameter / (area * discharge_coefficient * opening * T(kChokedFlow));
    const T inside = numerics::max(T(1.0) - q * q, T(0.0));
    const T beyond = numerics::max(q - T(1.0), T(0.0));
    return (critical + (T(1.0) - critical) * sqrt(inside)) * numerics::exp(T(-7000.0) * beyond);
  }
  static constexpr double kCriticalRatio = 0.5282817877171742;  // (2/2.4)^3.5
  static constexpr double kChokedFlow = 0.6847314563772704;     // sqrt(1.4) (2/2.4)^3
};

}  // namespace airchain::throttle
