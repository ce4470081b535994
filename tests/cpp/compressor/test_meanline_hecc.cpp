#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "airchain/gas/species.hpp"
#include "compressor/test_meanline_machines.hpp"

// The mean-line method against NASA's measured map of the HECC stage [NASA CR-2014-218114, archive
// of its readings: tests/published/nasa_hecc_vaned_map.csv]. Dimensions:
// test_meanline_machines.hpp.
namespace airchain::compressor {
namespace {

struct HeccReading {
  double speed;  // corrected [rad/s]
  double flow;   // corrected [kg/s]
  double pressure_ratio;
  double efficiency;
  double work_coefficient;
};

// Enthalpy of dry air by the NASA polynomials: independent of the mean-line gas.
double enthalpy(double temperature) {
  double sum = 0.0;
  double power = temperature;
  for (int k = 0; k < 5; ++k, power *= temperature) sum += gas::kDryAir.a[k] * power / (k + 1);
  return sum * gas::kDryAir.gas_constant();
}

std::vector<HeccReading> readings(int percent) {
  std::ifstream file(AIRCHAIN_PUBLISHED "/nasa_hecc_vaned_map.csv");
  std::string text;
  std::getline(file, text);
  std::vector<HeccReading> line;
  while (std::getline(file, text)) {
    std::array<double, 13> v{};
    std::istringstream row(text);
    std::string cell;
    for (double& value : v) {
      std::getline(row, cell, ',');
      value = std::stod(cell);
    }
    if (std::abs(v[1] - percent) > 1.0) continue;
    const double speed = v[2] * base::kRpm;
    const double tip_speed = speed * hecc_stage().impeller.exit_radius;
    line.push_back({speed, v[4] * 0.45359237, v[8], v[10],
                    (enthalpy(288.15 * (1.0 + v[9])) - enthalpy(288.15)) / tip_speed / tip_speed});
  }
  return line;
}

HeccReading best(const std::vector<HeccReading>& line) {
  HeccReading best = line.front();
  for (const HeccReading& r : line)
    if (r.efficiency > best.efficiency) best = r;
  return best;
}

double least_flow(const std::vector<HeccReading>& line) {
  double flow = line.front().flow;
  for (const HeccReading& r : line) flow = std::min(flow, r.flow);
  return flow;
}

double most_flow(const std::vector<HeccReading>& line) {
  double flow = 0.0;
  for (const HeccReading& r : line) flow = std::max(flow, r.flow);
  return flow;
}

class HeccLine : public testing::TestWithParam<int> {};

TEST_P(HeccLine, AgreesWithNasaAtPeakEfficiencyFlow) {
  const std::vector<HeccReading> line = readings(GetParam());
  ASSERT_GT(line.size(), 5u);
  const HeccReading measured = best(line);
  const MeanlinePoint p = meanline_point(hecc_stage(), measured.speed, measured.flow);
  ASSERT_EQ(p.status, MeanlineStatus::solved);
  EXPECT_NEAR(p.pressure_ratio / measured.pressure_ratio, 1.0, 0.08);
  EXPECT_NEAR(p.efficiency, measured.efficiency, 0.04);
  EXPECT_NEAR(p.work_coefficient / measured.work_coefficient, 1.0, 0.04);
}

// The vane throat area was deduced from the choke flow at 100 %; the other lines are predictions.
TEST_P(HeccLine, ChokesWhereNasaMeasured) {
  const std::vector<HeccReading> line = readings(GetParam());
  const LineEnds ends = predict_line_ends(hecc_stage(), best(line).speed);
  EXPECT_NEAR(ends.right_flow / most_flow(line), 1.0, 0.035);
  EXPECT_EQ(ends.right_limit, RightLimit::choke);
}

// NASA's leftmost readings are the last points taken; the estimate should fall near them.
TEST_P(HeccLine, EstimatesSurgeNearTheLastReading) {
  const std::vector<HeccReading> line = readings(GetParam());
  const LineEnds ends = predict_line_ends(hecc_stage(), best(line).speed);
  EXPECT_NEAR(ends.left_flow / least_flow(line), 1.0, 0.05);
  EXPECT_EQ(ends.left_limit, LeftLimit::diffuser_stall);
}

// Tells the published recirculation models apart: Oh's sinh form gives more than twice the
// measured rise of work towards surge.
TEST_P(HeccLine, WorkRisesTowardsSurgeAsMeasured) {
  const std::vector<HeccReading> line = readings(GetParam());
  HeccReading left = line.front();
  HeccReading right = line.front();
  const double target = 0.97 * most_flow(line);
  for (const HeccReading& r : line) {
    if (r.flow < left.flow) left = r;
    if (std::abs(r.flow - target) < std::abs(right.flow - target)) right = r;
  }
  const auto predicted = [](const HeccReading& r) {
    return meanline_point(hecc_stage(), r.speed, r.flow).work_coefficient;
  };
  EXPECT_NEAR(predicted(left) - predicted(right), left.work_coefficient - right.work_coefficient,
              0.01);
}

INSTANTIATE_TEST_SUITE_P(PercentSpeed, HeccLine, testing::Values(70, 75, 90, 95, 100));

}  // namespace
}  // namespace airchain::compressor
