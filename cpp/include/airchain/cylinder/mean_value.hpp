#pragma once

#include "airchain/cylinder/burn.hpp"

namespace airchain::cylinder {

/// Constants of the mean-value cylinder, which knows volumetric efficiency but no cams: fitted to
/// this project's cycle over 60 invented engines of bore 80 to 115 mm, stroke over bore 0.75 to
/// 1.12, compression 8 to 13, two and four valves a cylinder, gasoline, E85 and methanol, at
/// plenum pressures of 0.6 to 3 bar, 4 to 25 m/s mean piston speed, lambda 0.72 to 1.02 and half
/// burned 0 to 40 degrees after top centre (tests/bench/fit_mean_value.py makes them). With
///
///     l = L(rho, 1.2 kg/m^3),  u = L(U, 15 m/s),  t = (theta50 - best)/10 degrees,
///     k = ln(r/10),  o = oxygen atoms per carbon atom of the fuel,
///     x = (z - sqrt(z^2 + 0.032^2) + 0.032)/2,  z = lambda - 1,  L(a, b) = 2 (a - b)/(a + b)
///
/// rho the density of dry air at plenum pressure and charge temperature. L is near ln(a/b) without
/// its cost, and stays between -2 and 2.
namespace mean_value {
inline constexpr double kDensity = 1.2, kSpeed = 15.0, kCompression = 10.0;  // kg/m^3, m/s, 1
inline constexpr double kSoft = 0.032;  // of x: an uneven charge rounds the kink at 1
inline constexpr double kUnit = 10.0 * base::kDegree;  // of t [rad]

inline constexpr double kQuality = 0.8896;
inline constexpr double kWork[] = {0.9832, -1.4831, -0.0862, 0.0455};  // of x, x^2, x o^2, o
inline constexpr double kWorkRatio = -0.0609;                          // of k
inline constexpr double kWorkDensity = 0.0157, kWorkSpeed = 0.0198;    // of l, u
inline constexpr double kWorkPhasing[] = {-0.0244, -0.0178};           // of t, t^2

inline constexpr double kWall[] = {-2.2629, 1.1297, -2.6657, -0.054};  // 1, of x, x^2, o
inline constexpr double kWallRatio = 0.2084;                           // of k
inline constexpr double kWallDensity[] = {-0.3253, 0.0914};            // of l, l^2
inline constexpr double kWallSpeed[] = {-0.2204, 0.3209};              // of u, u^2
inline constexpr double kWallPhasing[] = {-0.1412, 0.0253, 0.0594};    // of t, t^2, t u

inline constexpr double kKept[] = {0.7907, 0.0709, 0.0185, -0.2007, -0.2016};  // 1, u, l, heat, T
inline constexpr double kHeat = 1.4e6, kCharge = 320.0;                        // [J/kg], [K]

inline constexpr double kValveLoss = 110.0, kValveFilling = 0.44;  // 1, slope
inline constexpr double kBlowdown[] = {2.06, 0.533}, kBlowdownStart = 0.5, kBend = 0.05;

inline constexpr double kPeakExponent = 1.341, kPeakShare = 0.7785;  // compression; of the heat
inline constexpr double kPeakLater = 9.1 * base::kDegree;            // behind half burned [rad]

/// How far the laws are off the cycles of 24 other engines of that family, with one loss of the
/// valves for all: half of the states and 95 of 100 are nearer than the first two, none is farther
/// than the last. Of indicated work less pumping, wall heat and peak pressure over the cycle's, of
/// pumping over gross work, of exhaust temperature in K.
struct Doubt {
  double half, usual, most;
};
inline constexpr Doubt kNetWorkDoubt{0.011, 0.035, 0.09}, kPumpingDoubt{0.0045, 0.031, 0.075},
    kWallHeatDoubt{0.047, 0.12, 0.22}, kPeakDoubt{0.016, 0.045, 0.18},
    kExhaustDoubt{20.0, 60.0, 125.0};
}  // namespace mean_value

/// Mean specific heat of exhaust gas between charge and exhaust temperature, 300 to 1200 K
/// [J/(kg K)], and its gas constant, of gasoline at lambda 0.88 (from NASA polynomials of water-gas
/// products). At lambda 1 they are 1194 and 288, at 0.8 they are 1221 and 301.
inline constexpr double kExhaustHeatCapacity = 1208.0;
inline constexpr double kExhaustGasConstant = 295.0;

/// How much rich, and never lean, a mixture is [1]: x above.
template <class T>
AIRCHAIN_INLINE T richness(T lambda) {
  constexpr double kSoft = mean_value::kSoft;
  const T z = lambda - T(1.0);
  return T(0.5) * (z - numerics::sqrt(z * z + T(kSoft * kSoft)) + T(kSoft));
}

/// L above: near the logarithm of a over b [1].
template <class T>
AIRCHAIN_INLINE T near_log(T a, T b) {
  return T(2.0) * (a - b) / (a + b);
}

/// l of a density of dry air [kg/m^3].
template <class T>
AIRCHAIN_INLINE T log_density(T density) {
  return near_log(density, T(mean_value::kDensity));
}

/// Factor of mixture, fuel and compression on the work of stoichiometric gasoline at 10 [1]:
///
///     f = exp(w1 x + w2 x^2 + w3 x o^2 + w4 o + w5 k)
template <class T>
AIRCHAIN_INLINE T mixture_work(T compression_ratio, T lambda, T oxygen_ratio) {
  const auto& w = mean_value::kWork;
  const T x = richness(lambda);
  const T k = numerics::log(compression_ratio * T(1.0 / mean_value::kCompression));
  return numerics::exp(x * (T(w[0]) + T(w[1]) * x + T(w[2]) * oxygen_ratio * oxygen_ratio) +
                       T(w[3]) * oxygen_ratio + T(mean_value::kWorkRatio) * k);
}

/// Heat to the cylinder walls over the fuel's heating value [1] at usual density, speed and
/// phasing: q = exp(q0 + q1 x + q2 x^2 + q3 o + q4 k).
template <class T>
AIRCHAIN_INLINE T usual_wall_heat(T compression_ratio, T lambda, T oxygen_ratio) {
  const auto& q = mean_value::kWall;
  const T x = richness(lambda);
  const T k = numerics::log(compression_ratio * T(1.0 / mean_value::kCompression));
  return numerics::exp(T(q[0]) + x * (T(q[1]) + T(q[2]) * x) + T(q[3]) * oxygen_ratio +
                       T(mean_value::kWallRatio) * k);
}

/// The laws at one mean piston speed.
template <class T>
struct AtSpeed {
  T u;           ///< L(U, 15 m/s)
  T work, wall;  ///< factors on work and wall heat: 1 + s u, 1 + s1 u + s2 u^2

  AIRCHAIN_INLINE static AtSpeed of(T piston_speed) {
    namespace m = mean_value;
    const T u = near_log(piston_speed, T(m::kSpeed));
    return {u, T(1.0) + T(m::kWorkSpeed) * u,
            T(1.0) + u * (T(m::kWallSpeed[0]) + T(m::kWallSpeed[1]) * u)};
  }

  /// Factor on work [1] at l: 1 + s u + d l.
  AIRCHAIN_INLINE T work_at(T l) const { return work + T(mean_value::kWorkDensity) * l; }
  /// Factor on wall heat [1] at l, half burned t late:
  /// (1 + s1 u + s2 u^2) (1 + d1 l + d2 l^2) (1 + p1 t + p2 t^2 + p3 t u).
  AIRCHAIN_INLINE T wall_at(T l, T t) const {
    const auto& d = mean_value::kWallDensity;
    const auto& p = mean_value::kWallPhasing;
    const T late = numerics::max(numerics::min(t, T(4.0)), T(-2.0));
    return wall * (T(1.0) + l * (T(d[0]) + T(d[1]) * l)) *
           (T(1.0) + late * (T(p[0]) + T(p[1]) * late + T(p[2]) * u));
  }
  /// Share of the heat that leaves the cylinder with its gas [J/kg] which is left behind ports and
  /// primary [1], at the heat capacity `kExhaustHeatCapacity`:
  ///
  ///     e0 + e1 u + e2 l + e3 (heat/1.4 MJ/kg - 1) + e4 (T_charge/320 K - 1)
  AIRCHAIN_INLINE T kept(T l, T heat, T charge_temperature) const {
    const auto& e = mean_value::kKept;
    return T(e[0] - e[3] - e[4]) + T(e[1]) * u + T(e[2]) * l + T(e[3] / mean_value::kHeat) * heat +
           T(e[4] / mean_value::kCharge) * charge_temperature;
  }
  /// By how much that leaves the exhaust hotter than the charge was [K].
  AIRCHAIN_INLINE T exhaust_rise(T l, T heat, T charge_temperature) const {
    return heat * kept(l, heat, charge_temperature) * T(1.0 / kExhaustHeatCapacity);
  }
};

/// Pressure lost in the gas exchange over plenum pressure [1], with K the valves' loss, rho the
/// density as above and eta_v volumetric efficiency:
///
///     z eta_v (1 + a (eta_v - 1)) + b (p_plenum/p_exhaust - c) (B(sqrt(z) - 0.5) - B(-0.5))
///     z = K rho U^2/p_plenum,   B(d) = (d + sqrt(d^2 + 0.05^2))/2
///
/// The first is the flow through open valves. The second is what the exhaust valve has not let out
/// by bottom centre, and the piston must push: nothing at low speed, more the more was burned.
template <class T>
AIRCHAIN_INLINE T exchange_loss(T valve_loss, T density, T piston_speed, T plenum_pressure,
                                T exhaust_pressure, T volumetric_efficiency) {
  namespace m = mean_value;
  const T z = valve_loss * density * piston_speed * piston_speed / plenum_pressure;
  const auto bent = [](T d) AIRCHAIN_INLINE_LAMBDA {
    return T(0.5) * (d + numerics::sqrt(d * d + T(m::kBend * m::kBend)));
  };
  const T late = bent(numerics::sqrt(z) - T(m::kBlowdownStart)) - bent(T(-m::kBlowdownStart));
  const T filled = volumetric_efficiency;
  const T more = numerics::max(plenum_pressure / exhaust_pressure - T(m::kBlowdown[1]), T(0.0));
  return z * filled * (T(1.0) + T(m::kValveFilling) * (filled - T(1.0))) +
         T(m::kBlowdown[0]) * more * late;
}

}  // namespace airchain::cylinder
