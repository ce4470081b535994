#pragma once

#include "airchain/cylinder/burn.hpp"

namespace airchain::cylinder {

/// Constants of the mean-value cylinder, which knows volumetric efficiency but no cams: fitted to
/// this project's cycle over 60 invented engines of bore 80 to 115 mm, stroke over bore 0.75 to
/// 1.12, compression 8 to 13, two and four valves a cylinder, gasoline, E85 and methanol, at
/// plenum pressures of 0.6 to 3 bar, 4 to 25 m/s mean piston speed, lambda 0.72 to 1.02 and half
/// burned 0 to 40 degrees after top centre (tests/bench/fit_mean_value.py makes them). With
///
///     l = ln(rho/1.2 kg/m^3),  u = ln(U/15 m/s),  k = ln(r/10),  t = (theta50 - best)/10 degrees,
///     x = (z - sqrt(z^2 + 0.032^2) + 0.032)/2,  z = lambda - 1,  o = oxygen atoms per carbon
///
/// rho the density of dry air at plenum pressure and charge temperature.
namespace mean_value {
inline constexpr double kDensity = 1.2, kSpeed = 15.0, kCompression = 10.0;  // kg/m^3, m/s, 1
inline constexpr double kSoft = 0.032;  // of x: an uneven charge rounds the kink at 1
inline constexpr double kUnit = 10.0 * base::kDegree;        // of t [rad]
inline constexpr double kLogDensity = 1.8, kLogSpeed = 1.8;  // largest |l| and |u| that are asked

inline constexpr double kQuality = 0.8894;
inline constexpr double kWork[] = {0.984, -1.481, -0.0845, 0.0457};  // of x, x^2, x o^2, o
inline constexpr double kWorkRatio = -0.0605, kWorkDensity = 0.0155, kWorkSpeed = 0.0191;
inline constexpr double kWorkPhasing[] = {-0.024, -0.018};  // of t, t^2

inline constexpr double kWall[] = {-2.2475, 1.12, -2.717, -0.0539};  // 1, of x, x^2, o
inline constexpr double kWallRatio = 0.2131, kWallDensity = -0.2902;
inline constexpr double kWallSpeed[] = {-0.2147, 0.1801};            // of u, u^2
inline constexpr double kWallPhasing[] = {-0.1446, 0.0227, 0.0715};  // of t, t^2, t u

inline constexpr double kKept[] = {0.7875, 0.0655, 0.0277, -0.2036};  // 1, of u, l, heat
inline constexpr double kHeat = 1.4e6;                                // [J/kg]

inline constexpr double kValveLoss = 110.0, kValveFilling = 1.32;  // 1, exponent
inline constexpr double kBlowdown[] = {1.96, 0.44}, kBlowdownStart = 0.5, kBend = 0.05;

/// How far the laws are off the cycles of other engines of that family: 95 of 100 states are
/// nearer than the first, none of those tried was farther than the second. Of indicated work less
/// pumping and of wall heat over the cycle's, pumping over gross work, exhaust temperature [K].
struct Doubt {
  double usual, most;
};
inline constexpr Doubt kNetWorkDoubt{0.04, 0.09}, kPumpingDoubt{0.03, 0.08},
    kWallHeatDoubt{0.16, 0.37}, kExhaustDoubt{85.0, 240.0};
}  // namespace mean_value

/// How much rich, and never lean, a mixture is [1]: x above.
template <class T>
AIRCHAIN_INLINE T richness(T lambda) {
  constexpr double kSoft = mean_value::kSoft;
  const T z = lambda - T(1.0);
  return T(0.5) * (z - numerics::sqrt(z * z + T(kSoft * kSoft)) + T(kSoft));
}

/// Logarithm of a quantity over its usual value, held within the range that the laws are asked at.
template <class T>
AIRCHAIN_INLINE T held_log(T value, double usual, double most) {
  const T log = numerics::log(numerics::max(value, T(1e-3 * usual)) * T(1.0 / usual));
  return numerics::max(numerics::min(log, T(most)), T(-most));
}

/// l of a density of dry air [kg/m^3].
template <class T>
AIRCHAIN_INLINE T log_density(T density) {
  return held_log(density, mean_value::kDensity, mean_value::kLogDensity);
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
  T u;           ///< ln(U/15 m/s)
  T work, wall;  ///< factors on work and wall heat: exp(s u), exp(s1 u + s2 u^2)

  AIRCHAIN_INLINE static AtSpeed of(T piston_speed) {
    namespace m = mean_value;
    const T u = held_log(piston_speed, m::kSpeed, m::kLogSpeed);
    return {u, numerics::exp(T(m::kWorkSpeed) * u),
            numerics::exp(u * (T(m::kWallSpeed[0]) + T(m::kWallSpeed[1]) * u))};
  }

  /// Factor on work [1] at a log density l: exp(s u + d l).
  AIRCHAIN_INLINE T work_at(T l) const {
    return work * numerics::exp(T(mean_value::kWorkDensity) * l);
  }
  /// Factor on wall heat [1], half burned t late:
  /// exp(s1 u + s2 u^2 + d l + p1 t + p2 t^2 + p3 t u).
  AIRCHAIN_INLINE T wall_at(T l, T t) const {
    const auto& p = mean_value::kWallPhasing;
    const T late = numerics::max(numerics::min(t, T(4.0)), T(-2.0));
    return wall * numerics::exp(T(mean_value::kWallDensity) * l +
                                late * (T(p[0]) + T(p[1]) * late + T(p[2]) * u));
  }
  /// Share of the heat that leaves the cylinder with its gas [J/kg] which is left behind ports and
  /// primary [1]: e0 + e1 u + e2 l + e3 (heat/1.4 MJ/kg - 1), at the heat capacity
  /// `kExhaustHeatCapacity`.
  AIRCHAIN_INLINE T kept(T l, T heat) const {
    const auto& e = mean_value::kKept;
    return T(e[0]) + T(e[1]) * u + T(e[2]) * l +
           T(e[3]) * (heat * T(1.0 / mean_value::kHeat) - T(1.0));
  }
};

/// Pressure lost in the gas exchange over plenum pressure [1], with K the valves' loss, rho the
/// plenum's density and eta_v volumetric efficiency:
///
///     z eta_v^a + b (p_plenum/p_exhaust - c) (B(sqrt(z) - 0.5) - B(-0.5))
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
  const T filled = numerics::max(volumetric_efficiency, T(0.05));
  const T more = numerics::max(plenum_pressure / exhaust_pressure - T(m::kBlowdown[1]), T(0.0));
  return z * numerics::exp(T(m::kValveFilling) * numerics::log(filled)) +
         T(m::kBlowdown[0]) * more * late;
}

}  // namespace airchain::cylinder
