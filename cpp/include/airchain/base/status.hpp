#pragma once

#include <array>
#include <cstdint>

namespace airchain::base {

/// Whether a point was solved, or why not. Results of an unsolved point are NaN.
enum class Status : std::uint8_t {
  matched = 0,
  left_of_surge_line,  ///< the engine swallows less than the measured surge flow at this speed
  left_of_estimated_surge_line,  ///< as above, where the surge line was predicted, not measured
  left_of_map,   ///< as above, but the map's left ends are only the last points taken
  beyond_choke,  ///< the engine swallows more than the map's last flow at this speed, and the map
                 ///< does not say that this is choke; or more than a choked compressor ever passes
  outside_map,   ///< the corrected speed lies over 10 % above the map's highest speed line
  not_converged,
  not_possible,  ///< the flows agree, but at figures that no engine can have
};

/// Limits and cautions that may stand together on a solved point; bits of one number.
enum class Flag : std::uint32_t {
  none = 0,
  over_speed_limit = 1u << 0,
  over_tip_speed_limit = 1u << 1,
  over_engine_speed_limit = 1u << 2,
  below_lowest_speed_line = 1u << 3,  ///< extrapolated by similarity
  outside_breathing_table = 1u << 4,  ///< volumetric efficiency held at an edge
  bypass_open = 1u << 5,
  bypass_saturated = 1u << 6,  ///< fully open and still above its limit
  condensing = 1u << 7,
  over_belt_capacity = 1u << 8,
  surge_not_known = 1u << 9,  ///< the map does not say where surge is
  choke_not_known = 1u << 10,
  large_duct_loss = 1u << 12,  ///< a duct loses more than its formula is trusted for
  throttle_choked = 1u << 11,
  surge_estimated = 1u << 13,    ///< the surge line was predicted, not measured
  outside_gas_data = 1u << 14,   ///< colder or hotter than the heat capacities are known
  cycle_not_settled = 1u << 15,  ///< the cylinder's cycle did not come to repeat itself
  // Figures that no engine was seen with, though one might have them:
  odd_compressor = 1u << 16,
  odd_filling = 1u << 17,
  odd_combustion = 1u << 18,  ///< or the combustion's formula is used beyond its range
  odd_exhaust = 1u << 19,
  no_power = 1u << 20,                  ///< nothing is left at the crank
  fuel_saturated = 1u << 21,            ///< the air cannot hold as much fuel vapour as was typed
  on_choke_line = 1u << 22,             ///< choked: flow held, pressure ratio below the map's
  above_highest_speed_line = 1u << 23,  ///< extrapolated by similarity
};

/// The states' names by their numbers, and the flags' by their bits.
inline constexpr std::array kStatusNames{
    "matched",       "left_of_surge_line", "left_of_estimated_surge_line",
    "left_of_map",   "beyond_choke",       "outside_map",
    "not_converged", "not_possible"};
inline constexpr std::array kFlagNames{"over_speed_limit",
                                       "over_tip_speed_limit",
                                       "over_engine_speed_limit",
                                       "below_lowest_speed_line",
                                       "outside_breathing_table",
                                       "bypass_open",
                                       "bypass_saturated",
                                       "condensing",
                                       "over_belt_capacity",
                                       "surge_not_known",
                                       "choke_not_known",
                                       "throttle_choked",
                                       "large_duct_loss",
                                       "surge_estimated",
                                       "outside_gas_data",
                                       "cycle_not_settled",
                                       "odd_compressor",
                                       "odd_filling",
                                       "odd_combustion",
                                       "odd_exhaust",
                                       "no_power",
                                       "fuel_saturated",
                                       "on_choke_line",
                                       "above_highest_speed_line"};

}  // namespace airchain::base
