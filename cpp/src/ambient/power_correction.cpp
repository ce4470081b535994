#include "airchain/ambient/power_correction.hpp"

#include <cmath>
#include <cstdio>

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

void complain(std::string& words, const char* what, double value, const base::Range& range,
              double scale, double zero, const char* unit) {
  // The rounding of a conversion is no reason to call the bound itself outside.
  const double slack = 1e-9 * std::abs(value);
  if (range.holds(value) || range.holds(value - slack) || range.holds(value + slack)) return;
  char text[160];
  std::snprintf(text, sizeof text, "%s%s %.4g%s is not within %.4g to %.4g%s",
                words.empty() ? "" : ", ", what, (value - zero) / scale, unit,
                (range.low - zero) / scale, (range.high - zero) / scale, unit);
  words += text;
}

}  // namespace

const std::vector<PowerStandardInfo>& power_standards() {
  static const std::vector<PowerStandardInfo> standards{
      {"sae_j1349",
       PowerStandard::sae_j1349,
       "SAE J1349: 990 hPa dry, 25 degC, mechanical efficiency 85 %",
       kDryReference,
       kReferenceCelsius + base::kZeroCelsius,
       between(288.15, 308.15),
       between(90e3, 105e3),
       {}},
      {"std_29_92",
       PowerStandard::std_29_92,
       "older standard: 29.92 inHg dry, 60 degF",
       kOlderPressure,
       kOlderTemperature,
       {},
       {},
       {}},
      {"iso_1585", PowerStandard::iso_1585, "ISO 1585, spark ignition: 990 hPa dry, 25 degC",
       kDryReference, kReferenceCelsius + base::kZeroCelsius, between(288.15, 308.15),
       between(80e3, 110e3), between(0.93, 1.07)}};
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

std::string outside(PowerStandard standard, double dry_pressure, double temperature) {
  const auto& limits = info(standard);
  std::string words;
  complain(words, "air temperature", temperature, limits.temperatures, 1.0, base::kZeroCelsius,
           " degC");
  complain(words, "dry barometer", dry_pressure, limits.dry_pressures, 1e3, 0.0, " kPa");
  complain(words, "factor", power_correction(standard, dry_pressure, temperature), limits.factors,
           1.0, 0.0, "");
  return words;
}

std::string objection(PowerStandard standard, Induction induction) {
  if (induction != Induction::held_boost) return "";
  return std::string(info(standard).name) +
         " multiplies power by ambient pressure, but here a control holds the manifold pressure";
}

}  // namespace airchain::ambient
