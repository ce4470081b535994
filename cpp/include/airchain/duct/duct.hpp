#pragma once

#include <vector>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/gas/mixture.hpp"

namespace airchain::duct {

/// Where the air enters: ram from the road wind and heat picked up under the bonnet.
///
///     p0 = p + recovery rho v^2 / 2                       (incompressible; v below 100 m/s)
template <class T>
struct Scoop {
  static constexpr const char* kName = "Scoop";
  T air_speed{0.0};
  T recovery{0.0};
  T temperature_rise{0.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("air_speed", &Scoop::air_speed, "m/s", base::between(0.0, 100.0),
              "speed of the air against the scoop"),
        field("recovery", &Scoop::recovery, "1", base::between(0.0, 1.0),
              "share of the dynamic pressure that the scoop recovers"),
        field("temperature_rise", &Scoop::temperature_rise, "K", base::between(0.0, 80.0),
              "air at the inlet above ambient, such as under a bonnet")};
  }

  ///     p0 = p + recovery rho v^2/2,   T0 = T + temperature_rise;   rho of the still air [kg/m^3]
  AIRCHAIN_INLINE gas::Stream<T> at(gas::Stream<T> s, T density) const {
    s.pressure += recovery * T(0.5) * density * air_speed * air_speed;
    s.temperature += temperature_rise;
    return s;
  }
};

/// Filter, pipe or bend: total pressure falls with the square of the flow, temperature stays.
///
///     dp = K W^2 / (2 rho A^2),   rho from the total state at the entry
///
/// Range: dp below a third of the pressure. Left out: compressibility of the loss, friction that
/// changes with Reynolds number, heat through the wall.
template <class T>
struct Duct {
  static constexpr const char* kName = "Duct";
  T loss_coefficient{0.0};
  T area{0.01};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("loss_coefficient", &Duct::loss_coefficient, "1", base::between(0.0, 1e4),
              "total pressure lost over the dynamic pressure in `area`"),
        field("area", &Duct::area, "m^2", base::between(base::kLeastFlowArea, 10.0),
              "flow area the loss coefficient refers to")};
  }

  /// k = K/(2 A^2) [1/m^4].
  AIRCHAIN_INLINE T resistance() const { return T(0.5) * loss_coefficient / (area * area); }
  /// Outlet over inlet total pressure from the load W^2 R T / p^2 [m^4] at the INLET:
  /// r = 1 - k load.
  AIRCHAIN_INLINE static T ratio_from_inlet(T resistance, T load) {
    return T(1.0) - resistance * load;
  }
  /// The same from the load at the OUTLET: p_out/p_in = r solves r = 1 - k load r^2,
  /// r = 2/(1 + sqrt(1 + 4 k load)).
  AIRCHAIN_INLINE static T ratio_from_outlet(T resistance, T load) {
    return T(2.0) / (T(1.0) + sqrt(T(1.0) + T(4.0) * resistance * load));
  }
};

/// Smallest outlet-to-inlet pressure ratio at which the loss formula is trusted.
inline constexpr double kLowestTrustedRatio = 2.0 / 3.0;

/// The duct that loses `pressure_drop` [Pa] at `mass_flow` [kg/s] and entry `density` [kg/m^3]:
/// loss coefficient 1 on the area that gives it, more on `base::kLeastFlowArea` where that is less.
///
///     A = W/sqrt(2 rho dp),   K = 1
Duct<double> from_pressure_drop(double pressure_drop, double mass_flow, double density);

/// Several losses one after another as one, on the first one's area. Their densities are taken
/// as equal, so that the sum understates a chain that loses a fraction x: by x/4 of itself for two
/// like ducts, at most x/2 for many.
///
///     K = sum of K_i (A_1/A_i)^2
Duct<double> in_series(const std::vector<Duct<double>>& ducts);

}  // namespace airchain::duct
