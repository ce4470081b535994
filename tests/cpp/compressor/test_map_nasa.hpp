#pragma once

#include <array>
#include <cmath>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "airchain/base/constants.hpp"
#include "airchain/compressor/map_data.hpp"

namespace airchain::compressor {

/// One reading of the published map, in SI. Source: tests/published/SOURCES.md.
struct NasaReading {
  double speed_percent, speed;   // corrected; rad/s
  double mass_flow, flow;        // as measured, corrected; kg/s
  double pressure, temperature;  // inlet total; Pa, K
  double outlet_temperature;     // total; K
  double pressure_ratio, efficiency;
  double relative_humidity;  // fraction
};

inline constexpr double kPound = 0.45359237;
inline constexpr double kPsi = 6894.757293168361;

inline std::vector<NasaReading> nasa_readings() {
  const std::string path = AIRCHAIN_PUBLISHED "/nasa_hecc_vaned_map.csv";
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot open " + path);
  std::string text;
  std::getline(file, text);  // column names
  std::vector<NasaReading> readings;
  while (std::getline(file, text)) {
    std::array<double, 13> v{};
    std::istringstream row(text);
    std::string cell;
    for (double& value : v) {
      if (!std::getline(row, cell, ',')) throw std::runtime_error("short row in " + path);
      value = std::stod(cell);
    }
    readings.push_back({v[1], v[2] * base::kRpm, v[3] * kPound, v[4] * kPound, v[5] * kPsi,
                        v[6] / 1.8, v[7] / 1.8, v[8], v[10], v[12] / 100.0});
  }
  return readings;
}

inline const std::vector<int>& nasa_nominal_speeds() {
  static const std::vector<int> speeds{70, 75, 90, 95, 100, 105};
  return speeds;
}

inline std::vector<NasaReading> nasa_line(int nominal) {
  std::vector<NasaReading> line;
  for (const NasaReading& r : nasa_readings())
    if (std::abs(r.speed_percent - nominal) < 1.0) line.push_back(r);
  return line;
}

/// The published map, without the line of one nominal speed (0: with all).
inline MapData nasa_map_data(int without = 0) {
  MapData data;
  data.name = "NASA HECC, vaned diffuser";
  for (int nominal : nasa_nominal_speeds()) {
    if (nominal == without) continue;
    std::vector<double> speed, flow, pressure_ratio, efficiency;
    for (const NasaReading& r : nasa_line(nominal)) {
      speed.push_back(r.speed);
      flow.push_back(r.flow);
      pressure_ratio.push_back(r.pressure_ratio);
      efficiency.push_back(r.efficiency);
    }
    data.lines.push_back(
        speed_line_from_points(speed, flow, pressure_ratio, efficiency, data.reference.gamma));
  }
  return data;
}

}  // namespace airchain::compressor
