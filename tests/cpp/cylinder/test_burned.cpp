#include "airchain/cylinder/burned.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cylinder/breathing.hpp"
#include "support/bad_input.hpp"
#include "support/burned_nodes.hpp"
#include "support/lanes.hpp"

namespace airchain::cylinder {
namespace {

using test::burned_nodes;
using test::expect_refusal;

constexpr double kBurnedDegree = 0.017453292519943295;
constexpr double kBurnedSpeed = 470.0, kBurnedRatio = 1.5, kBurnedTemperature = 320.0,
                 kBurnedExhaust = 105e3;

Surface surface_with(const BurnedNodes& nodes) {
  const std::vector<double> ones(8, 1.0), none(8, 0.0);
  const std::array<double, 3> exhaust{80e3, kBurnedExhaust, 180e3};
  return *breathing_surface(
      {nodes.wave_speed, nodes.pressure_ratio, nodes.temperature, exhaust, ones, ones, none, none},
      burned_surface(nodes));
}

struct Answers {
  BurnedCharge<double> charge;
  double pumping_change, exhaust, filling_factor, trapping;
};

Answers answers_at(const Surface& s, double half_burned, double lambda,
                   double exhaust = kBurnedExhaust) {
  const Surface::Burn<double> burn{half_burned, lambda};
  Answers a;
  const auto state = s.state(kBurnedSpeed, kBurnedRatio, kBurnedTemperature, exhaust, lambda);
  a.charge = s.burned->charge_at(state, s.departure(kBurnedRatio, burn), a.pumping_change);
  Surface::Line<double> line(s, kBurnedSpeed);
  a.exhaust = line.exhaust_temperature(kBurnedRatio, kBurnedTemperature, exhaust, burn);
  a.filling_factor =
      line.at(kBurnedRatio, kBurnedTemperature, exhaust, burn).volumetric_efficiency /
      line.at(kBurnedRatio, kBurnedTemperature, exhaust).volumetric_efficiency;
  a.trapping = line.at(kBurnedRatio, kBurnedTemperature, exhaust, burn).trapping;
  return a;
}

/// The nodes' own half burned at the ratio: 8 degrees and 1e-6 rad/Pa above 100 kPa.
const double kBurnedOwn = 8.0 * kBurnedDegree + 1e-6 * (kBurnedRatio * kBurnedExhaust - 1e5);

TEST(Burned, GivesItsNodesWithTheirOwnBurn) {
  const auto a = answers_at(surface_with(burned_nodes()), kBurnedOwn, 0.86);
  EXPECT_NEAR(a.charge.work, 0.35, 1e-12);
  EXPECT_NEAR(a.charge.peak_pressure, 45.0, 1e-10);
  EXPECT_NEAR(a.charge.wall_heat, 0.08, 1e-12);
  EXPECT_NEAR(a.exhaust, 1150.0, 1e-9);
  EXPECT_NEAR(a.pumping_change, 0.0, 1e-12);
  EXPECT_NEAR(a.filling_factor, 1.0, 1e-12);
}

// The formula of the header, written out once more for one answer.
TEST(Burned, AnswersToTheBurnByItsFormula) {
  auto n = burned_nodes();
  const double shape[] = {-0.02, -0.05, 0.01, 0.002, -0.03, 0.04, 0.9, -0.4,
                          2.0,   1.5,   0.3,  -1.0,  0.1,   0.05, 0.2, 0.3};
  for (std::size_t i = 0; i < kShapeNumbers; ++i) n.shapes[kWork * kShapeNumbers + i] = shape[i];
  n.own[7] = 0.03;
  const double by_cause[] = {0.02, -0.03, 0.015, 0.6, -0.08, 0.4};
  const std::size_t coarse = n.responses.size() / (kAnswers * kCauses);
  for (std::size_t cause = 0; cause < kCauses; ++cause)
    for (std::size_t i = 0; i < coarse; ++i)
      n.responses[(kWork * kCauses + cause) * coarse + i] = by_cause[cause];
  const auto s = surface_with(n);
  for (double half : {2.0 * kBurnedDegree, 15.0 * kBurnedDegree, 35.0 * kBurnedDegree})
    for (double lambda : {0.75, 0.95, 1.08})
      for (double exhaust : {90e3, 150e3}) {
        const double t = half / (20.0 * kBurnedDegree), t0 = kBurnedOwn / (20.0 * kBurnedDegree),
                     dt = t - t0;
        const auto side = [](double mixture, double sign) {
          double sum = 0.0;
          for (double step : kParcelSteps) {
            const double z = mixture / (1.0 + 0.03 * step) - 1.0;
            if (sign * z > 0.0) sum += z / kParcels;
          }
          return sum;
        };
        const double x = side(lambda, -1.0), x0 = side(0.86, -1.0), dx = x - x0;
        const double y = side(lambda, 1.0), y0 = side(0.86, 1.0), dy = y - y0;
        const auto beyond = [](double at, double knot) {
          return std::pow(std::max(at - knot / 20.0, 0.0), 3);
        };
        double sum = by_cause[0] * Surface::difference(exhaust, kBurnedExhaust);
        for (int k = 0; k < 3; ++k) sum += shape[k] * (std::pow(t, k + 1) - std::pow(t0, k + 1));
        const double knots[] = {12.0, 24.0, 34.0};
        for (int k = 0; k < 3; ++k)
          sum += shape[3 + k] * (beyond(t, knots[k]) - beyond(t0, knots[k]));
        for (int k = 0; k < 4; ++k)
          sum += shape[6 + k] * (std::pow(x, k + 1) - std::pow(x0, k + 1));
        for (int k = 0; k < 2; ++k)
          sum += shape[10 + k] * (std::pow(y, k + 1) - std::pow(y0, k + 1));
        sum += by_cause[1] * dt + by_cause[2] * (t * t - t0 * t0) + by_cause[3] * dx +
               by_cause[4] * dy + by_cause[5] * (x * x - x0 * x0);
        sum += shape[12] * dt * dx + shape[13] * dt * dt * dx + shape[14] * dt * dx * dx +
               shape[15] * dt * dy;
        EXPECT_NEAR(std::log(answers_at(s, half, lambda, exhaust).charge.work / 0.35), sum, 1e-12);
      }
}

// A mixture with another speed of sound fills, and pumps, as the nodes' own does at the charge
// temperature that has it.
TEST(Burned, LooksFillingUpWhereTheSpeedOfSoundIsAlike) {
  auto n = burned_nodes();
  n.own[4] = 0.1;
  n.own[5] = -0.2;
  std::vector<double> filling(8), none(8, 0.0), ones(8, 1.0);
  for (std::size_t i = 0; i < 8; ++i) filling[i] = i % 2 ? 1.2 : 0.8;  // by temperature alone
  const auto s = *breathing_surface({n.wave_speed,
                                     n.pressure_ratio,
                                     n.temperature,
                                     {80e3, kBurnedExhaust, 180e3},
                                     filling,
                                     ones,
                                     filling,
                                     none},
                                    burned_surface(n));
  Surface::Line<double> line(s, kBurnedSpeed);
  const double t = 320.0, lambda = 0.96, l = lambda - 0.86;
  const double like = t * (1.0 + 0.1 * l - 0.2 * l * l);
  EXPECT_NEAR(s.like(t, lambda), like, 1e-10);
  const auto there =
      line.at(kBurnedRatio, t, kBurnedExhaust, {kBurnedOwn, lambda}).volumetric_efficiency;
  EXPECT_NEAR(there, line.at(kBurnedRatio, like, kBurnedExhaust).volumetric_efficiency, 1e-12);
  EXPECT_GT(there, line.at(kBurnedRatio, t, kBurnedExhaust).volumetric_efficiency + 1e-3);
  // The responses stand at a wave speed of their own.
  const auto state = s.state(kBurnedSpeed, kBurnedRatio, t, kBurnedExhaust, 0.86);
  EXPECT_NEAR(state.response_speed * Surface::response_stretch(t), kBurnedSpeed, 1e-9);
  const auto leaner = s.state(kBurnedSpeed, kBurnedRatio, t, kBurnedExhaust, lambda);
  EXPECT_NEAR(leaner.response_speed * Surface::response_stretch(like), kBurnedSpeed, 1e-9);
}

// Exhaust temperature has a place for exhaust pressure, filling one for the square of rich.
TEST(Burned, GivesEachAnswerItsOwnResponses) {
  const auto with = [](std::size_t answer, std::size_t cause) {
    auto n = burned_nodes();
    const std::size_t coarse = n.responses.size() / (kAnswers * kCauses);
    for (std::size_t i = 0; i < coarse; ++i)
      n.responses[(answer * kCauses + cause) * coarse + i] = 0.3;
    return surface_with(n);
  };
  const double d = Surface::difference(150e3, kBurnedExhaust), t = 20.0 * kBurnedDegree;
  const double dt = (t - kBurnedOwn) / t, dx = -0.25 - (0.86 - 1.0);
  const double square = 0.25 * 0.25 - 0.14 * 0.14;
  const auto filling = [&](std::size_t cause, double half, double lambda) {
    return std::log(answers_at(with(kFilling, cause), half, lambda).filling_factor) / 0.3;
  };
  EXPECT_NEAR(filling(kPhasing, t, 0.86), dt, 1e-12);
  EXPECT_NEAR(filling(kRich, kBurnedOwn, 0.75), dx, 1e-12);
  EXPECT_NEAR(filling(kLean, kBurnedOwn, 1.1), 0.1, 1e-12);
  EXPECT_NEAR(filling(kRichSquare, kBurnedOwn, 0.75), square, 1e-12);
  EXPECT_NEAR(answers_at(with(kTrapping, kRich), kBurnedOwn, 0.75).trapping, 1.0 + 0.3 * dx, 1e-12);
  EXPECT_NEAR(answers_at(with(kTrapping, kLean), kBurnedOwn, 1.1).trapping, 1.0, 1e-12);
  const auto exhaust = [&](std::size_t cause, double half, double lambda) {
    return std::log(answers_at(with(kExhaust, cause), half, lambda, 150e3).exhaust / 1150.0) / 0.3;
  };
  EXPECT_NEAR(exhaust(kPressure, kBurnedOwn, 0.86), d, 1e-12);
  EXPECT_NEAR(exhaust(kPhasing, t, 0.86), dt, 1e-12);
  EXPECT_NEAR(exhaust(kRich, kBurnedOwn, 0.75), dx, 1e-12);
  EXPECT_NEAR(exhaust(kLean, kBurnedOwn, 1.1), 0.1, 1e-12);
}

// An even charge has one kink; an uneven one is rich and lean at once near lambda 1.
TEST(Burned, TellsHowRichAndLeanTheParcelsAre) {
  const Parcels even(0.0), uneven(0.04);
  EXPECT_NEAR(even.lean(1.1), 0.1, 1e-12);
  EXPECT_NEAR(even.rich(1.1, even.lean(1.1)), 0.0, 1e-12);
  EXPECT_NEAR(even.rich(0.8, even.lean(0.8)), -0.2, 1e-12);
  EXPECT_GT(uneven.lean(1.0), 0.01);
  EXPECT_LT(uneven.rich(1.0, uneven.lean(1.0)), -0.01);
  EXPECT_EQ(uneven.lean(0.9), 0.0);
  double variance = 0.0;
  for (double step : kParcelSteps) variance += step * step / kParcels;
  EXPECT_NEAR(variance, 1.0, 1e-3);
}

TEST(Burned, HoldsItsEdgeAndSaysSo) {
  auto n = burned_nodes();
  for (std::size_t answer = 0; answer < kAnswers; ++answer) n.shapes[answer * kShapeNumbers] = 0.1;
  const auto s = surface_with(n);
  EXPECT_EQ(answers_at(s, 50.0 * kBurnedDegree, 0.86).charge.work,
            answers_at(s, 42.0 * kBurnedDegree, 0.86).charge.work);
  EXPECT_EQ(answers_at(s, kBurnedOwn, 0.5).exhaust, answers_at(s, kBurnedOwn, 0.65).exhaust);
  EXPECT_GT(answers_at(s, 42.0 * kBurnedDegree, 0.86).charge.work,
            answers_at(s, kBurnedOwn, 0.86).charge.work);
  EXPECT_TRUE(Burned::known(10.0 * kBurnedDegree, 0.9));
  EXPECT_FALSE(Burned::known(43.0 * kBurnedDegree, 0.9));
  EXPECT_FALSE(Burned::known(10.0 * kBurnedDegree, 0.64));
}

TEST(Burned, LanesAgreeWithPlainNumbers) {
  auto n = burned_nodes();
  for (std::size_t i = 0; i < n.shapes.size(); ++i) n.shapes[i] = 0.01 * double(i % 7);
  const auto s = surface_with(n);
  const auto work = [&](auto x) {
    using T = decltype(x);
    T change;
    const Surface::Burn<T> burn{x * T(0.01), T(0.7) + x * T(0.01)};
    const auto state = s.state(T(300.0) + x, T(kBurnedRatio), T(kBurnedTemperature),
                               T(90e3) + x * T(100.0), burn.lambda);
    return s.burned->charge_at(state, s.departure(T(kBurnedRatio), burn), change).work + change;
  };
  test::expect_lanes_agree(work, {2.0, 11.0, 27.0, 44.0});
}

TEST(Burned, NamesTheBadInput) {
  const auto refused = [](auto&& change, const char* told) {
    expect_refusal(
        [&] {
          auto n = burned_nodes();
          change(n);
          burned_surface(n);
        },
        told);
  };
  refused([](auto& n) { n.work.pop_back(); }, "BurnedSurface: work has ");
  refused([](auto& n) { n.work[3] = 1.5; }, "BurnedSurface: work = 1.5; must be between 0 and 1");
  refused([](auto& n) { n.exhaust_temperature[0] = 90.0; }, "BurnedSurface: exhaust_temperature");
  refused([](auto& n) { n.peak_pressure[1] = std::nan(""); }, "BurnedSurface: peak_pressure");
  refused([](auto& n) { n.shapes.clear(); }, "BurnedSurface: shapes has 0 values; must be 112");
  refused([](auto& n) { n.responses[0] = 60.0; }, "BurnedSurface: responses = 60");
  refused([](auto& n) { n.own[3] = 2.0; }, "BurnedSurface: own = 2");
  refused([](auto& n) { n.own[4] = 20.0; }, "BurnedSurface: own = 20");
  refused([](auto& n) { n.own[7] = -0.1; }, "BurnedSurface: own = -0.1");
}

}  // namespace
}  // namespace airchain::cylinder
