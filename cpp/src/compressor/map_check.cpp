#include <algorithm>
#include <cmath>
#include <string>

#include "airchain/base/guards.hpp"
#include "airchain/compressor/map_data.hpp"

namespace airchain::compressor {

namespace {

using base::number_text;
using base::require;
using base::require_that;

constexpr const char* kWhere = "CompressorMap";
constexpr std::size_t kFewestPoints = 3;

using Indices = std::vector<base::Index>;

base::Index line_index(std::size_t index) { return {"speed line", static_cast<int>(index + 1)}; }
base::Index point_index(std::size_t index) { return {"point", static_cast<int>(index + 1)}; }
std::string line_text(std::size_t index) { return "speed line " + std::to_string(index + 1); }

void check_sizes(const SpeedLine& line, std::size_t index) {
  const std::string has = line_text(index) + " has " + std::to_string(line.flow.size());
  const auto mismatch = [&](const std::vector<double>& values, const char* field,
                            const char* what) {
    const std::string count = std::to_string(values.size()) + " " + what;
    require_that(values.size() == line.flow.size(), {.where = kWhere,
                                                     .field = field,
                                                     .value = count,
                                                     .rule = "match",
                                                     .indices = {line_index(index)},
                                                     .statement = has + " flows but " + count});
  };
  mismatch(line.pressure_ratio, "pressure_ratio", "pressure ratios");
  mismatch(line.efficiency, "efficiency", "efficiencies");
  require_that(line.flow.size() >= kFewestPoints,
               {.where = kWhere,
                .field = "flow",
                .value = std::to_string(line.flow.size()) + " points",
                .rule = "be at least 3",
                .indices = {line_index(index)},
                .statement = has + " points"});
}

/// The likely slip of an efficiency that no machine has.
std::string efficiency_hint(double share) {
  if (share > 1.0 && share <= 100.0) return "a fraction, not per cent";
  if (share > 0.0 && 100.0 * share <= kMostEfficiency && share < kLeastEfficiency)
    return "did you mean " + number_text(100.0 * share) + "?";
  return "";
}

void check_points(const SpeedLine& line, std::size_t index) {
  for (std::size_t i = 0; i < line.flow.size(); ++i) {
    const Indices place{line_index(index), point_index(i)};
    const double flow = line.flow[i], ratio = line.pressure_ratio[i], share = line.efficiency[i];
    require(kWhere, "flow", flow, "kg/s", {0.0, 1e3, true, false}, "", place);
    require(kWhere, "pressure_ratio", ratio, "1", {1.0, 20.0, true, false},
            "total to total, outlet over inlet, absolute", place);
    require(kWhere, "efficiency", share, "1", base::between(kLeastEfficiency, kMostEfficiency),
            efficiency_hint(share), place);
    for (std::size_t k = 0; k < i; ++k) {
      if (line.flow[k] != flow || line.pressure_ratio[k] != ratio) continue;
      base::refuse({.where = kWhere,
                    .field = "flow",
                    .value = base::quantity_text(flow, "kg/s"),
                    .rule = "be different points",
                    .hint = "remove the duplicate",
                    .indices = {line_index(index), point_index(k)},
                    .statement = line_text(index) + ": points " + std::to_string(k + 1) + " and " +
                                 std::to_string(i + 1) + " have the same flow and pressure ratio"});
    }
  }
}

void check_speeds(const std::vector<SpeedLine>& lines) {
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const double speed = lines[i].speed;
    const Indices place{line_index(i)};
    require(kWhere, "speed", speed, "rad/s", {0.0, 1e6, true, false}, "", place);
    if (i == 0) continue;
    const double before = lines[i - 1].speed;
    const std::string value = base::quantity_text(speed, "rad/s");
    require_that(speed != before, {.where = kWhere,
                                   .field = "speed",
                                   .value = value + " is that of the line before it",
                                   .rule = "be a different speed",
                                   .hint = "join the two lines or correct one speed",
                                   .indices = place});
    require_that(speed > before, {.where = kWhere,
                                  .field = "speed",
                                  .value = value,
                                  .rule = "be above that of the line before it (" +
                                          base::quantity_text(before, "rad/s") + ")",
                                  .hint = "sort the lines by rising speed",
                                  .indices = place});
  }
}

// From surge to choke: the flow rises; on a vertical line the pressure ratio falls.
bool runs_from_surge(const SpeedLine& line) {
  if (line.flow.front() != line.flow.back()) return line.flow.front() < line.flow.back();
  return line.pressure_ratio.front() > line.pressure_ratio.back();
}

void check_order(const SpeedLine& line, std::size_t index) {
  const double most = *std::max_element(line.flow.begin(), line.flow.end());
  double furthest = line.flow[0];
  for (std::size_t i = 1; i < line.flow.size(); ++i) {
    require_that(line.flow[i] >= furthest - kFlowScatter * most,
                 {.where = kWhere,
                  .field = "flow",
                  .value = base::quantity_text(line.flow[i], "kg/s") + " follows " +
                           base::quantity_text(furthest, "kg/s"),
                  .rule = "be in order from surge to choke or from choke to surge",
                  .hint = "flow may step back by 0.5 % of the line's largest at most; order the "
                          "points along the line",
                  .indices = {line_index(index)}});
    furthest = std::max(furthest, line.flow[i]);
  }
}

// Pool-adjacent-violators: the closest non-decreasing flows in the least-squares sense.
void make_flow_rise(std::vector<double>& flow) {
  struct Pool {
    double sum;
    std::size_t count;
    double mean() const { return sum / static_cast<double>(count); }
  };
  std::vector<Pool> pools;
  for (double value : flow) {
    pools.push_back({value, 1});
    while (pools.size() > 1 && pools[pools.size() - 2].mean() > pools.back().mean()) {
      const Pool last = pools.back();
      pools.pop_back();
      pools.back() = {pools.back().sum + last.sum, pools.back().count + last.count};
    }
  }
  std::size_t i = 0;
  for (const Pool& pool : pools)
    for (std::size_t k = 0; k < pool.count; ++k) flow[i++] = pool.mean();
}

/// Pressure ratio at a flow within the line; on a vertical piece any of its values.
double pressure_ratio_at(const SpeedLine& line, double flow) {
  const auto next = std::upper_bound(line.flow.begin(), line.flow.end(), flow);
  const auto j = static_cast<std::size_t>(next - line.flow.begin());
  if (j == 0) return line.pressure_ratio.front();
  if (j == line.flow.size()) return line.pressure_ratio.back();
  const double t = (flow - line.flow[j - 1]) / (line.flow[j] - line.flow[j - 1]);
  return line.pressure_ratio[j - 1] + t * (line.pressure_ratio[j] - line.pressure_ratio[j - 1]);
}

// Faster lines lie above slower ones. The last per cent of flow before either line's end is left
// out: on steep choke sides the scatter of flow says nothing about the pressure ratio.
void check_crossing(const std::vector<SpeedLine>& lines, std::size_t faster) {
  const SpeedLine& high = lines[faster];
  const SpeedLine& low = lines[faster - 1];
  const double end = 0.99 * std::min(high.flow.back(), low.flow.back());
  const double start = std::max(high.flow.front(), low.flow.front());
  std::vector<double> flows = high.flow;
  flows.insert(flows.end(), low.flow.begin(), low.flow.end());
  for (double flow : flows) {
    if (flow < start || flow > end) continue;
    const double above = pressure_ratio_at(high, flow);
    const double below = pressure_ratio_at(low, flow);
    const std::string value = number_text(above);
    require_that(above > below,
                 {.where = kWhere,
                  .field = "pressure_ratio",
                  .value = value,
                  .rule = "be above it",
                  .hint = "the lines cross; check speeds and swapped rows",
                  .indices = {line_index(faster)},
                  .statement = line_text(faster) + " has pressure ratio " + value + " at " +
                               base::quantity_text(flow, "kg/s") + ", where the slower " +
                               line_text(faster - 1) + " has " + number_text(below)});
  }
  const auto most = [](const std::vector<double>& v) {
    return *std::max_element(v.begin(), v.end());
  };
  const std::string value = number_text(most(high.pressure_ratio));
  require_that(
      most(high.pressure_ratio) > most(low.pressure_ratio),
      {.where = kWhere,
       .field = "pressure_ratio",
       .value = value,
       .rule = "be more than every slower line",
       .hint = "check speeds and swapped rows",
       .indices = {line_index(faster)},
       .statement = line_text(faster) + " reaches pressure ratio " + value + ", the slower " +
                    line_text(faster - 1) + " " + number_text(most(low.pressure_ratio))});
}

void reverse(SpeedLine& line) {
  std::reverse(line.flow.begin(), line.flow.end());
  std::reverse(line.pressure_ratio.begin(), line.pressure_ratio.end());
  std::reverse(line.efficiency.begin(), line.efficiency.end());
}

}  // namespace

MapData checked(const MapData& data) {
  base::require_fields(data.reference);
  require(kWhere, "tip_diameter", data.tip_diameter, "m", base::between(0.0, 2.0),
          "0 means not known");
  require(kWhere, "speed_limit", data.speed_limit, "rad/s", base::between(0.0, 1e6),
          "0 means not known");
  require_that(!data.lines.empty(), kWhere, "the map is empty", "at least 2 speed lines");
  require_that(data.lines.size() > 1, kWhere, "the map has 1 speed line", "at least 2",
               "head and efficiency between speeds need two");
  for (std::size_t i = 0; i < data.lines.size(); ++i) {
    check_sizes(data.lines[i], i);
    check_points(data.lines[i], i);
  }
  check_speeds(data.lines);
  MapData result = data;
  for (std::size_t i = 0; i < result.lines.size(); ++i) {
    if (!runs_from_surge(result.lines[i])) reverse(result.lines[i]);
    check_order(result.lines[i], i);
    make_flow_rise(result.lines[i].flow);
    if (i > 0) check_crossing(result.lines, i);
  }
  return result;
}

}  // namespace airchain::compressor
