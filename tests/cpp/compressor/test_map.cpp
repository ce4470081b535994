#include "airchain/compressor/map.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/compressor/map_grid.hpp"
#include "compressor/test_map_nasa.hpp"

namespace airchain::compressor {
namespace {

// Invented numbers: two lines of three points, typed by hand.
MapData small_map() {
  MapData data;
  data.name = "invented, small";
  data.left_end = LeftEnd::surge;
  data.right_end = RightEnd::choke;
  data.tip_diameter = 0.1;
  data.speed_limit = 9000.0;
  data.lines = {{4000.0, {0.20, 0.30, 0.36}, {1.42, 1.40, 1.25}, {0.70, 0.76, 0.60}},
                {8000.0, {0.45, 0.62, 0.70}, {2.90, 2.80, 2.00}, {0.72, 0.77, 0.62}}};
  return data;
}

// Invented: flat tops whose pressure ratio first rises with flow, vertical choke sides, different
// numbers of points.
MapData steep_map() {
  MapData data = small_map();
  data.name = "invented, steep";
  data.lines = {
      {3000.0,
       {0.10, 0.16, 0.22, 0.26, 0.27},
       {1.200, 1.210, 1.205, 1.17, 1.05},
       {0.60, 0.70, 0.74, 0.68, 0.25}},
      {5000.0,
       {0.20, 0.28, 0.36, 0.42, 0.43, 0.43, 0.43},
       {1.62, 1.66, 1.66, 1.60, 1.50, 1.3, 1.1},
       {0.64, 0.71, 0.76, 0.73, 0.64, 0.42, 0.16}},
      {8000.0, {0.50, 0.58, 0.64, 0.6405}, {3.1, 3.12, 2.9, 1.6}, {0.70, 0.75, 0.72, 0.34}}};
  return data;
}

std::vector<MapData> all_maps() { return {small_map(), steep_map(), nasa_map_data()}; }

std::vector<double> speeds_of(const CompressorMap& map) {
  std::vector<double> speeds;
  for (int i = 1; i <= 211; ++i) speeds.push_back(map.design_speed() * i / 211.0);
  return speeds;
}

TEST(CompressorMap, FlowNeverFallsAlongASpeedLine) {
  for (const MapData& data : all_maps()) {
    const auto map = CompressorMap::from(data);
    for (double speed : speeds_of(map)) {
      double before = 0.0;
      for (int i = 0; i <= 997; ++i) {
        const MapPoint p = map.at(speed, i / 997.0);
        ASSERT_GE(p.flow, before * (1.0 - 1e-13)) << data.name << speed << " c " << p.c;
        before = p.flow;
      }
    }
  }
}

// Monotone interpolation along and across the lines does not leave the measured range; for work,
// the quotient of two interpolated numbers, and what follows from it 1 % is allowed.
TEST(CompressorMap, StaysWithinTheMeasuredHeadWorkAndEfficiency) {
  for (const MapData& data : all_maps()) {
    const auto map = CompressorMap::from(data);
    const double gamma = data.reference.gamma;
    double head_most = 0.0, head_least = 1e9, work_most = 0.0, work_least = 1e9, eta_most = 0.0;
    for (const SpeedLine& line : data.lines) {
      for (std::size_t i = 0; i < line.flow.size(); ++i) {
        const double head =
            isentropic_head(line.pressure_ratio[i], gamma) / std::pow(line.speed, 2);
        head_most = std::max(head_most, head);
        head_least = std::min(head_least, head);
        work_most = std::max(work_most, head / line.efficiency[i]);
        work_least = std::min(work_least, head / line.efficiency[i]);
        eta_most = std::max(eta_most, line.efficiency[i]);
      }
    }
    for (double speed : speeds_of(map)) {
      for (int i = 0; i <= 300; ++i) {
        const MapPoint p = map.at(speed, i / 300.0);
        const double head = isentropic_head(p.pressure_ratio, gamma) / (speed * speed);
        const double work = p.work / map.reference_sound_speed_squared() / (speed * speed);
        ASSERT_EQ(p.status, base::Status::matched);
        // The logarithm of pressure ratio is what is interpolated: 1e-4 of play.
        ASSERT_LT(head, head_most * (1.0 + 1e-4));
        ASSERT_GT(head, head_least * (1.0 - 1e-4));
        ASSERT_LT(work, work_most * 1.01);
        ASSERT_GT(work, work_least * 0.99);
        ASSERT_GT(p.efficiency, 0.0);
        ASSERT_LT(p.efficiency, eta_most + 0.01);
      }
    }
  }
}

TEST(CompressorMap, PassesThroughHandTypedPoints) {
  for (const MapData& data : {small_map(), steep_map()}) {
    const auto map = CompressorMap::from(data);
    for (const SpeedLine& line : data.lines) {
      for (std::size_t i = 0; i < line.flow.size(); ++i) {
        double nearest = 1e9;
        double efficiency = 0.0;
        for (int k = 0; k <= 4000; ++k) {
          const MapPoint p = map.at(line.speed, k / 4000.0);
          const double distance = std::hypot(p.flow / line.flow[i] - 1.0,
                                             p.pressure_ratio / line.pressure_ratio[i] - 1.0);
          if (distance < nearest) efficiency = p.efficiency;
          nearest = std::min(nearest, distance);
        }
        EXPECT_LT(nearest, 0.01) << line.speed << " rad/s, point " << i + 1;
        EXPECT_NEAR(efficiency, line.efficiency[i], 0.01);
      }
      EXPECT_NEAR(map.surge_flow(line.speed), line.flow.front(), 1e-9);
      EXPECT_NEAR(map.choke_flow(line.speed), line.flow.back(), 1e-9);
    }
  }
}

TEST(CompressorMap, BelowTheLowestLineFollowsSimilarityAndSaysSo) {
  const auto map = CompressorMap::from(nasa_map_data());
  const double gamma = map.reference().gamma;
  for (double c : {0.0, 0.3, 0.5, 0.9, 1.0}) {
    const MapPoint lowest = map.at(map.lowest_speed(), c);
    EXPECT_FALSE(lowest.flags & static_cast<std::uint32_t>(base::Flag::below_lowest_speed_line));
    for (double part : {0.02, 0.2, 0.5, 0.77, 0.999}) {
      const MapPoint p = map.at(part * map.lowest_speed(), c);
      EXPECT_TRUE(p.flags & static_cast<std::uint32_t>(base::Flag::below_lowest_speed_line));
      EXPECT_NEAR(p.flow, lowest.flow * part, 1e-12 * lowest.flow);
      EXPECT_NEAR(p.work, lowest.work * part * part, 1e-12 * lowest.work);
      const double similar = pressure_ratio_of_head(
          isentropic_head(lowest.pressure_ratio, gamma) * part * part, gamma);
      EXPECT_NEAR(p.pressure_ratio, similar, 1e-5 * similar);
      EXPECT_NEAR(p.efficiency, lowest.efficiency, 1e-3);
    }
  }
  const MapPoint still = map.at(0.0, 0.5);
  EXPECT_EQ(still.pressure_ratio, 1.0);
  EXPECT_EQ(still.flow, 0.0);
  EXPECT_NEAR(still.efficiency, map.at(map.lowest_speed(), 0.5).efficiency, 1e-9);
}

// Between its rows the table repeats the interpolation over speed it was laid by: against one four
// times as dense. What is left comes from the lines, where the monotone cubics bend.
TEST(CompressorMap, GridIsDenseEnough) {
  for (const MapData& data : all_maps()) {
    const MapData fit = checked(data);
    const auto table = [&](int rows) {
      const MapGrid grid = map_grid(fit, rows);
      return numerics::Table<3>(grid.n, grid.c, grid.values, numerics::Slopes::monotone);
    };
    const auto usual = table(kMapRows);
    const auto dense = table(4 * kMapRows);
    double flow = 0.0, pressure_ratio = 0.0, work = 0.0;
    for (int i = 0; i <= 901; ++i) {
      const double n = i / 901.0;
      for (int k = 0; k <= 97; ++k) {
        const auto a = usual.at(n, k / 97.0);
        const auto b = dense.at(n, k / 97.0);
        flow = std::max(flow, std::abs(a[0] / b[0] - 1.0));
        pressure_ratio = std::max(pressure_ratio, std::abs(std::expm1((a[1] - b[1]) * n * n)));
        work = std::max(work, std::abs(a[2] / b[2] - 1.0));
      }
    }
    EXPECT_LT(flow, 1e-4) << data.name;
    EXPECT_LT(pressure_ratio, 1e-4) << data.name;
    EXPECT_LT(work, 1e-4) << data.name;
  }
}

TEST(CompressorMap, FindsThePlaceOfAFlow) {
  for (const MapData& data : all_maps()) {
    const auto map = CompressorMap::from(data);
    for (double part : {0.3, 0.8, 0.95, 1.0}) {
      const double speed = part * map.design_speed();
      for (int i = 0; i <= 20; ++i) {
        const MapPoint p = map.at(speed, i / 20.0);
        const MapPoint found = map.at_flow(speed, p.flow);
        ASSERT_EQ(found.status, base::Status::matched);
        EXPECT_NEAR(found.flow, p.flow, 1e-12 * p.flow);
        EXPECT_LE(found.c, p.c + 1e-12);
        if (p.flow < 0.98 * map.right_flow(speed)) {
          EXPECT_NEAR(found.pressure_ratio, p.pressure_ratio, 1e-9);
        }
      }
    }
  }
}

TEST(CompressorMap, SaysWhyAPointHasNoNumbers) {
  MapData data = small_map();
  const auto map = CompressorMap::from(data);
  EXPECT_EQ(map.at_flow(8000.0, 0.44).status, base::Status::left_of_surge_line);
  EXPECT_EQ(map.at_flow(8000.0, 0.71).status, base::Status::beyond_choke);
  EXPECT_EQ(map.at_flow(8001.0, 0.60).status, base::Status::outside_map);
  EXPECT_EQ(map.at_flow(std::nan(""), 0.60).status, base::Status::outside_map);
  EXPECT_EQ(map.at_flow(8000.0, std::nan("")).status, base::Status::outside_map);
  EXPECT_TRUE(std::isnan(map.at_flow(8000.0, 0.44).pressure_ratio));
  EXPECT_TRUE(std::isnan(map.surge_flow(8001.0)));
  EXPECT_EQ(map.at_flow(8000.0, 0.6).flags, 0u);
  // The rounding of a unit conversion does not throw a point off the map.
  const MapPoint edge = map.at_flow(8000.0 * (1.0 + 1e-12), 0.70 * (1.0 + 1e-12));
  EXPECT_EQ(edge.status, base::Status::matched);
  EXPECT_NEAR(edge.pressure_ratio, 2.0, 1e-9);
  EXPECT_EQ(map.at_flow(4000.0 * (1.0 - 1e-12), 0.3).flags, 0u);

  data.left_end = LeftEnd::estimated;
  const auto predicted = CompressorMap::from(data);
  EXPECT_EQ(predicted.at_flow(8000.0, 0.44).status, base::Status::left_of_estimated_surge_line);
  EXPECT_EQ(predicted.at_flow(8000.0, 0.6).flags,
            static_cast<std::uint32_t>(base::Flag::surge_estimated));
  EXPECT_EQ(predicted.surge_flow(8000.0), map.surge_flow(8000.0));

  data.left_end = LeftEnd::last_point;
  data.right_end = RightEnd::last_point;
  const auto open = CompressorMap::from(data);
  EXPECT_EQ(open.at_flow(8000.0, 0.44).status, base::Status::left_of_map);
  EXPECT_TRUE(std::isnan(open.surge_flow(8000.0)));
  EXPECT_TRUE(std::isnan(open.choke_flow(8000.0)));
  EXPECT_NEAR(open.left_flow(8000.0), 0.45, 1e-12);
  EXPECT_EQ(open.at_flow(8000.0, 0.6).flags,
            static_cast<std::uint32_t>(base::Flag::surge_not_known) |
                static_cast<std::uint32_t>(base::Flag::choke_not_known));
}

TEST(CompressorMap, TakesLinesFromChokeToSurgeAsWell) {
  MapData reversed = steep_map();
  for (SpeedLine& line : reversed.lines)
    for (auto* column : {&line.flow, &line.pressure_ratio, &line.efficiency})
      *column = {column->rbegin(), column->rend()};
  const auto a = CompressorMap::from(steep_map());
  const auto b = CompressorMap::from(reversed);
  for (double c : {0.0, 0.21, 0.5, 1.0}) {
    EXPECT_EQ(a.at(6000.0, c).flow, b.at(6000.0, c).flow);
    EXPECT_EQ(a.at(6000.0, c).efficiency, b.at(6000.0, c).efficiency);
  }
}

TEST(CompressorMap, SmoothsTheScatterOfVerticalChokeSides) {
  MapData data = steep_map();
  data.lines[1].flow = {0.20, 0.28, 0.36, 0.42, 0.4308, 0.4290, 0.4302};
  const MapData fit = checked(data);
  const auto& flow = fit.lines[1].flow;
  for (std::size_t i = 1; i < flow.size(); ++i) EXPECT_GE(flow[i], flow[i - 1]);
  for (std::size_t i = 0; i < flow.size(); ++i) EXPECT_NEAR(flow[i], data.lines[1].flow[i], 0.0012);
  EXPECT_EQ(flow[3], 0.42);
}

// Similarity: at equal tip speed equal pressure ratio and efficiency, flow as diameter squared.
TEST(CompressorMap, ScalesBySimilarity) {
  const MapData data = small_map();
  const MapData twice = scaled(data, 2.0);
  EXPECT_DOUBLE_EQ(twice.tip_diameter * twice.lines[1].speed,
                   data.tip_diameter * data.lines[1].speed);
  EXPECT_DOUBLE_EQ(twice.speed_limit, 4500.0);
  const auto a = CompressorMap::from(data);
  const auto b = CompressorMap::from(twice);
  for (double c : {0.0, 0.4, 1.0}) {
    const MapPoint p = a.at(6300.0, c);
    const MapPoint q = b.at(3150.0, c);
    EXPECT_NEAR(q.flow, 4.0 * p.flow, 1e-12);
    EXPECT_NEAR(q.pressure_ratio, p.pressure_ratio, 1e-12);
    EXPECT_NEAR(q.efficiency, p.efficiency, 1e-12);
    EXPECT_NEAR(q.work, p.work, 1e-7);
  }
  const auto trimmed = CompressorMap::from(scaled(data, 1.0, 0.9));
  EXPECT_NEAR(trimmed.at(6300.0, 0.4).flow, 0.9 * a.at(6300.0, 0.4).flow, 1e-12);
  EXPECT_NEAR(trimmed.at(6300.0, 0.4).work, a.at(6300.0, 0.4).work, 1e-7);
}

// Mass times work times efficiency is the isentropic power: the three columns belong together.
TEST(CompressorMap, WorkTimesEfficiencyIsTheIsentropicHead) {
  const auto map = CompressorMap::from(steep_map());
  const double g = map.reference().gamma;
  const double cp = g / (g - 1.0) * map.reference().gas_constant;
  for (double speed : {2000.0, 5000.0, 7000.0}) {
    const MapPoint p = map.at(speed, 0.4);
    const double ideal =
        cp * map.reference().temperature * (std::pow(p.pressure_ratio, (g - 1.0) / g) - 1.0);
    EXPECT_NEAR(p.work * p.efficiency, ideal, 1e-9 * ideal);
  }
}

TEST(CompressorMap, PeakEfficiencyIsNoLessThanAnyOtherPoint) {
  for (const MapData& data : all_maps()) {
    const auto map = CompressorMap::from(data);
    for (double part : {0.5, 0.83, 1.0}) {
      const double speed = part * map.design_speed();
      const MapPoint best = map.peak_efficiency(speed);
      ASSERT_EQ(best.status, base::Status::matched);
      for (int i = 0; i <= 5000; ++i)
        ASSERT_LE(map.at(speed, i / 5000.0).efficiency, best.efficiency + 1e-12);
    }
    EXPECT_EQ(map.peak_efficiency(1.01 * map.design_speed()).status, base::Status::outside_map);
  }
}

TEST(CompressorMap, GridCoversTheMeasuredLines) {
  const auto map = CompressorMap::from(small_map());
  const MapPoints grid = map.grid(5, 7);
  ASSERT_EQ(grid.points.size(), 35u);
  EXPECT_EQ(grid.points.front().speed, map.lowest_speed());
  EXPECT_EQ(grid.points.back().speed, map.design_speed());
  EXPECT_EQ(grid.points[6].c, 1.0);
  for (const MapPoint& p : grid.points) EXPECT_EQ(p.status, base::Status::matched);
}

// Points of one invented line, taken out of order at speeds that scatter, come back to the line.
TEST(CompressorMap, BringsRecordedPointsToTheMeanSpeed) {
  const SpeedLine line{5000.0,
                       {0.20, 0.28, 0.36, 0.42, 0.43, 0.43},
                       {1.64, 1.66, 1.66, 1.60, 1.50, 1.30},
                       {0.64, 0.71, 0.76, 0.73, 0.64, 0.42}};
  const double scatter[] = {1.01, 0.995, 1.0, 1.005, 0.99, 1.0};
  std::vector<double> speed, flow, pressure_ratio, efficiency;
  for (std::size_t i : {4u, 0u, 2u, 5u, 1u, 3u}) {
    const double r = scatter[i];
    speed.push_back(r * line.speed);
    flow.push_back(r * line.flow[i]);
    // Head as speed squared, written out for gamma = 1.4.
    const double head = std::pow(line.pressure_ratio[i], 1.0 / 3.5) - 1.0;
    pressure_ratio.push_back(std::pow(1.0 + r * r * head, 3.5));
    efficiency.push_back(line.efficiency[i]);
  }
  const SpeedLine back = speed_line_from_points(speed, flow, pressure_ratio, efficiency, 1.4);
  EXPECT_NEAR(back.speed, line.speed, 1e-9);
  for (std::size_t i = 0; i < line.flow.size(); ++i) {
    EXPECT_NEAR(back.flow[i], line.flow[i], 1e-12);
    EXPECT_NEAR(back.pressure_ratio[i], line.pressure_ratio[i], 1e-12);
    EXPECT_EQ(back.efficiency[i], line.efficiency[i]);
  }
}

// [CoolProp 8.0.0] PropsSI('H','S',PropsSI('S','T',T,'P',101325,'Air'),'P',r*101325,'Air') minus
// PropsSI('H','T',T,'P',101325,'Air'): real air, within what map.hpp states. A gas of variable heat
// capacity is no nearer: what real air and its rising heat capacity add have opposite signs.
TEST(IsentropicHead, AgreesWithCoolPropAir) {
  const double rows[][3] = {
      {270.0, 1.2, 14497.0},   {270.0, 2.0, 59392.2},   {270.0, 3.0, 100012.2},
      {270.0, 4.0, 131827.9},  {288.15, 1.2, 15474.6},  {288.15, 2.0, 63391.9},
      {288.15, 3.0, 106736.0}, {288.15, 4.0, 140676.0}, {310.0, 1.2, 16650.8},
      {310.0, 2.0, 68201.3},   {310.0, 3.0, 114816.0},  {310.0, 4.0, 151302.7}};
  for (const auto& [temperature, ratio, expected] : rows) {
    const double gamma = dry_air_gamma(temperature);
    const double per = gamma * gas::kDryAir.gas_constant() * temperature;
    EXPECT_NEAR(isentropic_head(ratio, gamma) * per, expected, 6e-4 * expected)
        << temperature << ' ' << ratio;
  }
}

TEST(ReferenceState, DefaultIsDryAirAtSeaLevel) {
  // US Standard Atmosphere 1976: 8314.32/28.9644 = 287.053 J/(kg K). Ours has the molar gas
  // constant of 2019 (8314.463) and 0.04 % carbon dioxide (0.03 % then), together 0.016 less.
  EXPECT_NEAR(ReferenceState{}.gas_constant, 287.053, 0.02);
  // CoolProp 'Air' at 288.15 K and 1 Pa: 1.40024.
  EXPECT_NEAR(ReferenceState{}.gamma, 1.40024, 2e-4);
}

}  // namespace
}  // namespace airchain::compressor
