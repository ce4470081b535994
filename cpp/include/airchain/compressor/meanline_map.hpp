#pragma once

#include <vector>

#include "airchain/compressor/map_data.hpp"
#include "airchain/compressor/meanline.hpp"

namespace airchain::compressor {

/// Why a predicted line stops on the left. All are estimates of surge, none is a measurement.
enum class LeftLimit {
  diffuser_stall,          ///< stall ratio of the diffuser reaches 1
  falling_pressure_ratio,  ///< 2 % below the line's highest pressure ratio
  none_found,              ///< a tenth of the right end
};

/// Why a predicted line stops on the right.
enum class RightLimit {
  choke,
  spent,  ///< efficiency has fallen to 0.30: the stage hardly compresses any more
};

/// Ends of one predicted line.
struct LineEnds {
  double left_flow;   ///< [kg/s]
  double right_flow;  ///< [kg/s]
  LeftLimit left_limit;
  RightLimit right_limit;
};

/// Ends of the line at `speed` [rad/s].
LineEnds predict_line_ends(const Stage& stage, double speed, const ReferenceState& reference = {});

/// A map predicted by `meanline_point`, in the form of a measured one.
///
/// Points lie closer together towards choke,
///
///     W_i = W_right - (W_right - W_left) (1 - i/(points - 1))^2
///
/// Left ends are estimates of surge and marked
/// `estimated`; right ends are choke or, at low speed, where the stage is spent, both marked
/// `choke`: neither passes more while it compresses.
///
/// Throws InputError for dimensions, speeds (in rising order) or counts out of range, and where a
/// line has no flow between its ends.
MapData predict_map(const Stage& stage, const std::vector<double>& speeds, int points_per_line = 21,
                    const ReferenceState& reference = {});

/// `count` speeds evenly from 30 to 110 % of `design_speed` N [rad/s]:
/// N_i = N (0.3 + 0.8 i/(count - 1)).
std::vector<double> predicted_speeds(double design_speed, int count = 9);

}  // namespace airchain::compressor
