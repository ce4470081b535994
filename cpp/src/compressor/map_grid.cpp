#include "airchain/compressor/map_grid.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "airchain/numerics/curve.hpp"

namespace airchain::compressor {

namespace {

using numerics::Curve;
using Triple = std::array<double, 3>;

constexpr double kKneeLevel = 0.95;  // of the line's best efficiency
constexpr double kLeastFall = 0.02;  // of efficiency, for a line to have a knee at all
// Of a line's flow range, in one step along c. Keeps flow rising along vertical choke sides, so
// that rounding between rows cannot turn it and a solver finds a slope; moves flow by less than 0.1
// %.
constexpr double kLeastShare = 2e-4;
constexpr int kRowsBelow = 12;  // of the extension by similarity
constexpr int kSamples = 400;   // along a line, to find its best efficiency and its knee

/// One speed line over its own arc length.
struct LineShape {
  double n;
  double length;
  Curve phi, psi, efficiency;
  double best_place = 0.0;  // arc length of the best efficiency
  double best = 0.0;        // efficiency

  double end_level() const { return efficiency.at(length) / best; }
  double knee(double level) const;
};

// Arc length right of the best efficiency where efficiency falls to `level` of the best.
double LineShape::knee(double level) const {
  double s_before = best_place;
  double e_before = 1.0;
  for (int i = 1; i <= kSamples; ++i) {
    const double s = best_place + (length - best_place) * i / kSamples;
    const double e = efficiency.at(s) / best;
    if (e <= level) return s_before + (s - s_before) * (e_before - level) / (e_before - e);
    s_before = s;
    e_before = e;
  }
  return length;
}

LineShape shape_of(const SpeedLine& line, double design_speed, double gamma) {
  const double n = line.speed / design_speed;
  std::vector<double> phi, psi;
  for (std::size_t i = 0; i < line.flow.size(); ++i) {
    phi.push_back(line.flow[i] / n);
    psi.push_back(isentropic_head(line.pressure_ratio[i], gamma) / (n * n));
  }
  const double most_phi = *std::max_element(phi.begin(), phi.end());
  const double most_psi = *std::max_element(psi.begin(), psi.end());
  std::vector<double> s{0.0};
  for (std::size_t i = 1; i < phi.size(); ++i) {
    const double step =
        std::hypot((phi[i] - phi[i - 1]) / most_phi, (psi[i] - psi[i - 1]) / most_psi);
    // Smoothing the flows can bring two points together; a hair keeps them apart.
    s.push_back(s.back() + std::max(step, 1e-6));
  }
  const auto curve = [&](const std::vector<double>& y) {
    return Curve(s, y, "CompressorMap", "place along the speed line", "value");
  };
  LineShape shape{n, s.back(), curve(phi), curve(psi), curve(line.efficiency)};
  for (int i = 0; i <= kSamples; ++i) {
    const double place = shape.length * i / kSamples;
    if (shape.efficiency.at(place) <= shape.best) continue;
    shape.best = shape.efficiency.at(place);
    shape.best_place = place;
  }
  return shape;
}

// Fraction of every line's length at which its knee stands; none where a line has no knee.
std::optional<std::vector<double>> knees_of(const std::vector<LineShape>& shapes) {
  double shallowest = 0.0;
  for (const LineShape& shape : shapes) shallowest = std::max(shallowest, shape.end_level());
  if (shallowest > 1.0 - kLeastFall) return std::nullopt;
  const double level = std::max(kKneeLevel, 0.5 * (1.0 + shallowest));
  std::vector<double> knees;
  knees.reserve(shapes.size());
  for (const LineShape& shape : shapes)
    knees.push_back(std::clamp(shape.knee(level) / shape.length, 0.05, 0.95));
  return knees;
}

// phi, psi and w of every line at every column: [line][column].
std::vector<std::vector<Triple>> aligned(const std::vector<LineShape>& shapes,
                                         const std::vector<double>& columns) {
  const auto knees = knees_of(shapes);
  double common = 0.0;
  if (knees)
    for (double knee : *knees) common += knee / static_cast<double>(knees->size());
  std::vector<std::vector<Triple>> result(shapes.size());
  for (std::size_t i = 0; i < shapes.size(); ++i) {
    const LineShape& shape = shapes[i];
    const Curve stretch =
        knees ? Curve({0.0, common, 1.0}, {0.0, (*knees)[i], 1.0}, "CompressorMap", "c", "place")
              : Curve({0.0, 1.0}, {0.0, 1.0}, "CompressorMap", "c", "place");
    for (double c : columns) {
      const double s = stretch.at(c) * shape.length;
      result[i].push_back(
          {shape.phi.at(s), shape.psi.at(s), shape.psi.at(s) / shape.efficiency.at(s)});
    }
  }
  return result;
}

std::vector<double> rows_of(const std::vector<LineShape>& shapes, int rows) {
  const double lowest = shapes.front().n;
  std::vector<double> n;
  n.reserve(kRowsBelow);
  for (int i = 0; i < kRowsBelow; ++i) n.push_back(lowest * i / kRowsBelow);
  // The fields have a bend at the lowest line; rows close by on either side keep it sharp.
  const double close = 1e-5 * (shapes[1].n - lowest);
  n.insert(n.end(), {lowest - close, lowest, lowest + close});
  const double spacing = (1.0 - lowest) / rows;
  for (std::size_t i = 0; i + 1 < shapes.size(); ++i) {
    const double gap = shapes[i + 1].n - shapes[i].n;
    const int steps = std::max(4, static_cast<int>(std::ceil(gap / spacing)));
    for (int k = 1; k < steps; ++k) n.push_back(shapes[i].n + gap * k / steps);
    n.push_back(shapes[i + 1].n);
  }
  return n;
}

double log_pressure_ratio_over_n2(double psi, double n, double gamma) {
  if (n == 0.0) return gamma * psi;
  return gamma / (gamma - 1.0) * std::log1p((gamma - 1.0) * psi * n * n) / (n * n);
}

// One column over speed, at every row. A curve keeps its end value below its first point: that is
// the similarity below the lowest line.
template <class Value>
std::vector<double> over_speed(const MapGrid& grid, const std::vector<double>& line_n,
                               Value&& value_of_line) {
  std::vector<double> y;
  for (std::size_t i = 0; i < line_n.size(); ++i) y.push_back(value_of_line(i));
  const Curve curve(line_n, y, "CompressorMap", "corrected speed", "value");
  std::vector<double> result;
  for (double n : grid.n) result.push_back(curve.at(n));
  return result;
}

// Flow: both ends of the lines over speed, and between them the share of the range that every
// step along c takes. Shares stay positive, so the flow rises along c also between lines; columns
// of flow each on its own would not see to that.
void lay_flow(MapGrid& grid, const std::vector<std::vector<Triple>>& lines,
              const std::vector<double>& line_n) {
  const std::size_t columns = grid.c.size();
  const auto left = over_speed(grid, line_n, [&](std::size_t i) { return lines[i].front()[0]; });
  const auto right = over_speed(grid, line_n, [&](std::size_t i) { return lines[i].back()[0]; });
  std::vector<double> sum(grid.n.size(), 0.0);
  std::vector<std::vector<double>> shares(columns, sum);
  for (std::size_t ic = 1; ic < columns; ++ic) {
    const auto step = over_speed(grid, line_n, [&](std::size_t i) {
      const double range = lines[i].back()[0] - lines[i].front()[0];
      const double share = range > 0.0 ? (lines[i][ic][0] - lines[i][ic - 1][0]) / range : 0.0;
      return std::max(share, kLeastShare);
    });
    for (std::size_t in = 0; in < sum.size(); ++in) shares[ic][in] = sum[in] += step[in];
  }
  for (std::size_t in = 0; in < grid.n.size(); ++in)
    for (std::size_t ic = 0; ic < columns; ++ic)
      grid.values[in * columns + ic][0] =
          left[in] + std::max(right[in] - left[in], 0.0) * shares[ic][in] / sum[in];
}

void lay_head_and_work(MapGrid& grid, const std::vector<std::vector<Triple>>& lines,
                       const std::vector<double>& line_n, double gamma) {
  const std::size_t columns = grid.c.size();
  for (std::size_t ic = 0; ic < columns; ++ic) {
    const auto psi = over_speed(grid, line_n, [&](std::size_t i) { return lines[i][ic][1]; });
    const auto w = over_speed(grid, line_n, [&](std::size_t i) { return lines[i][ic][2]; });
    for (std::size_t in = 0; in < grid.n.size(); ++in) {
      Triple& value = grid.values[in * columns + ic];
      value[1] = log_pressure_ratio_over_n2(psi[in], grid.n[in], gamma);
      value[2] = w[in];
    }
  }
}

}  // namespace

MapGrid map_grid(const MapData& data, int rows) {
  const double gamma = data.reference.gamma;
  std::vector<LineShape> shapes;
  shapes.reserve(data.lines.size());
  for (const SpeedLine& line : data.lines)
    shapes.push_back(shape_of(line, data.lines.back().speed, gamma));
  MapGrid grid;
  for (int i = 0; i < kMapColumns; ++i) grid.c.push_back(double(i) / (kMapColumns - 1));
  grid.n = rows_of(shapes, rows);
  grid.lowest_line = shapes.front().n;
  const auto lines = aligned(shapes, grid.c);
  std::vector<double> line_n;
  line_n.reserve(shapes.size());
  for (const LineShape& shape : shapes) line_n.push_back(shape.n);

  grid.values.resize(grid.n.size() * grid.c.size());
  lay_flow(grid, lines, line_n);
  lay_head_and_work(grid, lines, line_n, gamma);
  return grid;
}

}  // namespace airchain::compressor
