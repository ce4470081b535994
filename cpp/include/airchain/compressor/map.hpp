#pragma once

#include <cstdint>
#include <limits>
#include <memory>
#include <vector>

#include "airchain/base/status.hpp"
#include "airchain/compressor/map_data.hpp"
#include "airchain/numerics/table.hpp"

namespace airchain::compressor {

/// What it means to lie left of a map's left end, and what its surge margin is worth.
constexpr base::Status left_status(LeftEnd end) {
  return end == LeftEnd::surge       ? base::Status::left_of_surge_line
         : end == LeftEnd::estimated ? base::Status::left_of_estimated_surge_line
                                     : base::Status::left_of_map;
}
constexpr base::Flag left_flag(LeftEnd end) {
  return end == LeftEnd::surge       ? base::Flag::none
         : end == LeftEnd::estimated ? base::Flag::surge_estimated
                                     : base::Flag::surge_not_known;
}

/// One point of a map at its reference state. Numbers are NaN unless `status` is matched.
struct MapPoint {
  double speed = std::numeric_limits<double>::quiet_NaN();           ///< corrected [rad/s]
  double flow = std::numeric_limits<double>::quiet_NaN();            ///< corrected [kg/s]
  double pressure_ratio = std::numeric_limits<double>::quiet_NaN();  ///< total to total [1]
  double efficiency = std::numeric_limits<double>::quiet_NaN();      ///< isentropic [1]
  double work = std::numeric_limits<double>::quiet_NaN();  ///< stagnation enthalpy rise [J/kg]
  double c = std::numeric_limits<double>::quiet_NaN();     ///< place along the speed line [1]
  base::Status status = base::Status::outside_map;
  std::uint32_t flags = 0;  ///< of base::Flag
};

/// Points over rising speed (outer) and c (inner), for contours.
struct MapPoints {
  std::size_t speeds = 0;
  std::size_t places = 0;
  std::vector<MapPoint> points;  ///< [is * places + ic]
};

/// A measured compressor map: pressure ratio, efficiency and work over corrected speed and the
/// place c along the speed line. How it interpolates: map_grid.hpp.
///
/// Head and efficiency are those of the reference state's constant gamma: its isentropic work is
/// real air's within 0.06 % (270 to 310 K, ratios 1.2 to 4), as near as with variable capacities.
///
/// An immutable value; copies share their data.
class CompressorMap {
 public:
  using Table = numerics::Table<3>;
  enum Field : std::size_t { phi, log_ratio, work };  ///< of the table; see MapGrid

  /// Throws InputError unless `data` is a map (see `checked`).
  static CompressorMap from(const MapData& data);

  const MapData& data() const { return parts_->data; }
  const ReferenceState& reference() const { return parts_->data.reference; }
  /// phi, L and w over n and c: what the match runs on.
  const Table& table() const { return parts_->table; }
  /// Corrected speed of the highest line [rad/s], at which n = 1.
  double design_speed() const { return parts_->data.lines.back().speed; }
  /// Corrected speed of the lowest line [rad/s]; below it the map is extrapolated by similarity.
  double lowest_speed() const { return parts_->data.lines.front().speed; }
  /// Highest efficiency of any point typed [1].
  double highest_efficiency() const;
  /// Of the reference state [J/kg]: a^2 = gamma R T.
  double reference_sound_speed_squared() const;

  /// The point at a corrected speed [rad/s] and a place c along its line:
  ///
  ///     n = speed/design speed,   flow = phi n,   PR = exp(L n^2),   work = w n^2 gamma R T
  ///     efficiency = isentropic_head(PR, gamma)/(n^2 w),   L/(gamma w) at n = 0
  MapPoint at(double speed, double c) const;
  /// On a vertical choke side the point with the highest pressure ratio.
  MapPoint at_flow(double speed, double flow) const;
  /// The point of the highest efficiency on a line.
  MapPoint peak_efficiency(double speed) const;
  /// Corrected flow at the left and right ends of the line [kg/s]; NaN above the highest line.
  double left_flow(double speed) const;
  double right_flow(double speed) const;
  /// The same where the ends are surge (measured or estimated) and choke; NaN where the map does
  /// not know.
  double surge_flow(double speed) const;
  double choke_flow(double speed) const;
  /// Points from the lowest to the highest line; at least 2 x 2.
  MapPoints grid(int speeds, int places) const;

  bool operator==(const CompressorMap& other) const { return data() == other.data(); }

 private:
  struct Parts {
    MapData data;
    Table table;
  };
  explicit CompressorMap(std::shared_ptr<const Parts> parts) : parts_(std::move(parts)) {}
  bool holds(double speed) const;
  std::uint32_t flags_at(double speed) const;

  std::shared_ptr<const Parts> parts_;
};

}  // namespace airchain::compressor
