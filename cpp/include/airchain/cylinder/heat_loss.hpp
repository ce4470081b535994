#pragma once

#include <cmath>

#include "airchain/base/guards.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::cylinder {

/// Heat from the gas to the walls of a cylinder.
///
///     h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8    (B in m, p in kPa, T in K, w in m/s; W/(m^2 K))
///     w = C1 U + C2 V_d T_r/(p_r V_r) (p - p_motored)
///
/// [Woschni 1967, SAE 670931, as in Heywood 1988, eqs 12.17 to 12.19, from memory]: C1 = 6.18
/// during gas exchange, 2.28 with closed valves; C2 = 3.24e-3 m/(s K) after the start of burn. U is
/// the mean piston speed, r the state at inlet closing. Measured engines scatter by 20 % or more:
/// `multiplier`. Left out: swirl, local differences, walls whose temperature moves.
struct HeatLoss {
  static constexpr const char* kName = "HeatLoss";
  double multiplier = 1.0;
  double head_temperature = 480.0;
  double piston_temperature = 520.0;
  double liner_temperature = 420.0;
  double head_area_ratio = 1.25;
  double piston_area_ratio = 1.05;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("multiplier", &HeatLoss::multiplier, "1", between(0.0, 4.0), "on the coefficient"),
        field("head_temperature", &HeatLoss::head_temperature, "K", between(300.0, 900.0),
              "of the chamber in the head, valves included"),
        field("piston_temperature", &HeatLoss::piston_temperature, "K", between(300.0, 900.0),
              "of the crown"),
        field("liner_temperature", &HeatLoss::liner_temperature, "K", between(300.0, 700.0),
              "of the bore"),
        field("head_area_ratio", &HeatLoss::head_area_ratio, "1", between(1.0, 3.0),
              "chamber surface over bore area"),
        field("piston_area_ratio", &HeatLoss::piston_area_ratio, "1", between(1.0, 3.0),
              "crown surface over bore area")};
  }

  /// s = 3.26 B^-0.2, B in m.
  static double size_factor(double bore) { return 3.26 * std::pow(bore, -0.2); }
  /// Coefficient [W/(m^2 K)] from the size factor s of the bore; pressure in Pa, speed w in m/s:
  /// h = s (p/1000 w)^0.8 T^-0.55.
  template <class T>
  AIRCHAIN_INLINE static T coefficient(double size, T pressure, T temperature, T gas_speed) {
    return T(size) * numerics::quick_pow(pressure * T(1e-3) * gas_speed, T(0.8)) *
           numerics::quick_pow(temperature, T(-0.55));
  }
  /// Flow of heat out of the gas over the coefficient [m^2 K], from the three walls.
  ///
  ///     Q/h = sum of A_i (T - T_i),   A = area ratio times piston area, or of the bare liner
  template <class T>
  AIRCHAIN_INLINE T exposure(double piston_area, T liner_area, T temperature) const {
    return T(head_area_ratio * piston_area) * (temperature - T(head_temperature)) +
           T(piston_area_ratio * piston_area) * (temperature - T(piston_temperature)) +
           liner_area * (temperature - T(liner_temperature));
  }
};

inline constexpr double kWoschniExchange = 6.18;
inline constexpr double kWoschniClosed = 2.28;
inline constexpr double kWoschniBurn = 3.24e-3;  // m/(s K)

}  // namespace airchain::cylinder
