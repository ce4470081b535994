#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "airchain/compressor/map.hpp"
#include "airchain/gas/humid_air.hpp"
#include "airchain/gas/mixture.hpp"
#include "compressor/test_map_nasa.hpp"

namespace airchain::compressor {
namespace {

// How far the map is from a reading, at the reading's own recorded speed.
struct Miss {
  double pressure_ratio;  // relative, at equal flow
  double efficiency;      // at equal flow
  double nearest;         // relative, in flow and pressure ratio together, to the speed line
  double nearest_efficiency;
  bool left_of_map;  // then compared with the line's left end
};

Miss miss_of(const CompressorMap& map, const NasaReading& r) {
  // Recorded speeds scatter by 0.1 %; beyond the highest line the reading is brought to it.
  const double speed = std::clamp(r.speed, map.lowest_speed(), map.design_speed());
  const double factor = speed / r.speed;
  const double gamma = map.reference().gamma;
  const double flow = r.flow * factor;
  const double pr =
      pressure_ratio_of_head(isentropic_head(r.pressure_ratio, gamma) * factor * factor, gamma);
  MapPoint point = map.at_flow(speed, flow);
  Miss miss{0.0, 0.0, 1e9, 0.0, flow < map.left_flow(speed)};
  if (miss.left_of_map) point = map.at(speed, 0.0);
  miss.pressure_ratio = point.pressure_ratio / pr - 1.0;
  miss.efficiency = point.efficiency - r.efficiency;
  for (int i = 0; i <= 2000; ++i) {
    const MapPoint p = map.at(speed, i / 2000.0);
    const double distance = std::hypot(p.flow / flow - 1.0, p.pressure_ratio / pr - 1.0);
    if (distance >= miss.nearest) continue;
    miss.nearest = distance;
    miss.nearest_efficiency = p.efficiency - r.efficiency;
  }
  return miss;
}

double most_flow(const std::vector<NasaReading>& line) {
  double most = 0.0;
  for (const NasaReading& r : line) most = std::max(most, r.flow);
  return most;
}

double rms(const std::vector<double>& values) {
  double sum = 0.0;
  for (double v : values) sum += v * v;
  return std::sqrt(sum / static_cast<double>(values.size()));
}

// Below 98 % of the line's largest flow at equal flow; above it, where flow hardly changes along
// the line, by the nearest point of the line. The published flows scatter there by 0.25 %.
TEST(CompressorMap, AgreesWithNasaHeccAtTheMeasuredPoints) {
  const auto map = CompressorMap::from(nasa_map_data());
  double worst_ratio = 0.0;
  double worst_efficiency = 0.0;
  for (int nominal : nasa_nominal_speeds()) {
    const auto line = nasa_line(nominal);
    for (const NasaReading& r : line) {
      const Miss miss = miss_of(map, r);
      SCOPED_TRACE(testing::Message() << nominal << " %, " << r.flow << " kg/s");
      worst_ratio = std::max(worst_ratio, miss.nearest);
      worst_efficiency = std::max(worst_efficiency, std::abs(miss.nearest_efficiency));
      EXPECT_LT(miss.nearest, 0.0025);
      EXPECT_NEAR(miss.nearest_efficiency, 0.0, 0.002);
      if (r.flow >= 0.98 * most_flow(line)) continue;
      worst_ratio = std::max(worst_ratio, std::abs(miss.pressure_ratio));
      worst_efficiency = std::max(worst_efficiency, std::abs(miss.efficiency));
      EXPECT_NEAR(miss.pressure_ratio, 0.0, 0.0025);
      EXPECT_NEAR(miss.efficiency, 0.0, 0.002);
    }
  }
  std::printf("measured points: pressure ratio within %.2f %%, efficiency within %.4f\n",
              100.0 * worst_ratio, worst_efficiency);
}

// Readings left of the map are compared with its left end. Gates: 1.5 % and 0.01 rms below 98 % of
// the line's largest flow. Held here to half of that; the choke side by the nearest point of the
// line.
TEST(CompressorMap, AgreesWithNasaHeccWhereASpeedLineIsLeftOut) {
  for (int nominal : {75, 90, 95, 100}) {
    SCOPED_TRACE(nominal);
    const auto map = CompressorMap::from(nasa_map_data(nominal));
    const auto line = nasa_line(nominal);
    std::vector<double> pressure_ratio, efficiency, choke, choke_efficiency;
    int left = 0;
    for (const NasaReading& r : line) {
      const Miss miss = miss_of(map, r);
      if (r.flow < 0.98 * most_flow(line)) {
        pressure_ratio.push_back(miss.pressure_ratio);
        efficiency.push_back(miss.efficiency);
        left += miss.left_of_map;
      } else {
        choke.push_back(miss.nearest);
        choke_efficiency.push_back(miss.nearest_efficiency);
      }
    }
    std::printf(
        "%3d %% left out: pressure ratio %.2f %% rms, efficiency %.4f rms (%zu points, %d "
        "left of the map); choke side %.2f %%, %.4f (%zu points)\n",
        nominal, 100.0 * rms(pressure_ratio), rms(efficiency), pressure_ratio.size(), left,
        100.0 * rms(choke), rms(choke_efficiency), choke.size());
    EXPECT_LT(rms(pressure_ratio), 0.0075);
    EXPECT_LT(rms(efficiency), 0.005);
    EXPECT_LT(rms(choke), 0.0075);
    EXPECT_LT(rms(choke_efficiency), 0.005);
    EXPECT_LE(left, 2);
  }
}

// The measured fact behind 'head goes as speed squared': from 70 to 105 % speed the work at best
// efficiency over speed squared keeps within 1 % of its mean and the head within 2 %.
TEST(CompressorMap, AgreesWithNasaHeccOnHeadAsSpeedSquared) {
  const auto map = CompressorMap::from(nasa_map_data());
  std::vector<double> work, head;
  for (int i = 0; i <= 7; ++i) {
    const double speed = map.lowest_speed() + (map.design_speed() - map.lowest_speed()) * i / 7.0;
    const MapPoint p = map.peak_efficiency(speed);
    work.push_back(p.work / (speed * speed));
    head.push_back(isentropic_head(p.pressure_ratio, map.reference().gamma) / (speed * speed));
  }
  const auto spread = [](const std::vector<double>& v) {
    const auto [low, high] = std::minmax_element(v.begin(), v.end());
    return *high / *low - 1.0;
  };
  EXPECT_LT(spread(work), 0.02);
  EXPECT_LT(spread(head), 0.04);
}

// Wc = W sqrt(R T/gamma)/p over the same of the reference air, R and gamma those of humid air.
//
// The published figures fit a reference pressure of 14.700 psia, not the 14.696 of the standard
// atmosphere: a constant 2.70e-4 in all 78 readings (scatter 4e-6), of which 14.700/14.696 is
// 2.72e-4. Our inference; the report was not at hand.
double corrected_flow_miss(const NasaReading& r, bool real_gas_gamma) {
  const ReferenceState reference{518.67 / 1.8, 14.7 * kPsi, gas::kDryAir.gas_constant(),
                                 dry_air_gamma(518.67 / 1.8)};
  const double t = r.temperature;
  const double vapour =
      gas::humidity_ratio(r.relative_humidity * gas::saturation_pressure(t), r.pressure);
  const auto air = gas::mixture_of(vapour, 0.0, 0.0, 0.0, gas::FuelThermo<double>{});
  const double gas_constant = air.gas_constant / (1.0 + vapour);
  double gamma_ratio = air.heat_capacity_ratio(t) / reference.gamma;
  if (real_gas_gamma) {
    // gamma of real over that of ideal dry air less 1, per bar: CoolProp 'Air' at 0.8 bar.
    const auto excess = [](double kelvin) {
      const double at[] = {1.5812e-3, 1.4511e-3, 1.3356e-3, 1.2326e-3};  // 270, 280, 290, 300 K
      const int i = std::clamp(static_cast<int>((kelvin - 270.0) / 10.0), 0, 2);
      return at[i] + (at[i + 1] - at[i]) * ((kelvin - 270.0) / 10.0 - i);
    };
    gamma_ratio *= (1.0 + excess(t) * r.pressure / 1e5) /
                   (1.0 + excess(reference.temperature) * reference.pressure / 1e5);
  }
  const double flow =
      r.mass_flow * reference.pressure / r.pressure *
      std::sqrt(gas_constant / reference.gas_constant * t / reference.temperature / gamma_ratio);
  return flow / r.flow - 1.0;
}

// With ideal humid air what is left is the pressure dependence of gamma: the rig was throttled to
// 0.67 to 0.81 bar, and the misses lie between 0.6e-4 and 2.3e-4.
TEST(CorrectedFlow, AgreesWithNasaHeccAsIdealHumidAir) {
  for (const NasaReading& r : nasa_readings())
    EXPECT_NEAR(corrected_flow_miss(r, false), 0.0, 2.4e-4) << r.flow << " kg/s";
}

// The vapour is left ideal, and its share of the excess of gamma out.
TEST(CorrectedFlow, AgreesWithNasaHeccWithRealGasGamma) {
  for (const NasaReading& r : nasa_readings())
    EXPECT_NEAR(corrected_flow_miss(r, true), 0.0, 3e-5) << r.flow << " kg/s";
}

}  // namespace
}  // namespace airchain::compressor
