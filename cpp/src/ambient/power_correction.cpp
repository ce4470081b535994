#include "airchain/ambient/power_correction.hpp"

#include <cmath>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"

namespace airchain::ambient {

namespace {

using base::between;

constexpr double kDryReference = 99e3;      // J1349 and ISO 1585 [Pa]
constexpr double kReferenceCelsius = 25.0;  // the same
// Those two write 273 + t and 298.
constexpr double kRoundedZeroCelsius = 273.0;
// Conventional inch of mercury at 0 degC: 13595.1 kg/m^3.
constexpr double kInchOfMercury = 13595.1 * base::kStandardGravity * 0.0254;
constexpr double kOlderPressure = 29.92 * kInchOfMercury;
constexpr double kOlderTemperature = 519.67 / 1.8;  // 60 degF

double rounded(double temperature) {
  return (temperature - base::kZeroCelsius + kRoundedZeroCelsius) /
         (kReferenceCelsius + kRoundedZeroCelsius);
}

bool within(double value, const base::Range& range) {
  // The rounding of a conversion is no reason to call the bound itself outside.
  const double slack = 1e-9 * std::abs(value);
  return range.holds(value) || range.holds(value - slack) || range.holds(value + slack);
}

}  // namespace

const std::vector<PowerStandardInfo>& power_standards() {
  static const std::vector<PowerStandardInfo> standards{
      {"sae_j1349",
       PowerStandard::sae_j1349,
       "SAE J1349, mechanical efficiency 85 %",
       kDryReference,
       kReferenceCelsius + base::kZeroCelsius,
       between(288.15, 308.15),
       between(90e3, 105e3),
       {}},
      {"std_29_92",
       PowerStandard::std_29_92,
       "older standard",
       kOlderPressure,
       kOlderTemperature,
       {},
       {},
       {}},
      {"iso_1585", PowerStandard::iso_1585, "ISO 1585, spark ignition", kDryReference,
       kReferenceCelsius + base::kZeroCelsius, between(288.15, 308.15), between(80e3, 110e3),
       between(0.93, 1.07)}};
  return standards;
}

const PowerStandardInfo& info(PowerStandard standard) {
  return power_standards()[static_cast<std::size_t>(standard)];
}

double power_correction(PowerStandard standard, double dry_pressure, double temperature) {
  const char* const where = "power_correction";
  base::require(where, "dry_pressure", dry_pressure, "Pa", between(3e4, 1.2e5));
  base::require(where, "temperature", temperature, "K", between(230.0, 330.0));
  const double pressure = info(standard).dry_pressure / dry_pressure;
  switch (standard) {
    case PowerStandard::sae_j1349:
      return 1.180 * pressure * std::sqrt(rounded(temperature)) - 0.180;
    case PowerStandard::std_29_92:
      return pressure * std::sqrt(temperature / kOlderTemperature);
    default:
      return std::pow(pressure, 1.2) * std::pow(rounded(temperature), 0.6);
  }
}

std::vector<Outside> outside(PowerStandard standard, double dry_pressure, double temperature) {
  const auto& limits = info(standard);
  const double factor = power_correction(standard, dry_pressure, temperature);
  std::vector<Outside> found;
  for (const Outside& one : {Outside{"temperature", temperature, limits.temperatures},
                             Outside{"dry_pressure", dry_pressure, limits.dry_pressures},
                             Outside{"factor", factor, limits.factors}})
    if (!within(one.value, one.range)) found.push_back(one);
  return found;
}

std::string objection(PowerStandard standard, Induction induction) {
  if (induction != Induction::held_boost) return "";
  return std::string(info(standard).name) +
         " multiplies power by ambient pressure, but here a control holds the manifold pressure";
}

}  // namespace airchain::ambient
