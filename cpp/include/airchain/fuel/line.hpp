#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::fuel {

/// Darcy's friction factor of a round pipe, laminar, turbulent and between.
///
///     f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12)
///     A = (2.457 ln(1/((7/Re)^0.9 + 0.27 e/D)))^16,   B = (37530/Re)^16
///
/// [Churchill 1977, Chem. Eng. 84(24):91-92]. Re above 1e-3; between laminar and turbulent flow,
/// Re 2100 to 4000, real pipes scatter.
template <class T>
AIRCHAIN_INLINE T darcy_friction(T reynolds, T relative_roughness) {
  using numerics::exp;
  using numerics::log;
  using numerics::square;
  const auto sixteenth = [](T x) { return square(square(square(square(x)))); };
  const T inverse = T(1.0) / reynolds;
  const T inside = exp(T(0.9) * log(T(7.0) * inverse)) + T(0.27) * relative_roughness;
  const T a = sixteenth(T(-2.457) * log(inside));
  const T b = sixteenth(T(37530.0) * inverse);
  const T laminar = square(square(T(8.0) * inverse));
  const T sum = laminar * laminar * laminar + exp(T(-1.5) * log(a + b));
  return T(8.0) * exp(T(1.0 / 12.0) * log(sum));
}

/// A fuel line with its fittings.
///
///     dp = (f L/D + K) rho v^2/2
///
/// Darcy and Weisbach, f of `darcy_friction`. Left out: height between the ends, bends of the line
/// itself (count them in K), fuel that boils.
template <class T>
struct Line {
  static constexpr const char* kName = "Line";
  T length{base::kRequired};
  T diameter{base::kRequired};
  T roughness{1.5e-6};
  T loss_coefficient{0.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("length", &Line::length, "m", base::between(0.0, 50.0), "from end to end"),
        field("diameter", &Line::diameter, "m", base::between(1e-3, 0.1), "of the bore"),
        field("roughness", &Line::roughness, "m", base::between(0.0, 1e-3),
              "of its wall; drawn tube 1.5 um"),
        field("loss_coefficient", &Line::loss_coefficient, "1", base::between(0.0, 1e3),
              "sum of the fittings' losses over the dynamic pressure in the bore")};
  }

  /// Of the bore [m^2]: A = pi/4 D^2.
  AIRCHAIN_INLINE T area() const { return T(0.25 * base::kPi) * diameter * diameter; }
  /// Mean of the bore [m/s] at a volume flow [m^3/s]: v = Q/A.
  AIRCHAIN_INLINE T velocity(T volume_flow) const { return volume_flow / area(); }
  /// Reynolds number [1]: Re = rho v D/mu.
  AIRCHAIN_INLINE T reynolds(T volume_flow, T density, T viscosity) const {
    return density * velocity(volume_flow) * diameter / viscosity;
  }
  /// Pressure lost [Pa] at a volume flow [m^3/s] of a liquid of a density [kg/m^3] and a dynamic
  /// viscosity [Pa s]. Nothing flows, nothing is lost.
  ///
  ///     dp = (f L/D + K) rho v^2/2,   f at Re of at least 1e-3
  AIRCHAIN_INLINE T pressure_drop(T volume_flow, T density, T viscosity) const {
    const T v = velocity(volume_flow);
    const T re = numerics::max(reynolds(volume_flow, density, viscosity), T(1e-3));
    const T f = darcy_friction(re, roughness / diameter);
    return (f * length / diameter + loss_coefficient) * T(0.5) * density * v * v;
  }
};

}  // namespace airchain::fuel
