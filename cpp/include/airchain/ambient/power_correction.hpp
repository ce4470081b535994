#pragma once

#include <string>
#include <vector>

#include "airchain/base/field.hpp"

namespace airchain::ambient {

/// Published standards that bring the full-load power of a spark-ignition engine from the weather
/// of its test to a reference weather.
enum class PowerStandard {
  sae_j1349,  ///< 990 hPa dry, 25 degC; mechanical efficiency taken as 85 %
  std_29_92,  ///< the older one: 29.92 inHg dry, 60 degF
  iso_1585    ///< 990 hPa dry, 25 degC; spark ignition
};

/// How the air gets in, as far as the standards care.
enum class Induction {
  aspirated,   ///< naturally aspirated
  mechanical,  ///< a compressor driven from the crank, boost not regulated
  held_boost   ///< boost held by a control
};

/// A standard's name, reference and the weather it holds for.
struct PowerStandardInfo {
  const char* name;
  PowerStandard standard;
  const char* words;
  double dry_pressure;        ///< reference [Pa]
  double temperature;         ///< reference [K]
  base::Range temperatures;   ///< [K]
  base::Range dry_pressures;  ///< [Pa]
  base::Range factors;
};
const std::vector<PowerStandardInfo>& power_standards();
const PowerStandardInfo& info(PowerStandard standard);

/// Corrected over observed power at a dry-air pressure [Pa] and inlet air temperature [K].
///
///     SAE J1349  1.180 (990 hPa / p) sqrt(T/298) - 0.180     factors as printed, rounded from
///                indicated power = brake power / 0.85
///     older      (29.92 inHg / p) sqrt(T/519.67 degR)        SAE J607 as commonly used, withdrawn
///     ISO 1585   (990 hPa / p)^1.2 (T/298)^0.6               also ECE R85, 80/1269/EEC
///
/// J1349 and ISO 1585 count T from 0 degC = 273 K, so that 25 degC is 298; the same is done here.
/// The figure is given outside the standard's weather too and never clamped; `outside` says so.
/// Formulas read second-hand, not yet checked against the printed standards.
double power_correction(PowerStandard standard, double dry_pressure, double temperature);

/// A figure of the test's weather outside what a standard holds for: its name, value and range, SI.
struct Outside {
  const char* name;  ///< temperature, dry_pressure or factor
  double value;
  base::Range range;
};

/// What of the test's weather lies outside the standard; empty when nothing does.
/// ISO 1585: 15 to 35 degC, 80 to 110 kPa, factor 0.93 to 1.07. J1349: 15 to 35 degC, 90 to 105 kPa
/// (from memory). The older standard states no range.
std::vector<Outside> outside(PowerStandard standard, double dry_pressure, double temperature);

/// Why a standard does not hold for an induction, in words; empty when it does.
///
/// An unregulated compressor driven from the crank multiplies the ambient pressure, so power
/// follows the weather as in a naturally aspirated engine. Where a control holds the manifold
/// pressure, it does not (the standards then limit or drop the pressure term; from memory).
std::string objection(PowerStandard standard, Induction induction);

}  // namespace airchain::ambient
