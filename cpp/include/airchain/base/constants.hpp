#pragma once

namespace airchain::base {

inline constexpr double kPi = 3.14159265358979323846;
inline constexpr double kDegree = kPi / 180.0;  ///< one degree [rad]
/// One revolution a minute [rad/s], in which examples and published data tell speeds.
inline constexpr double kRpm = kPi / 30.0;
/// Molar gas constant [J/(mol K)], exact since the 2019 SI.
inline constexpr double kMolarGasConstant = 8.31446261815324;
/// Standard gravity [m/s^2], ISO 80000-3.
inline constexpr double kStandardGravity = 9.80665;
inline constexpr double kZeroCelsius = 273.15;
/// Standard atmosphere [Pa], ISO 2533.
inline constexpr double kStandardAtmosphere = 101325.0;
/// Least flow area of a duct, throttle or exhaust of an engine [m^2], a bore of 8 mm (common
/// practice, no source).
inline constexpr double kLeastFlowArea = 5e-5;

}  // namespace airchain::base
