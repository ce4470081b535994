#include "airchain/cylinder/surface.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cylinder/breathing.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"

namespace airchain::cylinder {
namespace {

using test::expect_refusal;
using Values = std::vector<double>;

const Values kSpeed{150.0, 300.0, 450.0, 600.0, 800.0};
const Values kRatio{0.8, 1.1, 1.4, 2.0};
const Values kTemperature{260.0, 295.0, 330.0, 365.0, 400.0};
constexpr double kExhaust = 105e3;

template <class Function>
Values nodes(Function&& f) {
  Values values;
  for (double u : kSpeed)
    for (double v : kRatio)
      for (double t : kTemperature) values.push_back(f(u, v, t));
  return values;
}

// A polynomial of third degree in wave speed and ratio and of fourth in temperature.
double efficiency(double u, double ratio, double t) {
  const double x = (t - 320.0) / 100.0;
  return 0.9 + 2e-4 * u - 2e-10 * u * u * u + 0.03 * ratio * ratio + 0.05 * x - 0.04 * x * x * x;
}

SurfaceNodes plain_nodes() {
  return {kSpeed,
          kRatio,
          kTemperature,
          {80e3, kExhaust, 180e3},
          nodes(efficiency),
          nodes([](double, double v, double) { return 1.0 - 0.01 * v; }),
          nodes([](double u, double v, double) { return 1e-3 * u - 0.2 * v; }),
          nodes([](double u, double, double) { return 1e-5 * u; })};
}

Breathing<double> breathing_by(const SurfaceNodes& nodes) {
  Breathing<double> b;
  b.surface = breathing_surface(nodes);
  b.temperature_exponent = 0.0;
  return b;
}
Breathing<double> plain_breathing() { return breathing_by(plain_nodes()); }

TEST(Surface, FollowsPolynomialsOfItsCoordinates) {
  const auto b = plain_breathing();
  Breathing<double>::Line line(b, 470.0);
  for (double t : {260.0, 271.0, 318.0, 349.5, 400.0})
    for (double ratio : {0.8, 0.95, 1.3, 1.9}) {
      const double u = 470.0 / Surface::stretch(ratio, t);
      EXPECT_NEAR(line.at(ratio, t, kExhaust, {}).volumetric_efficiency, efficiency(u, ratio, t),
                  1e-12);
      EXPECT_NEAR(line.at(ratio, t, kExhaust, {}).trapping, 1.0 - 0.01 * ratio, 1e-12);
      EXPECT_NEAR(b.pumping_pressure(470.0, ratio, t, 2e5, 0.86), 2e5 * (1e-3 * u - 0.2 * ratio),
                  1e-6);
    }
}

// At 330 K wave speed is engine speed; elsewhere N (T0/T)^a within half a per cent, with a of the
// intake's and exhaust's waves.
TEST(Surface, WaveSpeedFallsWithAPowerOfTemperature) {
  for (double ratio : {0.6, 1.0, 1.5, 3.0}) {
    EXPECT_EQ(Surface::stretch(ratio, 330.0), 1.0);
    for (double t : {260.0, 300.0, 400.0}) {
      const double a = std::log(Surface::stretch(ratio, t)) / std::log(t / 330.0);
      EXPECT_GT(a, 0.2485);
      EXPECT_LT(a, 0.4015);
    }
  }
  EXPECT_NEAR(Surface::stretch(1.5, 400.0), std::pow(400.0 / 330.0, 0.4), 4e-4);
  EXPECT_NEAR(Surface::stretch(0.6, 260.0), std::pow(260.0 / 330.0, 0.25), 4e-4);
}

TEST(Surface, ExhaustPressureTellsByItsLogarithm) {
  const auto b = plain_breathing();
  Breathing<double>::Line line(b, 400.0);
  const auto at = [&](double p) { return line.at(1.4, 330.0, p, {}).volumetric_efficiency; };
  EXPECT_NEAR(at(120e3) - at(kExhaust), 4e-3 * std::log(120.0 / 105.0), 1e-5);
  EXPECT_NEAR(at(90e3) - at(kExhaust), 4e-3 * std::log(90.0 / 105.0), 1e-5);
  EXPECT_EQ(at(60e3), at(80e3));
  EXPECT_EQ(at(250e3), at(180e3));
}

TEST(Surface, HoldsItsEdgeAndSaysSo) {
  const auto b = plain_breathing();
  Breathing<double>::Line line(b, 400.0);
  const auto at = [&](double ratio, double t) {
    return line.at(ratio, t, kExhaust, {}).volumetric_efficiency;
  };
  EXPECT_NEAR(at(2.5, 330.0), at(2.0, 330.0), 1e-15);
  EXPECT_NEAR(at(1.4, 420.0), efficiency(400.0 / Surface::stretch(1.4, 420.0), 1.4, 400.0), 1e-12);
  EXPECT_TRUE(b.inside(400.0, 1.4, 300.0, kExhaust));
  EXPECT_FALSE(b.inside(400.0, 1.4, 401.0, kExhaust));
  EXPECT_FALSE(b.inside(400.0, 2.1, 300.0, kExhaust));
  EXPECT_FALSE(b.inside(801.0, 1.4, 330.0, kExhaust));
  EXPECT_TRUE(b.inside(801.0, 1.4, 400.0, kExhaust));
  EXPECT_FALSE(b.inside(400.0, 1.4, 300.0, 181e3));
  EXPECT_FALSE(b.inside(400.0, 1.4, 300.0, 79e3));
}

TEST(Surface, KeepsNoMoreThanIsDrawn) {
  auto n = plain_nodes();
  n.trapping = nodes([](double u, double, double) { return u < 300.0 ? 0.8 : 1.0; });
  const auto b = breathing_by(n);
  for (double speed = 150.0; speed <= 800.0; speed += 7.0)
    EXPECT_LE((Breathing<double>::Line(b, speed).at(1.1, 310.0, kExhaust, {}).trapping), 1.0);
}

TEST(Surface, LanesAgreeWithPlainNumbers) {
  const auto at = [](auto x, auto pick) {
    using T = decltype(x);
    Breathing<T> b;
    b.surface = breathing_surface(plain_nodes());
    b.temperature_exponent = T(0.0);
    typename Breathing<T>::Line line(b, x);
    // A second look-up, from the cell of the first.
    line.at(T(1.2) + x * T(1e-3), T(200.0) + x * T(0.25), T(kExhaust), {});
    return pick(line.at(T(1.2) + x * T(1e-3), T(200.0) + x * T(0.26), T(90e3) + x * T(20.0), {}));
  };
  const auto stays = [](const auto& f) { return f.volumetric_efficiency; };
  const auto trapped = [](const auto& f) { return f.trapping; };
  test::expect_lanes_agree([&](auto x) { return at(x, stays); }, {250.0, 399.0, 400.0, 790.0});
  test::expect_lanes_agree([&](auto x) { return at(x, trapped); }, {250.0, 399.0, 400.0, 790.0});
}

template <class Change>
void expect_refused(Change&& change, const std::string& told) {
  expect_refusal(
      [&] {
        auto n = plain_nodes();
        change(n);
        breathing_surface(n);
      },
      told.c_str());
}

TEST(Surface, NamesTheBadInput) {
  expect_refused([](auto& n) { n.temperature = Values(9, 300.0); },
                 "Surface: 9 temperatures; must be 8 at most");
  expect_refused([](auto& n) { n.temperature[1] = 250.0; },
                 "Surface: temperature[1] = 250; must be greater than the one before it (260)");
  expect_refused([](auto& n) { n.temperature[4] = 500.0; }, "Surface: temperature = 500 K");
  expect_refused([](auto& n) { n.volumetric_efficiency = {0.9}; },
                 "Surface: volumetric_efficiency has 1 values; must be 100");
  expect_refused([](auto& n) { n.volumetric_efficiency[7] = 2.0; },
                 "Surface: volumetric_efficiency = 2; must be between 0.1 and 1.6");
  expect_refused([](auto& n) { n.volumetric_efficiency[7] = std::nan(""); },
                 "Surface: volumetric_efficiency = ");
  expect_refused([](auto& n) { n.trapping[3] = 1.1; },
                 "Surface: trapping = 1.1; must be between 0.2 and 1");
  expect_refused([](auto& n) { n.pumping[3] = 30.0; }, "Surface: pumping = 30; must be between");
  expect_refused([](auto& n) { n.pressure_effect[3] = -2.0; }, "Surface: pressure_effect = -2");
  expect_refused(
      [](auto& n) {
        n.exhaust_pressure = {110e3, 105e3, 180e3};
      },
      "Surface: exhaust_pressure[1] = 105000 Pa; must be between the lowest and");
  expect_refused([](auto& n) { n.exhaust_pressure[0] = 20e3; }, "Surface: exhaust_pressure = 2");
}

}  // namespace
}  // namespace airchain::cylinder
