#include <gtest/gtest.h>

#include <functional>
#include <limits>
#include <string>

#include "airchain/base/input_error.hpp"
#include "compressor/test_meanline_machines.hpp"

namespace airchain::compressor {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

std::string message_of(const std::function<void()>& call) {
  try {
    call();
  } catch (const base::InputError& error) {
    return error.what();
  }
  return "no error";
}

struct BadStage {
  const char* message;
  std::function<void(Stage&)> spoil;
};

// The table is also the documentation of what is refused.
const BadStage kBadStages[] = {
    {"Impeller: exit_radius = nan m; must be above 0 and at most 1 m; it is missing",
     [](Stage& s) { s.impeller.exit_radius = kNan; }},
    {"Impeller: exit_width = 0 m; must be above 0", [](Stage& s) { s.impeller.exit_width = 0.0; }},
    {"Impeller: exit_backsweep = 30 rad; must be between -0.5 and 1.2 rad",
     [](Stage& s) { s.impeller.exit_backsweep = 30.0; }},
    {"Impeller: full_blades = 0; must be between 3 and 40",
     [](Stage& s) { s.impeller.full_blades = 0.0; }},
    {"Impeller: full_blades = 9.5; must be a whole number",
     [](Stage& s) { s.impeller.full_blades = 9.5; }},
    {"Impeller: inlet_hub_radius = 0.06 m; must be below inlet_tip_radius = 0.052 m",
     [](Stage& s) { s.impeller.inlet_hub_radius = 0.06; }},
    {"Impeller: inlet_tip_radius = 0.12 m; must be below exit_radius = 0.1 m",
     [](Stage& s) { s.impeller.inlet_tip_radius = 0.12; }},
    {"Impeller: tip_clearance = 0.4 m; must be between 0 and 0.01 m",
     [](Stage& s) { s.impeller.tip_clearance = 0.4; }},
    {"Impeller: tip_clearance = 0.009 m; must be below exit_width = 0.0085 m",
     [](Stage& s) { s.impeller.tip_clearance = 0.009; }},
    {"Impeller: inducer_throat_area = 0.5 m^2; must be below the inlet annulus",
     [](Stage& s) { s.impeller.inducer_throat_area = 0.5; }},
    {"Impeller: blade metal and exit_blockage take",
     [](Stage& s) { s.impeller.exit_blade_thickness = 0.02; }},
    {"Diffuser: impeller exit_radius = 0.1 m; must be below exit_radius = 0.09 m",
     [](Stage& s) { s.diffuser.exit_radius = 0.09; }},
    {"Diffuser: inlet_width = 0.05 m; must be below 0.4 times the impeller radius",
     [](Stage& s) { s.diffuser.inlet_width = 0.05; }},
    {"Diffuser: inlet_width = -0.01 m; must be above 0",
     [](Stage& s) { s.diffuser.inlet_width = -0.01; }},
    {"Vanes: leading_edge_angle = 70 rad; must be between 0.5 and 1.5 rad",
     [](Stage& s) { s.diffuser.vanes = Vanes{70.0, 1e-3, 2.0, 0.2, 1.0, 0.0}; }},
    {"Vanes: throat_area = 0.1 m^2; must be below the annulus at the leading edge",
     [](Stage& s) { s.diffuser.vanes = Vanes{1.2, 0.1, 2.0, 0.2, 1.0, 0.0}; }},
    {"Vanes: diffuser exit_radius = 0.16 m; must be below exit_radius = 0.15 m",
     [](Stage& s) { s.diffuser.vanes = Vanes{1.2, 1e-3, 2.0, 0.15, 1.0, 0.0}; }},
    {"Volute: throat_area = inf m^2; must be above 0",
     [](Stage& s) { s.volute->throat_area = std::numeric_limits<double>::infinity(); }},
    {"Volute: diffuser exit_radius = 0.16 m; must be below throat_radius = 0.15 m",
     [](Stage& s) { s.volute->throat_radius = 0.15; }},
};

TEST(MeanlineBadInput, NamesTheBadDimension) {
  for (const BadStage& bad : kBadStages) {
    Stage stage = race_blower(30.0);
    bad.spoil(stage);
    const std::string message = message_of([&] { meanline_point(stage, kRaceDesignSpeed, 0.9); });
    EXPECT_NE(message.find(bad.message), std::string::npos) << bad.message << "\n" << message;
    EXPECT_EQ(message_of([&] { predict_map(stage, {kRaceDesignSpeed}); }), message);
  }
}

TEST(MeanlineBadInput, NamesTheBadOperatingPoint) {
  const Stage stage = race_blower(30.0);
  const auto expect = [](const std::string& text, const std::function<void()>& call) {
    const std::string message = message_of(call);
    EXPECT_NE(message.find(text), std::string::npos) << text << "\n" << message;
  };
  expect("Meanline: speed = 0 rad/s; must be above 0", [&] { meanline_point(stage, 0.0, 0.9); });
  expect("Meanline: speed = 38000 rad/s; must be above 0 and at most 30000 rad/s",
         [&] { meanline_point(stage, 38000.0, 0.9); });
  expect("Meanline: tip Mach number", [&] { meanline_point(stage, 9000.0, 0.9); });
  expect("check speed (rad/s, not rpm)", [&] { meanline_point(stage, 9000.0, 0.9); });
  expect("Meanline: mass_flow = -1 kg/s; must be above 0",
         [&] { meanline_point(stage, 4000.0, -1.0); });
  expect("Meanline: mass_flow = nan kg/s", [&] { meanline_point(stage, 4000.0, kNan); });
  ReferenceState celsius;
  celsius.temperature = 15.0;
  expect("ReferenceState: temperature = 15 K",
         [&] { meanline_point(stage, 4000.0, 0.9, celsius); });
}

TEST(MeanlineBadInput, NamesTheBadMapRequest) {
  const Stage stage = race_blower(30.0);
  EXPECT_EQ(message_of([&] { predict_map(stage, {}); }),
            "predict_map: speeds is empty; must be at least one speed");
  EXPECT_EQ(message_of([&] {
              predict_map(stage, {4000.0, 3000.0});
            }),
            "predict_map: speeds: 3000 rad/s follows 4000 rad/s; must be in rising order");
  EXPECT_EQ(message_of([&] { predict_map(stage, {4000.0}, 2); }),
            "predict_map: points_per_line = 2; must be between 5 and 200");
  EXPECT_EQ(message_of([&] { predicted_speeds(-1.0); }),
            "predicted_speeds: design_speed = -1 rad/s; must be above 0 and at most 30000 rad/s");
  // A diffuser far too wide for the inducer stalls over the whole line.
  Stage wide = stage;
  wide.diffuser.inlet_width = wide.impeller.exit_width = 0.035;
  EXPECT_NE(message_of([&] {
              predict_map(wide, {kRaceDesignSpeed});
            }).find("predict_map: the line at speed = 4000 rad/s would surge at"),
            std::string::npos);
  // A volute throat of five square millimetres: all the work goes into disc friction.
  Stage tight = stage;
  tight.volute->throat_area = 5e-6;
  EXPECT_NE(message_of([&] {
              predict_map(tight, {kRaceDesignSpeed});
            }).find("nowhere reaches an efficiency of 0.30"),
            std::string::npos);
}

}  // namespace
}  // namespace airchain::compressor
