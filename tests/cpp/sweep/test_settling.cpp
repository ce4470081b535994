#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <random>

#include "airchain/sweep/cycles.hpp"
#include "support/demo_cycle.hpp"

// How far a point lies from the answer that its equations have: by stopping, by the time step and
// by the grid, each on its own.
namespace airchain::sweep {

namespace {

using Results = std::vector<cycle::CycleResult>;
using Points = std::vector<cycle::Point<double>>;

/// Five invented engines of mild to wild cams, short to long pipes.
constexpr int kEngines = 5;
cycle::Setup engine(int k, int cells = 30) {
  const double duration[] = {236, 210, 262, 280, 228};
  const double runner[] = {0.32, 0.55, 0.20, 0.25, 0.40}, primary[] = {0.8, 0.5, 1.1, 0.7, 0.35};
  test::DemoEngine e;
  e.intake_duration = duration[k];
  e.intake_seat = duration[k] + 52;
  e.exhaust_duration = duration[k] + 8;
  e.exhaust_seat = duration[k] + 60;
  e.separation = k == 3 ? 106 : 112;
  e.centreline = e.separation - 4;
  e.runner = runner[k];
  e.primary = primary[k];
  e.intake_cells = e.exhaust_cells = cells;
  auto setup = test::demo_cycle(e);
  setup.crank.compression_ratio = 9.5 + 0.7 * k;
  if (k == 1) setup.exhaust.taper.diameter = 0.060;
  if (k == 4) setup.intake.taper.diameter = 0.070;
  return setup;
}

Points random_points(std::mt19937& random, int count) {
  const auto any = [&](double low, double high) {
    return low + (high - low) * (double(random()) / 4294967296.0);
  };
  Points points;
  for (int i = 0; i < count; ++i) {
    const double speed = any(1000, 9000), plenum = any(60e3, 230e3);
    points.push_back(test::demo_point(speed, plenum, any(95e3, 160e3)));
  }
  return points;
}

Results solved(const cycle::Setup& setup, const Points& points, const cycle::Controls& controls) {
  Results results(points.size());
  EXPECT_TRUE(run_cycles(setup, points, controls, results.data(), 2));
  return results;
}
/// So many cycles, whatever they change.
Results after(double cycles, const cycle::Setup& setup, const Points& points, double courant) {
  cycle::Controls controls;
  controls.courant = courant;
  controls.largest_step *= courant / cycle::Controls{}.courant;
  controls.tolerance = 1e-9;
  controls.most_cycles = cycles;
  return solved(setup, points, controls);
}

/// Root of the mean square and largest of the relative differences of a number.
struct Errors {
  double sum = 0.0, worst = 0.0;
  int count = 0;

  void add(const Results& ours, const Results& better, double cycle::CycleResult::*number) {
    for (std::size_t i = 0; i < ours.size(); ++i, ++count) {
      const double error = std::abs(ours[i].*number / better[i].*number - 1.0);
      sum += error * error;
      worst = std::max(worst, error);
    }
  }
  double rms() const { return std::sqrt(sum / count); }
};

void expect_settled(int points_an_engine) {
  std::mt19937 random(20261129);
  Errors filling, work;
  for (int k = 0; k < kEngines; ++k) {
    const auto setup = engine(k);
    const auto points = random_points(random, points_an_engine);
    const auto ours = solved(setup, points, {});
    for (const auto& r : ours) {
      EXPECT_TRUE(r.converged);
      EXPECT_LT(std::abs(r.mass_error), 1e-9);
      EXPECT_LT(std::abs(r.energy_error), 1e-9);
    }
    const auto best = after(30, setup, points, cycle::Controls{}.courant);
    filling.add(ours, best, &cycle::CycleResult::volumetric_efficiency);
    work.add(ours, best, &cycle::CycleResult::gross_imep);
  }
  EXPECT_LT(filling.rms(), 1e-4);
  // One of 200 points, whose collector's temperature turns slowly, is 5.7e-4 off; 6.4e-4 is the
  // worst of 800.
  EXPECT_LT(filling.worst, 6e-4);
  EXPECT_LT(work.rms(), 2e-4);
  EXPECT_LT(work.worst, 8e-4);
}

}  // namespace

// Random points of all five engines against 30 cycles on the same grid.
TEST(RunCycles, SettleNearTheAnswer) { expect_settled(6); }
TEST(SlowRunCycles, SettleNearTheAnswer) { expect_settled(40); }

// The default grid, step and stop against 120 + 120 cells, half steps and 30 cycles: in all, and
// each alone. The output tells them.
TEST(SlowRunCycles, GridAndStepAreFineEnough) {
  std::mt19937 random(20261130);
  const double usual = cycle::Controls{}.courant;
  Errors whole, grid, step, stopping;
  for (int k = 0; k < kEngines; ++k) {
    const auto points = random_points(random, 8);
    const auto fine = after(30, engine(k, 120), points, 0.5 * usual);
    const auto stepped = after(30, engine(k), points, 0.5 * usual);
    const auto run_out = after(30, engine(k), points, usual);
    const auto ours = solved(engine(k), points, {});
    const auto number = &cycle::CycleResult::volumetric_efficiency;
    whole.add(ours, fine, number);
    grid.add(stepped, fine, number);
    step.add(run_out, stepped, number);
    stopping.add(ours, run_out, number);
  }
  for (const auto& [name, errors] :
       {std::pair{"whole", whole}, {"grid", grid}, {"step", step}, {"stopping", stopping}}) {
    std::printf("%s: %.4f %% rms, %.4f %% worst\n", name, 100 * errors.rms(), 100 * errors.worst);
  }
  EXPECT_LT(whole.rms(), 3e-3);
}

}  // namespace airchain::sweep
