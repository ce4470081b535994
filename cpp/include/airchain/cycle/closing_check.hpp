#pragma once

#include "airchain/cycle/setup.hpp"
#include "airchain/cylinder/breathing.hpp"

// A last look at every cycle that is told: what it says is possible, or it says nothing.
namespace airchain::cycle {

// Ranges of the closing check; common practice without source. A motored engine's exhaust is no
// warmer than its charge.
inline constexpr double kColdestExhaust = 200.0, kHottestExhaust = 3500.0;  // [K]
inline constexpr double kHighestPeak = 1e9;                                 // [Pa]
/// Mass and energy that are unbalanced: sums of many small steps, closed to 1e-9 and better.
inline constexpr double kMostUnbalanced = 1e-6;
/// Room of shares that lie between 0 and 1, since a point settles to its tolerance alone.
inline constexpr double kShareRoom = 0.02;

/// Plain inequalities; NaN is not possible. `T` is the kernel's number, so that no instruction set
/// shares this code with another.
///
///     0 <= eta_v <= 1.6,   |mass error|, |energy error| <= 1e-6
///     gross imep V_d <= fuel heat + V_d max(p_plenum, p_exhaust)
///
/// The last is the first law of compression and expansion: beside the fuel's heat only gas that is
/// pushed in or sucked out while a valve is open does work there.
template <class T>
AIRCHAIN_INLINE bool possible(const CycleResult& r, double displaced, T lane_plenum, T lane_exhaust,
                              int lane) {
  const double plenum = numerics::lane(lane_plenum, lane);
  const double exhaust = numerics::lane(lane_exhaust, lane);
  const auto share = [](double value) { return value >= -kShareRoom && value <= 1.0 + kShareRoom; };
  const auto balanced = [](double error) {
    return error <= kMostUnbalanced && error >= -kMostUnbalanced;
  };
  return r.trapped_mass > 0.0 && share(r.residual_fraction) && share(r.scavenging_loss) &&
         r.volumetric_efficiency >= -kMostUnbalanced &&
         r.volumetric_efficiency <= cylinder::kMostFilling && balanced(r.mass_error) &&
         balanced(r.energy_error) && r.peak_pressure > 0.0 && r.peak_pressure < kHighestPeak &&
         r.gross_imep * displaced <=
             r.fuel_heat + displaced * (plenum > exhaust ? plenum : exhaust) &&
         r.exhaust_temperature > kColdestExhaust && r.exhaust_temperature < kHottestExhaust &&
         (r.imep + r.pmep + r.heat_loss + r.air_mass + r.fuel_mass + r.knock_integral) * 0.0 == 0.0;
}

}  // namespace airchain::cycle
