#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::cylinder {

/// Volume of a cylinder and the area of liner laid bare.
template <class T>
struct CrankState {
  T volume;      ///< [m^3]
  T liner_area;  ///< [m^2]
};

/// One cylinder on a slider-crank. Angle 0 is top centre.
///
///     s = a cos t + sqrt(l^2 - a^2 sin^2 t),   V = V_c + pi/4 B^2 (l + a - s)
///
/// [Heywood 1988, eqs 2.4 to 2.6]. Left out: pin offset, deflections, rings' blow-by.
struct Crank {
  static constexpr const char* kName = "Crank";
  double bore = base::kRequired;
  double stroke = base::kRequired;
  double rod_length = base::kRequired;
  double compression_ratio = base::kRequired;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("bore", &Crank::bore, "m", between(0.02, 0.25), "diameter of the cylinder"),
        field("stroke", &Crank::stroke, "m", between(0.02, 0.25), "piston travel"),
        field("rod_length", &Crank::rod_length, "m", between(0.03, 0.6), "between centres"),
        field("compression_ratio", &Crank::compression_ratio, "1", between(5.0, 20.0),
              "volume at bottom centre over volume at top centre")};
  }

  /// A = pi/4 B^2 [m^2].
  double piston_area() const { return 0.25 * base::kPi * bore * bore; }
  /// V_d = A stroke [m^3].
  double displacement() const { return piston_area() * stroke; }
  /// V_c = V_d/(r - 1) [m^3].
  double clearance_volume() const { return displacement() / (compression_ratio - 1.0); }

  /// Liner laid bare at a volume [m^2]: A = 4/B (V - V_c).
  template <class T>
  AIRCHAIN_INLINE T liner_area(T volume) const {
    return T(4.0 / bore) * (volume - T(clearance_volume()));
  }
  /// With a = stroke/2, x = l + a - s and t = angle [rad]:
  ///
  ///     V = V_c + pi/4 B^2 x,   dV/dt = pi/4 B^2 a sin t (1 + a cos t/sqrt(l^2 - a^2 sin^2 t))
  ///     liner area = pi B x
  template <class T>
  AIRCHAIN_INLINE CrankState<T> at(T angle) const {
    using numerics::sqrt;
    const auto [sine, cosine] = numerics::sine_cosine(angle);
    const double a = 0.5 * stroke;
    const T rod = sqrt(T(rod_length * rod_length) - T(a * a) * sine * sine);
    const T travel = T(rod_length + a) - (T(a) * cosine + rod);
    return {T(clearance_volume()) + T(piston_area()) * travel, T(base::kPi * bore) * travel};
  }
};

/// Checks numbers and that the rod is longer than the crank radius by enough to turn.
inline void validate(const Crank& crank) {
  base::require_fields(crank);
  base::require(Crank::kName, "rod_length over stroke", crank.rod_length / crank.stroke, "1",
                base::between(1.0, 4.0), "common practice is 1.4 to 2");
}

}  // namespace airchain::cylinder
