#pragma once

#include <string>
#include <tuple>
#include <vector>

#include "airchain/base/constants.hpp"
#include "airchain/base/field.hpp"
#include "airchain/gas/species.hpp"

namespace airchain::compressor {

/// Ratio of heat capacities of dry air as an ideal gas [1] at a temperature [K].
///
///     gamma = c/(c - 1),   c = cp/R = a0 + a1 T + a2 T^2 + a3 T^3 + a4 T^4     (gas/species.hpp)
constexpr double dry_air_gamma(double temperature) {
  const double* a = gas::kDryAir.a;
  const double t = temperature;
  const double cp_over_r = (((a[4] * t + a[3]) * t + a[2]) * t + a[1]) * t + a[0];
  return cp_over_r / (cp_over_r - 1.0);
}

/// The air at which a map's corrected flow and corrected speed are told. The default is dry air at
/// sea level and 15 degC [ICAO standard atmosphere].
struct ReferenceState {
  double temperature = 288.15;                        ///< total [K]
  double pressure = base::kStandardAtmosphere;        ///< total, absolute [Pa]
  double gas_constant = gas::kDryAir.gas_constant();  ///< [J/(kg K)]
  double gamma = dry_air_gamma(288.15);               ///< ratio of heat capacities [1]

  static constexpr const char* kName = "ReferenceState";
  static constexpr auto fields() {
    using base::between;
    using R = ReferenceState;
    return std::tuple{base::field("temperature", &R::temperature, "K", between(200.0, 400.0),
                                  "total temperature the corrected quantities refer to"),
                      base::field("pressure", &R::pressure, "Pa", between(2e4, 2e5),
                                  "total pressure the corrected quantities refer to, absolute"),
                      base::field("gas_constant", &R::gas_constant, "J/(kg K)",
                                  between(200.0, 500.0), "gas constant of the reference gas"),
                      base::field("gamma", &R::gamma, "1", between(1.05, 1.7),
                                  "ratio of heat capacities of the reference gas")};
  }
  bool operator==(const ReferenceState&) const = default;
};

/// Points measured at one corrected speed, from the surge end to the choke end (or all the other
/// way round).
struct SpeedLine {
  double speed = 0.0;                  ///< corrected, of the impeller [rad/s]
  std::vector<double> flow;            ///< corrected [kg/s]
  std::vector<double> pressure_ratio;  ///< total to total [1]
  std::vector<double> efficiency;      ///< isentropic, total to total [1]

  bool operator==(const SpeedLine&) const = default;
};

/// What the leftmost point of every line is: measured surge, an estimate of surge, or only the last
/// point taken.
enum class LeftEnd { surge, estimated, last_point };
/// What the rightmost point of every line is: choke, or only the last point taken.
enum class RightEnd { choke, last_point };

/// A compressor map as measured or typed in.
struct MapData {
  std::string name;
  ReferenceState reference;
  std::vector<SpeedLine> lines;  ///< in rising order of speed
  LeftEnd left_end = LeftEnd::last_point;
  RightEnd right_end = RightEnd::last_point;
  double tip_diameter = 0.0;  ///< impeller exducer [m]; 0 = not known
  double speed_limit = 0.0;   ///< of the impeller, not corrected [rad/s]; 0 = not known

  bool operator==(const MapData&) const = default;
};

/// Isentropic efficiency that a point of a map may have [1]: the best centrifugal machines reach
/// some 0.88, and far into choke it falls below 0.2 (common practice, no source).
inline constexpr double kLeastEfficiency = 0.05;
inline constexpr double kMostEfficiency = 0.95;

/// How far the flow of a line may step back from one point to the next, over the line's largest
/// flow [1]: measured choke sides scatter by 0.1 to 0.3 %. Within it flows are smoothed, beyond
/// it the line is refused.
inline constexpr double kFlowScatter = 0.005;

/// The map ready to be built on: every line from the surge end to the choke end, its flow
/// non-decreasing (pool-adjacent-violators within `kFlowScatter`).
///
/// A line is accepted in either direction as long as its flow goes one way within `kFlowScatter`.
/// Throws InputError for anything else that is not a map: see test_map_bad_input.cpp.
MapData checked(const MapData& data);

/// One line from points taken in any order, each at its own recorded corrected speed [rad/s]. They
/// are brought to the mean speed by similarity (flow as speed, isentropic head as speed squared,
/// efficiency as it is) and ordered from surge to choke.
///
///     W = W_i N/N_i,   isentropic_head(PR) = isentropic_head(PR_i) (N/N_i)^2,   N the mean of N_i
///
/// Good for speeds that scatter by a per cent or so.
SpeedLine speed_line_from_points(const std::vector<double>& speed, const std::vector<double>& flow,
                                 const std::vector<double>& pressure_ratio,
                                 const std::vector<double>& efficiency, double gamma);

/// The same line with its points ordered from surge to choke by flow/largest flow less
/// head/largest head: rises along flat tops as well as down vertical choke sides. A line
/// that `checked` would refuse comes back as it is.
///
///     place = W/W_most - h/h_most,   h = isentropic_head(PR, gamma)
SpeedLine ordered_from_surge(const SpeedLine& line, double gamma);

/// The map of a geometrically similar compressor: every length times `diameter_ratio`, and besides
/// the flow times `flow_scale` (trim, blade height).
///
///     W = W_old D^2 flow_scale,   N = N_old/D,   D = diameter_ratio
///     pressure ratio and efficiency unchanged at equal tip speed
///
/// Left out: Reynolds number, relative clearance and roughness (a smaller machine is less
/// efficient); the effect of a trim on pressure ratio and efficiency, so keep `flow_scale` within
/// 10 % or so (common practice, no source).
MapData scaled(const MapData& data, double diameter_ratio, double flow_scale = 1.0);

/// Isentropic enthalpy rise over gamma R T01 [1]: h = (PR^((g - 1)/g) - 1)/(g - 1), g = gamma.
double isentropic_head(double pressure_ratio, double gamma);
/// And back: PR = (1 + (g - 1) h)^(g/(g - 1)).
double pressure_ratio_of_head(double head, double gamma);

}  // namespace airchain::compressor
