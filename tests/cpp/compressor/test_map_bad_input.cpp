#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>

#include "airchain/base/input_error.hpp"
#include "airchain/compressor/map.hpp"

namespace airchain::compressor {
namespace {

MapData good_map() {  // invented
  MapData data;
  data.lines = {{4000.0, {0.20, 0.30, 0.36}, {1.42, 1.40, 1.25}, {0.70, 0.76, 0.60}},
                {8000.0, {0.33, 0.62, 0.70}, {2.90, 2.80, 2.00}, {0.72, 0.77, 0.62}}};
  return data;
}

struct Case {
  const char* name;
  std::function<void(MapData&)> spoil;
  const char* message;
};

const double kNaN = std::nan("");

const Case kCases[] = {
    {"EmptyMap", [](MapData& d) { d.lines.clear(); },
     "CompressorMap: the map is empty; must be at least 2 speed lines"},
    {"OneLine", [](MapData& d) { d.lines.pop_back(); },
     "CompressorMap: the map has 1 speed line; must be at least 2"},
    {"OnePoint",
     [](MapData& d) {
       d.lines[1] = {8000.0, {0.6}, {2.8}, {0.7}};
     },
     "CompressorMap: speed line 2 has 1 points; must be at least 3"},
    {"EmptyLine",
     [](MapData& d) {
       d.lines[0] = {4000.0, {}, {}, {}};
     },
     "CompressorMap: speed line 1 has 0 points; must be at least 3"},
    {"MissingPressureRatio", [](MapData& d) { d.lines[1].pressure_ratio.pop_back(); },
     "CompressorMap: speed line 2 has 3 flows but 2 pressure ratios; must match"},
    {"MissingEfficiency", [](MapData& d) { d.lines[0].efficiency.push_back(0.5); },
     "CompressorMap: speed line 1 has 3 flows but 4 efficiencies; must match"},
    {"UnsortedSpeeds", [](MapData& d) { std::swap(d.lines[0], d.lines[1]); },
     "CompressorMap: speed line 2: speed = 4000 rad/s; must be above that of the line before it "
     "(8000 rad/s); sort the lines by rising speed"},
    {"DuplicatedSpeed", [](MapData& d) { d.lines[1].speed = 4000.0; },
     "CompressorMap: speed line 2: speed = 4000 rad/s is that of the line before it; must be a "
     "different speed"},
    {"ZeroSpeed", [](MapData& d) { d.lines[0].speed = 0.0; },
     "CompressorMap: speed line 1: speed = 0 rad/s; must be above 0"},
    {"DuplicatedPoint",
     [](MapData& d) {
       for (auto* v : {&d.lines[1].flow, &d.lines[1].pressure_ratio, &d.lines[1].efficiency})
         v->insert(v->begin() + 1, (*v)[1]);
     },
     "CompressorMap: speed line 2: points 2 and 3 have the same flow and pressure ratio; must be "
     "different points; remove the duplicate"},
    {"ZigzagFlow", [](MapData& d) { std::swap(d.lines[0].flow[1], d.lines[0].flow[0]); },
     "CompressorMap: speed line 1: flow = 0.2 kg/s follows 0.3 kg/s; must be in order from surge "
     "to choke or from choke to surge"},
    {"CrossingLines", [](MapData& d) { d.lines[1].pressure_ratio[0] = 1.3; },
     "CompressorMap: speed line 2 has pressure ratio 1.3 at 0.33 kg/s, where the slower speed "
     "line 1 has 1.325; must be above it"},
    {"LowerFasterLine",
     [](MapData& d) {
       d.lines[1].pressure_ratio = {1.41, 1.40, 1.2};
     },
     "CompressorMap: speed line 2 reaches pressure ratio 1.41, the slower speed line 1 1.42; must "
     "be more than every slower line"},
    {"EfficiencyAboveOne", [](MapData& d) { d.lines[0].efficiency[1] = 1.02; },
     "CompressorMap: speed line 1, point 2: efficiency = 1.02; must be between 0.05 and 0.95"},
    {"EfficiencyInPerCent", [](MapData& d) { d.lines[0].efficiency[1] = 76.0; },
     "; a fraction, not per cent"},
    {"EfficiencyZero", [](MapData& d) { d.lines[0].efficiency[2] = 0.0; },
     "CompressorMap: speed line 1, point 3: efficiency = 0; must be between 0.05 and 0.95"},
    {"GaugePressure", [](MapData& d) { d.lines[0].pressure_ratio[2] = 0.25; },
     "CompressorMap: speed line 1, point 3: pressure_ratio = 0.25; must be above 1 and at most 20"},
    {"PressureRatioOne", [](MapData& d) { d.lines[0].pressure_ratio[2] = 1.0; },
     "pressure_ratio = 1; must be above 1"},
    {"ZeroFlow", [](MapData& d) { d.lines[0].flow[0] = 0.0; },
     "CompressorMap: speed line 1, point 1: flow = 0 kg/s; must be above 0"},
    {"NegativeFlow", [](MapData& d) { d.lines[0].flow[0] = -0.2; },
     "CompressorMap: speed line 1, point 1: flow = -0.2 kg/s; must be above 0"},
    {"NaNFlow", [](MapData& d) { d.lines[1].flow[2] = kNaN; },
     "CompressorMap: speed line 2, point 3: flow = nan kg/s; must be above 0 and at most 1000 "
     "kg/s; it is missing or not a number"},
    {"InfinitePressureRatio",
     [](MapData& d) { d.lines[1].pressure_ratio[0] = std::numeric_limits<double>::infinity(); },
     "CompressorMap: speed line 2, point 1: pressure_ratio = inf; must be above 1"},
    {"NaNEfficiency", [](MapData& d) { d.lines[1].efficiency[0] = kNaN; },
     "CompressorMap: speed line 2, point 1: efficiency = nan; must be between 0.05 and"},
    {"NaNSpeed", [](MapData& d) { d.lines[1].speed = kNaN; },
     "CompressorMap: speed line 2: speed = nan rad/s; must be above 0"},
    {"CelsiusReference", [](MapData& d) { d.reference.temperature = 15.0; },
     "ReferenceState: temperature = 15 K; must be between 200 and 400 K; did you mean 15 degC?"},
    {"ReferenceInKilopascal", [](MapData& d) { d.reference.pressure = 101.325; },
     "ReferenceState: pressure = 101.325 Pa; must be between 20000 and 200000 Pa"},
    {"NegativeDiameter", [](MapData& d) { d.tip_diameter = -0.1; },
     "CompressorMap: tip_diameter = -0.1 m; must be between 0 and 2 m; 0 means not known"},
    {"NaNSpeedLimit", [](MapData& d) { d.speed_limit = kNaN; },
     "CompressorMap: speed_limit = nan rad/s"},
};

class BadMap : public testing::TestWithParam<Case> {};

TEST_P(BadMap, NamesTheBadInput) {
  MapData data = good_map();
  GetParam().spoil(data);
  try {
    CompressorMap::from(data);
    FAIL() << "accepted";
  } catch (const base::InputError& error) {
    EXPECT_NE(std::string(error.what()).find(GetParam().message), std::string::npos)
        << "told: " << error.what();
  }
}

INSTANTIATE_TEST_SUITE_P(CompressorMap, BadMap, testing::ValuesIn(kCases),
                         [](const auto& tested) { return std::string(tested.param.name); });

TEST(CompressorMap, TheUnspoiltMapOfTheBadInputTableIsAccepted) {
  EXPECT_NO_THROW(CompressorMap::from(good_map()));
}

template <class Call>
std::string refusal(Call&& call) {
  try {
    call();
  } catch (const base::InputError& error) {
    return error.what();
  }
  return "accepted";
}

TEST(CompressorMap, NamesTheBadInputOfScalingPointsAndGrids) {
  EXPECT_EQ(refusal([] { scaled(good_map(), 0.0); }),
            "scaled: diameter_ratio = 0; must be between 0.05 and 20");
  EXPECT_EQ(refusal([] { scaled(good_map(), 1.0, kNaN); }),
            "scaled: flow_scale = nan; must be between 0.5 and 2; it is missing or not a number");
  EXPECT_EQ(refusal([] { CompressorMap::from(good_map()).grid(1, 5); }),
            "CompressorMap::grid: speeds = 1; must be between 2 and 10000");
  EXPECT_EQ(refusal([] {
              speed_line_from_points({1.0, 2.0}, {0.1}, {1.1, 1.2}, {0.5, 0.5}, 1.4);
            }),
            "speed_line_from_points: 2 speeds, 1 flows, 2 pressure ratios, 2 efficiencies; must be "
            "equally many");
  EXPECT_EQ(refusal([] { speed_line_from_points({0.0}, {0.1}, {1.1}, {0.5}, 1.4); }),
            "speed_line_from_points: point 1: speed = 0 rad/s; must be above 0 and at most 1e+06 "
            "rad/s");
}

}  // namespace
}  // namespace airchain::compressor
