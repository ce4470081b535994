#include "airchain/compressor/map.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/base/guards.hpp"
#include "airchain/compressor/map_grid.hpp"

namespace airchain::compressor {

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

// Unit conversions may carry a typed speed or flow this far (relative) over the map's edge.
constexpr double kRounding = 1e-9;

constexpr std::uint32_t bit(base::Flag flag) { return static_cast<std::uint32_t>(flag); }

}  // namespace

CompressorMap CompressorMap::from(const MapData& data) {
  MapData fit = checked(data);
  MapGrid grid = map_grid(fit);
  Table table(std::move(grid.n), std::move(grid.c), std::move(grid.values),
              numerics::Slopes::monotone, "CompressorMap", "relative corrected speed",
              "place along the speed line");
  return CompressorMap(std::make_shared<const Parts>(Parts{data, std::move(table)}));
}

double CompressorMap::highest_efficiency() const {
  double most = 0.0;
  for (const SpeedLine& line : data().lines)
    most = std::max(most, *std::max_element(line.efficiency.begin(), line.efficiency.end()));
  return most;
}

double CompressorMap::reference_sound_speed_squared() const {
  return reference().gamma * reference().gas_constant * reference().temperature;
}

bool CompressorMap::holds(double speed) const {
  return speed >= 0.0 && speed <= design_speed() * (1.0 + kRounding);
}

std::uint32_t CompressorMap::flags_at(double speed) const {
  std::uint32_t flags = 0;
  if (speed < lowest_speed() * (1.0 - kRounding)) flags |= bit(base::Flag::below_lowest_speed_line);
  flags |= bit(left_flag(data().left_end));
  if (data().right_end == RightEnd::last_point) flags |= bit(base::Flag::choke_not_known);
  return flags;
}

MapPoint CompressorMap::at(double speed, double c) const {
  MapPoint point;
  point.flags = flags_at(speed);
  if (!holds(speed) || std::isnan(c)) return point;
  if (c < 0.0 || c > 1.0) {
    point.status = c > 1.0 ? base::Status::beyond_choke : left_status(data().left_end);
    return point;
  }
  const double n = speed / design_speed();
  const double gamma = reference().gamma;
  const auto value = table().at(n, c);
  const double log_pr = value[log_ratio] * n * n;
  point.speed = speed;
  point.c = c;
  point.flow = value[phi] * n;
  point.pressure_ratio = std::exp(log_pr);
  point.work = value[work] * n * n * reference_sound_speed_squared();
  // Head over work; both go as n^2, so at standstill their limit.
  const double head =
      n > 0.0 ? isentropic_head(point.pressure_ratio, gamma) / (n * n) : value[log_ratio] / gamma;
  point.efficiency = head / value[work];
  point.status = base::Status::matched;
  return point;
}

MapPoint CompressorMap::at_flow(double speed, double flow) const {
  if (!holds(speed) || std::isnan(flow)) return at(speed, kNaN);
  if (flow < left_flow(speed) * (1.0 - kRounding)) return at(speed, -1.0);
  if (flow > right_flow(speed) * (1.0 + kRounding)) return at(speed, 2.0);
  const double n = speed / design_speed();
  auto line = table().line(n);
  // Halving finds the smallest c with that flow also where the flow stands still along c.
  double low = 0.0;
  double high = 1.0;
  for (int i = 0; i < 54; ++i) {
    const double middle = 0.5 * (low + high);
    (line.at(middle)[phi] * n < flow ? low : high) = middle;
  }
  return at(speed, high);
}

MapPoint CompressorMap::peak_efficiency(double speed) const {
  MapPoint best = at(speed, 0.0);
  constexpr int kSteps = 200;
  for (int i = 1; i <= kSteps; ++i) {
    const MapPoint point = at(speed, double(i) / kSteps);
    if (point.efficiency > best.efficiency) best = point;
  }
  double step = 1.0 / kSteps;
  while (step > 1e-9) {  // climb with ever smaller steps: efficiency has one top this close
    step *= 0.5;
    for (double c : {best.c - step, best.c + step}) {
      const MapPoint point = at(speed, c);
      if (point.efficiency > best.efficiency) best = point;
    }
  }
  return best;
}

double CompressorMap::left_flow(double speed) const { return at(speed, 0.0).flow; }
double CompressorMap::right_flow(double speed) const { return at(speed, 1.0).flow; }

double CompressorMap::surge_flow(double speed) const {
  return data().left_end == LeftEnd::last_point ? kNaN : left_flow(speed);
}

double CompressorMap::choke_flow(double speed) const {
  return data().right_end == RightEnd::choke ? right_flow(speed) : kNaN;
}

MapPoints CompressorMap::grid(int speeds, int places) const {
  base::require("CompressorMap::grid", "speeds", speeds, "1", base::between(2.0, 10000.0));
  base::require("CompressorMap::grid", "places", places, "1", base::between(2.0, 10000.0));
  MapPoints result{static_cast<std::size_t>(speeds), static_cast<std::size_t>(places), {}};
  for (int i = 0; i < speeds; ++i) {
    const double t = double(i) / (speeds - 1);
    const double speed = (1.0 - t) * lowest_speed() + t * design_speed();
    for (int k = 0; k < places; ++k) result.points.push_back(at(speed, double(k) / (places - 1)));
  }
  return result;
}

}  // namespace airchain::compressor
