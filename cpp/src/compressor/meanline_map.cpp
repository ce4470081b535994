#include "airchain/compressor/meanline_map.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "airchain/base/guards.hpp"
#include "airchain/numerics/root.hpp"

namespace airchain::compressor {
namespace {

constexpr const char* kWhere = "predict_map";
constexpr double kSpentEfficiency = 0.30;
constexpr double kPressureRatioFall = 0.02;  // common practice, no source
constexpr double kLeastFlowShare = 0.10;
constexpr int kScan = 32;
constexpr int kStride = 4;   // of a first, coarse scan
constexpr int kRoughly = 8;  // halvings for a choke that nothing hangs on
constexpr int kClosely = 30;

struct Line {
  const Stage& stage;
  double speed;
  const ReferenceState& reference;

  MeanlinePoint at(double flow) const { return solve_meanline(stage, speed, flow, reference); }
};

/// A flow and how much room a limit leaves there: 0 at the limit, negative beyond it.
struct Place {
  double flow;
  double room;
};

/// What counts beyond the limit where a point has no number.
double finite(double room) { return std::isfinite(room) ? std::clamp(room, -1.0, 1.0) : -1.0; }

/// The flow between `inside` and `outside` where the room is used up.
template <class Room>
double limiting_flow(const Line& line, Room&& room, Place inside, Place outside) {
  const double way = inside.flow - outside.flow;
  const auto found = numerics::bracketed_root<double>(
      [&](double share) { return room(line.at(outside.flow + share * way)); }, 0.0, 1.0,
      outside.room / (outside.room - inside.room), inside.room - outside.room, 1e-12, 1e-10);
  return outside.flow + found.x * way;
}

double room_to_spent(const MeanlinePoint& p) {
  // Further right the machine would turn as a turbine: both work and head negative.
  return p.work > 0.0 ? finite(p.efficiency - kSpentEfficiency) : -1.0;
}

double room_to_stall(const MeanlinePoint& p) { return finite(1.0 - p.stall_ratio); }

double room_to_fall(const MeanlinePoint& p, double highest, double fall) {
  return finite(p.pressure_ratio - 1.0 - (1.0 - fall) * (highest - 1.0));
}

struct RightEndOfLine {
  double flow;
  RightLimit limit;
  MeanlinePoint point;
};

/// The highest flow that passes; only roughly where the stage is spent there already.
RightEndOfLine choke_end(const Line& line) {
  const double inducer = inducer_choke_flow(line.stage.impeller, line.speed, line.reference);
  MeanlinePoint point = line.at(inducer);
  double passes = inducer;
  if (point.status != MeanlineStatus::solved) {
    passes = 0.0;
    double chokes = inducer;
    for (int i = 0; i < kClosely && (i < kRoughly || room_to_spent(point) > 0.0); ++i) {
      const double middle = 0.5 * (passes + chokes);
      const MeanlinePoint tried = line.at(middle);
      const bool solved = tried.status == MeanlineStatus::solved;
      (solved ? passes : chokes) = middle;
      if (solved) point = tried;
    }
  }
  return {passes, room_to_spent(point) > 0.0 ? RightLimit::choke : RightLimit::spent, point};
}

RightEndOfLine right_end(const Line& line) {
  const RightEndOfLine choke = choke_end(line);
  if (choke.limit == RightLimit::choke) return choke;
  for (int stride : {kStride, 1}) {
    Place right{choke.flow, room_to_spent(choke.point)};
    for (int i = kScan - stride; i > 0; i -= stride) {
      const double flow = choke.flow * i / kScan;
      const Place here{flow, room_to_spent(line.at(flow))};
      if (here.room > 0.0) {
        const double end = limiting_flow(line, room_to_spent, here, right);
        return {end, RightLimit::spent, line.at(end)};
      }
      right = here;
    }
  }
  base::require_that(false, kWhere,
                     "the line at speed = " + base::number_text(line.speed) +
                         " rad/s nowhere reaches an efficiency of 0.30",
                     "a stage that compresses", "check throat areas, widths and angles");
  return {};
}

/// Steps from the right end to the least flow that counts.
double step_left(const RightEndOfLine& right) {
  return (1.0 - kLeastFlowShare) * right.flow / kScan;
}

/// Both ends of a line whose pressure ratio rises up to its stall, by few points; none where it may
/// fall before.
std::optional<LineEnds> ends_while_rising(const Line& line, const RightEndOfLine& right) {
  constexpr double kHardly = 0.25 * kPressureRatioFall;  // between two points it may fall further
  double highest = right.point.pressure_ratio;
  Place before{right.flow, room_to_stall(right.point)};
  for (int i = kStride; i <= kScan; i += kStride) {
    const double flow = right.flow - i * step_left(right);
    MeanlinePoint point = line.at(flow);
    Place here{flow, room_to_stall(point)};
    const bool stalls = !(here.room > 0.0);
    if (stalls) {
      here.flow = limiting_flow(line, room_to_stall, before, here);
      point = line.at(here.flow);
    }
    if (!(room_to_fall(point, highest, kHardly) > 0.0)) return std::nullopt;
    if (stalls) return LineEnds{here.flow, right.flow, LeftLimit::diffuser_stall, right.limit};
    highest = std::max(highest, point.pressure_ratio);
    before = here;
  }
  return LineEnds{kLeastFlowShare * right.flow, right.flow, LeftLimit::none_found, right.limit};
}

LineEnds find_ends(const Line& line) {
  const RightEndOfLine right = right_end(line);
  MeanlinePoint before = right.point;
  if (!(room_to_stall(before) > 0.0))
    return {right.flow, right.flow, LeftLimit::diffuser_stall, right.limit};
  if (const auto ends = ends_while_rising(line, right)) return *ends;
  double highest = before.pressure_ratio;  // of the points to the right
  for (int i = 1; i <= kScan; ++i) {
    const double flow = right.flow - i * step_left(right);
    const MeanlinePoint here = line.at(flow);
    const auto limit = [&](auto&& room) {
      if (room(here) > 0.0) return 0.0;
      return limiting_flow(line, room, {flow + step_left(right), room(before)}, {flow, room(here)});
    };
    const double stall = limit(room_to_stall);
    const double fall =
        limit([&](const MeanlinePoint& p) { return room_to_fall(p, highest, kPressureRatioFall); });
    if (stall > 0.0 && stall >= fall)
      return {stall, right.flow, LeftLimit::diffuser_stall, right.limit};
    if (fall > 0.0) return {fall, right.flow, LeftLimit::falling_pressure_ratio, right.limit};
    highest = std::max(highest, here.pressure_ratio);
    before = here;
  }
  return {kLeastFlowShare * right.flow, right.flow, LeftLimit::none_found, right.limit};
}

SpeedLine predict_line(const Line& line, int points) {
  const LineEnds ends = find_ends(line);
  base::require_that(ends.left_flow < 0.995 * ends.right_flow, kWhere,
                     "the line at speed = " + base::number_text(line.speed) +
                         " rad/s would surge at " + base::number_text(ends.left_flow) +
                         " kg/s and end at " + base::number_text(ends.right_flow) + " kg/s",
                     "wider", "the diffuser is too wide for the throat areas, or these too small");
  SpeedLine result{line.speed, {}, {}, {}};
  for (int i = 0; i < points; ++i) {
    // Squared from the right: the steep choke side takes most of the points.
    const double share = 1.0 - static_cast<double>(i) / (points - 1);
    const double flow = ends.right_flow - (ends.right_flow - ends.left_flow) * share * share;
    const MeanlinePoint p = line.at(flow);
    result.flow.push_back(flow);
    result.pressure_ratio.push_back(p.pressure_ratio);
    result.efficiency.push_back(p.efficiency);
  }
  return result;
}

}  // namespace

LineEnds predict_line_ends(const Stage& stage, double speed, const ReferenceState& reference) {
  require_meanline_input(stage, speed, reference);
  return find_ends({stage, speed, reference});
}

MapData predict_map(const Stage& stage, const std::vector<double>& speeds, int points_per_line,
                    const ReferenceState& reference) {
  base::require_that(!speeds.empty(), {.where = kWhere,
                                       .field = "speeds",
                                       .rule = "be at least one speed",
                                       .statement = "speeds is empty"});
  base::require(kWhere, "points_per_line", points_per_line, "1", base::between(5.0, 200.0));
  MapData map;
  map.name = "mean-line prediction; left ends are estimates of surge";
  map.reference = reference;
  map.left_end = LeftEnd::estimated;
  map.right_end = RightEnd::choke;
  map.tip_diameter = 2.0 * stage.impeller.exit_radius;
  double before = 0.0;
  for (double speed : speeds) {
    require_meanline_input(stage, speed, reference);
    const std::string value = base::quantity_text(speed, "rad/s");
    base::require_that(speed > before, {.where = kWhere,
                                        .field = "speeds",
                                        .value = value,
                                        .rule = "be in rising order",
                                        .statement = "speeds: " + value + " follows " +
                                                     base::quantity_text(before, "rad/s")});
    before = speed;
    map.lines.push_back(predict_line({stage, speed, reference}, points_per_line));
  }
  return map;
}

std::vector<double> predicted_speeds(double design_speed, int count) {
  base::require("predicted_speeds", "design_speed", design_speed, "rad/s",
                base::above_up_to(0.0, 3e4));
  base::require("predicted_speeds", "count", count, "1", base::between(2.0, 100.0));
  std::vector<double> speeds;
  speeds.reserve(static_cast<std::size_t>(count));
  for (int i = 0; i < count; ++i) speeds.push_back(design_speed * (0.3 + 0.8 * i / (count - 1)));
  return speeds;
}

}  // namespace airchain::compressor
