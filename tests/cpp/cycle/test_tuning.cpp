#include <gtest/gtest.h>

#include <cmath>

#include "support/demo_cycle.hpp"

// Facts of the trade (common practice, no source) and Taylor's inlet Mach index. A short primary
// keeps the exhaust's waves out of what is said of the intake.
namespace airchain::cycle {

using test::demo_cycle;
using test::demo_point;
using test::DemoEngine;

namespace {

DemoEngine quiet() {
  DemoEngine e;
  e.primary = 0.06;
  e.exhaust_cells = 6;
  e.intake_cells = 16;
  return e;
}

double peak_rpm(const DemoEngine& e, double from, double to, double step = 250.0) {
  std::vector<Point<double>> points;
  for (double rpm = from; rpm <= to; rpm += step) points.push_back(demo_point(rpm));
  double best = 0.0, at = 0.0;
  const auto results = solve_line(demo_cycle(e), points);
  for (std::size_t i = 0; i < results.size(); ++i) {
    if (results[i].volumetric_efficiency <= best) continue;
    best = results[i].volumetric_efficiency;
    at = from + step * double(i);
  }
  return at;
}

CycleResult one(const DemoEngine& e, const Point<double>& p) {
  return solve_line(demo_cycle(e), {p})[0];
}

}  // namespace

TEST(Tuning, LongerRunnersTuneLower) {
  double before = 1e9;
  for (const double length : {0.15, 0.35, 0.55}) {
    auto e = quiet();
    e.runner = length;
    const double at = peak_rpm(e, 2500, 7500, 500);
    EXPECT_LT(at, before) << length;
    before = at;
  }
}

TEST(Tuning, LaterInletClosingMovesFillingUpInSpeed) {
  auto early = quiet(), late = quiet();
  early.centreline = 98;
  late.centreline = 116;
  const auto slow = demo_point(2000), fast = demo_point(7500);
  EXPECT_GT(one(early, slow).volumetric_efficiency, one(late, slow).volumetric_efficiency + 0.03);
  EXPECT_LT(one(early, fast).volumetric_efficiency, one(late, fast).volumetric_efficiency - 0.03);
}

TEST(Tuning, OverlapHoldsExhaustBackAtLowSpeedAndLosesChargeUnderBoost) {
  auto narrow = quiet(), wide = quiet();
  narrow.separation = 116;
  narrow.centreline = 112;
  wide.separation = 100;
  wide.centreline = 96;
  const auto idle = demo_point(1500, 60e3, 103e3);
  EXPECT_GT(one(wide, idle).residual_fraction, 1.3 * one(narrow, idle).residual_fraction);
  const auto boosted = demo_point(2500, 200e3, 110e3);
  EXPECT_GT(one(wide, boosted).scavenging_loss, 2.0 * one(narrow, boosted).scavenging_loss);
  EXPECT_LT(one(narrow, demo_point(2500)).scavenging_loss, 0.01);
}

TEST(Tuning, IntakeAboveExhaustPressureTurnsThePumpingLoopPositive) {
  EXPECT_GT(one(quiet(), demo_point(3000)).pmep, 0.0);
  EXPECT_LT(one(quiet(), demo_point(3000, 200e3, 110e3)).pmep, -0.3e5);
}

// With the pressure pulse of the runner taken away the charge of the cylinder is smaller: the
// pulse that arrives before inlet closing fills it.
TEST(Tuning, AWellTimedPulseHelps) {
  auto tuned = quiet(), stub = quiet();
  tuned.runner = 0.50;
  stub.runner = 0.05;
  stub.intake_cells = 4;
  EXPECT_GT(one(tuned, demo_point(4500)).volumetric_efficiency,
            one(stub, demo_point(4500)).volumetric_efficiency + 0.1);
}

// [Taylor, The Internal-Combustion Engine in Theory and Practice, vol. 1, ch. 6]: filling of
// engines without tuning falls when Z = (A_piston/A_inlet) U/a exceeds 0.5 to 0.6, A_inlet being
// the mean effective area of the open valve.
TEST(Tuning, AgreesWithTaylorMachIndex) {
  auto e = quiet();
  e.runner = e.primary = 0.05;
  e.intake_cells = e.exhaust_cells = 5;
  e.intake_duration = e.exhaust_duration = 200;
  e.intake_seat = e.exhaust_seat = 250;
  const auto s = demo_cycle(e);
  double mean = 0.0;
  const double open = (360 + e.centreline - 125) * base::kDegree;
  const double close = (360 + e.centreline + 125) * base::kDegree;
  for (int i = 0; i < 200; ++i)
    mean += s.intake_valve.area.at(open + (i + 0.5) / 200 * (close - open)) / 200;
  const auto efficiency_at = [&](double z) {
    const double sound = std::sqrt(1.38 * 287.0 * 305.0);
    const double piston_speed = z * sound * mean / s.crank.piston_area();
    auto p = demo_point(1000);
    p.speed = piston_speed * base::kPi / s.crank.stroke;
    return solve_line(s, {p})[0].volumetric_efficiency;
  };
  const double low = efficiency_at(0.35), knee = efficiency_at(0.5);
  EXPECT_NEAR(low, knee, 0.05 * knee);
  EXPECT_LT(efficiency_at(0.8), 0.95 * knee);
  EXPECT_LT(efficiency_at(1.0), 0.85 * knee);
}

}  // namespace airchain::cycle
