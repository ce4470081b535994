#include "airchain/compressor/meanline_map.hpp"

#include <algorithm>
#include <string>

#include "airchain/base/guards.hpp"

namespace airchain::compressor {
namespace {

constexpr const char* kWhere = "predict_map";
constexpr double kSpentEfficiency = 0.30;
constexpr double kPressureRatioFall = 0.02;  // common practice, no source
constexpr double kLeastFlowShare = 0.10;
constexpr int kScan = 32;

/// The flow where `holds` turns from true (at `yes`) to false (at `no`); returned on the true side.
template <class Predicate>
double last_flow_where(Predicate&& holds, double yes, double no) {
  for (int i = 0; i < 30; ++i) {
    const double middle = 0.5 * (yes + no);
    (holds(middle) ? yes : no) = middle;
  }
  return yes;
}

struct Line {
  const Stage& stage;
  double speed;
  const ReferenceState& reference;

  MeanlinePoint at(double flow) const { return solve_meanline(stage, speed, flow, reference); }
  bool passes(double flow) const { return at(flow).status == MeanlineStatus::solved; }
  bool works(double flow) const {
    const MeanlinePoint p = at(flow);
    // Further right the machine would turn as a turbine: both work and head negative.
    return p.status == MeanlineStatus::solved && p.work > 0.0 && p.efficiency > kSpentEfficiency;
  }
};

struct RightEndOfLine {
  double flow;
  RightLimit limit;
};

RightEndOfLine right_end(const Line& line) {
  const double inducer = inducer_choke_flow(line.stage.impeller, line.speed, line.reference);
  const double choke =
      line.passes(inducer)
          ? inducer
          : last_flow_where([&](double m) { return line.passes(m); }, 0.0, inducer);
  if (line.works(choke)) return {choke, RightLimit::choke};
  for (int i = kScan - 1; i > 0; --i) {
    const double flow = choke * i / kScan;
    if (!line.works(flow)) continue;
    const double end =
        last_flow_where([&](double m) { return line.works(m); }, flow, choke * (i + 1) / kScan);
    return {end, RightLimit::spent};
  }
  base::require_that(false, kWhere,
                     "the line at speed = " + base::number_text(line.speed) +
                         " rad/s nowhere reaches an efficiency of 0.30",
                     "a stage that compresses", "check throat areas, widths and angles");
  return {};
}

LineEnds find_ends(const Line& line) {
  const RightEndOfLine right = right_end(line);
  double highest = 1.0;  // of the points to the right
  const auto stands = [&](double flow) { return line.at(flow).stall_ratio < 1.0; };
  const auto keeps_up = [&](double flow) {
    return line.at(flow).pressure_ratio - 1.0 >= (1.0 - kPressureRatioFall) * (highest - 1.0);
  };
  const double step = (1.0 - kLeastFlowShare) * right.flow / kScan;
  for (int i = 0; i <= kScan; ++i) {
    const double flow = right.flow - i * step;
    const double stable = i == 0 ? flow : flow + step;
    const bool stalls = !stands(flow);
    const bool falls = !keeps_up(flow);
    const double stall = stalls ? last_flow_where(stands, stable, flow) : 0.0;
    const double fall = falls ? last_flow_where(keeps_up, stable, flow) : 0.0;
    if (stalls && stall >= fall) return {stall, right.flow, LeftLimit::diffuser_stall, right.limit};
    if (falls) return {fall, right.flow, LeftLimit::falling_pressure_ratio, right.limit};
    highest = std::max(highest, line.at(flow).pressure_ratio);
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
