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

const Values kSpeed{200.0, 400.0, 600.0, 800.0};
const Values kRatio{0.8, 1.4, 2.0};
const Values kTemperature{260.0, 295.0, 330.0, 365.0, 400.0};

template <class Function>
Values nodes(Function&& f) {
  Values values;
  for (double u : kSpeed)
    for (double v : kRatio)
      for (double t : kTemperature) values.push_back(f(u, v, t));
  return values;
}

double efficiency(double speed, double ratio, double t) {
  const double x = (t - 320.0) / 100.0;
  return 0.9 + 2e-4 * speed - 2e-7 * speed * speed + 0.03 * ratio + 0.05 * x - 0.04 * x * x * x * x;
}

std::shared_ptr<const Surface> plain_surface() {
  return breathing_surface(kSpeed, kRatio, kTemperature, nodes(efficiency),
                           nodes([](double, double v, double) { return 1.0 - 0.01 * v; }),
                           nodes([](double u, double v, double) { return 1e-3 * u - 0.2 * v; }));
}

Breathing<double> plain_breathing() {
  Breathing<double> b;
  b.surface = plain_surface();
  b.temperature_exponent = 0.0;
  return b;
}

TEST(Surface, FollowsAPolynomialOfFourthDegreeInTemperature) {
  const auto b = plain_breathing();
  Breathing<double>::Line line(b, 470.0);
  for (double t : {260.0, 271.0, 318.0, 349.5, 400.0})
    EXPECT_NEAR(line.at(1.4, t).volumetric_efficiency, efficiency(470.0, 1.4, t), 1e-12);
  EXPECT_NEAR(line.at(1.7, 300.0).trapping, 0.983, 1e-12);
  EXPECT_NEAR(b.pumping_pressure(470.0, 1.7, 300.0, 2e5), 2e5 * (0.47 - 0.34), 1e-6);
}

TEST(Surface, HoldsItsEdgeAndSaysSo) {
  const auto b = plain_breathing();
  Breathing<double>::Line line(b, 400.0);
  EXPECT_EQ(line.at(1.4, 420.0).volumetric_efficiency, line.at(1.4, 400.0).volumetric_efficiency);
  EXPECT_EQ(line.at(2.5, 300.0).volumetric_efficiency, line.at(2.0, 300.0).volumetric_efficiency);
  EXPECT_TRUE(b.inside(400.0, 1.4, 300.0));
  EXPECT_FALSE(b.inside(400.0, 1.4, 401.0));
  EXPECT_FALSE(b.inside(400.0, 2.1, 300.0));
  EXPECT_FALSE(b.inside(801.0, 1.4, 300.0));
}

TEST(Surface, KeepsNoMoreThanIsDrawn) {
  auto b = plain_breathing();
  b.surface =
      breathing_surface(kSpeed, kRatio, kTemperature, nodes(efficiency),
                        nodes([](double u, double, double) { return u < 300.0 ? 0.8 : 1.0; }),
                        nodes([](...) { return 0.0; }));
  for (double speed = 200.0; speed <= 800.0; speed += 7.0)
    EXPECT_LE((Breathing<double>::Line(b, speed).at(1.1, 310.0).trapping), 1.0);
}

TEST(Surface, LanesAgreeWithPlainNumbers) {
  const auto at = [](auto x, auto pick) {
    using T = decltype(x);
    Breathing<T> b;
    b.surface = plain_surface();
    b.temperature_exponent = T(0.0);
    typename Breathing<T>::Line line(b, x);
    return pick(line.at(T(1.2) + x * T(1e-3), T(200.0) + x * T(0.25)));
  };
  const auto stays = [](const auto& f) { return f.volumetric_efficiency; };
  const auto trapped = [](const auto& f) { return f.trapping; };
  test::expect_lanes_agree([&](auto x) { return at(x, stays); }, {250.0, 399.0, 400.0, 790.0});
  test::expect_lanes_agree([&](auto x) { return at(x, trapped); }, {250.0, 399.0, 400.0, 790.0});
}

TEST(Surface, NamesTheBadInput) {
  const Values good = nodes(efficiency);
  const Values one = nodes([](...) { return 1.0; });
  const auto made = [&](const Values& t, const Values& e, const Values& trapped, const Values& p) {
    return breathing_surface(kSpeed, kRatio, t, e, trapped, p);
  };
  expect_refusal(
      [&] {
        made({260.0, 300.0}, good, one, one);
      },
      "Surface: 2 temperatures; must be 5");
  expect_refusal(
      [&] {
        made({260.0, 295.0, 330.0, 365.0, 410.0}, good, one, one);
      },
      "Surface: temperature = 410 K; must be evenly spaced");
  expect_refusal([&] { made(kTemperature, {0.9}, one, one); },
                 "Surface: volumetric_efficiency has 1 values; must be 60");
  Values bad = good;
  bad[7] = 2.0;
  expect_refusal([&] { made(kTemperature, bad, one, one); },
                 "Surface: volumetric_efficiency = 2; must be between 0.1 and 1.6");
  bad[7] = std::nan("");
  expect_refusal([&] { made(kTemperature, bad, one, one); }, "Surface: volumetric_efficiency = ");
  expect_refusal([&] { made(kTemperature, good, nodes([](...) { return 1.1; }), one); },
                 "Surface: trapping = 1.1; must be between 0.2 and 1");
}

}  // namespace
}  // namespace airchain::cylinder
