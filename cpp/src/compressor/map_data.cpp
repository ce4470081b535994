#include "airchain/compressor/map_data.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "airchain/base/guards.hpp"

namespace airchain::compressor {

double isentropic_head(double pressure_ratio, double gamma) {
  return std::expm1((gamma - 1.0) / gamma * std::log(pressure_ratio)) / (gamma - 1.0);
}

double pressure_ratio_of_head(double head, double gamma) {
  return std::exp(gamma / (gamma - 1.0) * std::log1p((gamma - 1.0) * head));
}

SpeedLine ordered_from_surge(const SpeedLine& line, double gamma) {
  const std::size_t n = line.flow.size();
  if (n == 0 || line.pressure_ratio.size() != n || line.efficiency.size() != n) return line;
  for (std::size_t i = 0; i < n; ++i)
    if (!std::isfinite(line.flow[i]) || !(line.pressure_ratio[i] > 0.0)) return line;
  const double most_flow = *std::max_element(line.flow.begin(), line.flow.end());
  const double most_head = isentropic_head(
      *std::max_element(line.pressure_ratio.begin(), line.pressure_ratio.end()), gamma);
  std::vector<double> place(n);
  for (std::size_t i = 0; i < n; ++i)
    place[i] =
        line.flow[i] / most_flow - isentropic_head(line.pressure_ratio[i], gamma) / most_head;
  std::vector<std::size_t> order(n);
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return place[a] < place[b]; });
  SpeedLine sorted{line.speed, {}, {}, {}};
  for (std::size_t i : order) {
    sorted.flow.push_back(line.flow[i]);
    sorted.pressure_ratio.push_back(line.pressure_ratio[i]);
    sorted.efficiency.push_back(line.efficiency[i]);
  }
  return sorted;
}

SpeedLine speed_line_from_points(const std::vector<double>& speed, const std::vector<double>& flow,
                                 const std::vector<double>& pressure_ratio,
                                 const std::vector<double>& efficiency, double gamma) {
  constexpr auto kWhere = "speed_line_from_points";
  const std::size_t n = speed.size();
  base::require_that(n > 0, kWhere, "there are 0 points", "at least 3");
  base::require_that(flow.size() == n && pressure_ratio.size() == n && efficiency.size() == n,
                     kWhere,
                     std::to_string(n) + " speeds, " + std::to_string(flow.size()) + " flows, " +
                         std::to_string(pressure_ratio.size()) + " pressure ratios, " +
                         std::to_string(efficiency.size()) + " efficiencies",
                     "equally many");
  base::require(kWhere, "gamma", gamma, "1", base::between(1.05, 1.7));
  double mean = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const std::vector<base::Index> point{{"point", static_cast<int>(i + 1)}};
    base::require(kWhere, "speed", speed[i], "rad/s", {0.0, 1e6, true, false}, "", point);
    base::require(kWhere, "flow", flow[i], "kg/s", {0.0, 1e3, true, false}, "", point);
    base::require(kWhere, "pressure_ratio", pressure_ratio[i], "1", {1.0, 100.0, true, false}, "",
                  point);
    mean += speed[i] / static_cast<double>(n);
  }
  SpeedLine line{mean, flow, pressure_ratio, efficiency};
  for (std::size_t i = 0; i < n; ++i) {
    const double factor = mean / speed[i];
    line.flow[i] *= factor;
    const double head = isentropic_head(pressure_ratio[i], gamma) * factor * factor;
    line.pressure_ratio[i] = pressure_ratio_of_head(head, gamma);
  }
  return ordered_from_surge(line, gamma);
}

MapData scaled(const MapData& data, double diameter_ratio, double flow_scale) {
  base::require("scaled", "diameter_ratio", diameter_ratio, "1", base::between(0.05, 20.0));
  base::require("scaled", "flow_scale", flow_scale, "1", base::between(0.5, 2.0));
  MapData result = data;
  const double flow_factor = diameter_ratio * diameter_ratio * flow_scale;
  for (SpeedLine& line : result.lines) {
    line.speed /= diameter_ratio;
    for (double& flow : line.flow) flow *= flow_factor;
  }
  result.tip_diameter *= diameter_ratio;
  result.speed_limit /= diameter_ratio;
  return result;
}

}  // namespace airchain::compressor
