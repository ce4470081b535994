#pragma once

#include <cmath>

namespace airchain::compressor {

/// Slip factor of a centrifugal impeller: sigma = 1 - (slip velocity)/(tip speed). The exit angle
/// is measured from the radial direction [rad], positive for backsweep; `blades` may be a fraction
/// where splitters count in part.
///
/// Left out: the influence of flow rate on slip and of a thick boundary layer.

/// Inlet-to-exit radius ratio above which the blades are too short for Wiesner's formula.
///
///     epsilon = exp(-8.16 cos(beta2)/Z)                                              [Wiesner1967]
inline double wiesner_limiting_radius_ratio(double blades, double backsweep) {
  return std::exp(-8.16 * std::cos(backsweep) / blades);
}

/// Wiesner's fit to Busemann's potential flow, with his correction above the limiting radius ratio.
///
///     sigma = 1 - sqrt(cos(beta2))/Z^0.7,   times 1 - ((r1/r2 - epsilon)/(1 - epsilon))^3
///                                                                                    [Wiesner1967]
inline double wiesner_slip(double blades, double backsweep, double radius_ratio = 0.0) {
  const double sigma = 1.0 - std::sqrt(std::cos(backsweep)) / std::pow(blades, 0.7);
  const double limit = wiesner_limiting_radius_ratio(blades, backsweep);
  if (radius_ratio <= limit) return sigma;
  const double excess = (radius_ratio - limit) / (1.0 - limit);
  return sigma * (1.0 - excess * excess * excess);
}

}  // namespace airchain::compressor
