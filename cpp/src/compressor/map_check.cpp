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

std::string line_text(std::size_t index) { return "speed line " + std::to_string(index + 1); }

void check_sizes(const SpeedLine& line, const std::string& text) {
  const auto mismatch = [&](std::size_t count, const char* what) {
    require_that(count == line.flow.size(), kWhere,
                 text + " has " + std::to_string(line.flow.size()) + " flows but " +
                     std::to_string(count) + " " + what + "; must match",
                 "");
  };
  mismatch(line.pressure_ratio.size(), "pressure ratios");
  mismatch(line.efficiency.size(), "efficiencies");
  require_that(line.flow.size() >= kFewestPoints, kWhere,
               text + " has " + std::to_string(line.flow.size()) + " points", "at least 3");
}

void check_points(const SpeedLine& line, const std::string& text) {
  for (std::size_t i = 0; i < line.flow.size(); ++i) {
    const std::string point = text + ", point " + std::to_string(i + 1) + ": ";
    require(kWhere, point + "flow", line.flow[i], "kg/s", {0.0, 1e3, true, false});
    require(kWhere, point + "pressure_ratio", line.pressure_ratio[i], "1", {1.0, 20.0, true, false},
            "total to total, outlet over inlet, absolute");
    require(
        kWhere, point + "efficiency", line.efficiency[i], "1", base::above_up_to(0.0, 1.0),
        line.efficiency[i] > 1.0 && line.efficiency[i] <= 100.0 ? "a fraction, not per cent" : "");
    for (std::size_t k = 0; k < i; ++k)
      require_that(line.flow[k] != line.flow[i] || line.pressure_ratio[k] != line.pressure_ratio[i],
                   kWhere,
                   text + ": points " + std::to_string(k + 1) + " and " + std::to_string(i + 1) +
                       " have the same flow and pressure ratio",
                   "different points", "remove the duplicate");
  }
}

void check_speeds(const std::vector<SpeedLine>& lines) {
  for (std::size_t i = 0; i < lines.size(); ++i) {
    require(kWhere, line_text(i) + ": speed", lines[i].speed, "rad/s", {0.0, 1e6, true, false});
    if (i == 0) continue;
    const double before = lines[i - 1].speed;
    const std::string pair = line_text(i) + ": speed = " + number_text(lines[i].speed) + " rad/s";
    require_that(lines[i].speed != before, kWhere, pair + " is that of the line before it",
                 "a different speed", "join the two lines or correct one speed");
    require_that(lines[i].speed > before, kWhere, pair,
                 "above that of the line before it (" + number_text(before) + " rad/s)",
                 "sort the lines by rising speed");
  }
}

// From surge to choke: the flow rises; on a vertical line the pressure ratio falls.
bool runs_from_surge(const SpeedLine& line) {
  if (line.flow.front() != line.flow.back()) return line.flow.front() < line.flow.back();
  return line.pressure_ratio.front() > line.pressure_ratio.back();
}

void check_order(const SpeedLine& line, const std::string& text) {
  const double most = *std::max_element(line.flow.begin(), line.flow.end());
  double furthest = line.flow[0];
  for (std::size_t i = 1; i < line.flow.size(); ++i) {
    require_that(line.flow[i] >= furthest - kFlowScatter * most, kWhere,
                 text + ": flow = " + number_text(line.flow[i]) + " kg/s follows " +
                     number_text(furthest) + " kg/s",
                 "in order from surge to choke or from choke to surge",
                 "flow may step back by 0.5 % of the line's largest at most; order the points "
                 "along the line");
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
    require_that(above > below, kWhere,
                 line_text(faster) + " has pressure ratio " + number_text(above) + " at " +
                     number_text(flow) + " kg/s, where the slower " + line_text(faster - 1) +
                     " has " + number_text(below),
                 "above it", "the lines cross; check speeds and swapped rows");
  }
  const auto most = [](const std::vector<double>& v) {
    return *std::max_element(v.begin(), v.end());
  };
  require_that(most(high.pressure_ratio) > most(low.pressure_ratio), kWhere,
               line_text(faster) + " reaches pressure ratio " +
                   number_text(most(high.pressure_ratio)) + ", the slower " +
                   line_text(faster - 1) + " " + number_text(most(low.pressure_ratio)),
               "more than every slower line", "check speeds and swapped rows");
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
    check_sizes(data.lines[i], line_text(i));
    check_points(data.lines[i], line_text(i));
  }
  check_speeds(data.lines);
  MapData result = data;
  for (std::size_t i = 0; i < result.lines.size(); ++i) {
    if (!runs_from_surge(result.lines[i])) reverse(result.lines[i]);
    check_order(result.lines[i], line_text(i));
    make_flow_rise(result.lines[i].flow);
    if (i > 0) check_crossing(result.lines, i);
  }
  return result;
}

}  // namespace airchain::compressor
