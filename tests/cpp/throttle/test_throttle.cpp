#include <gtest/gtest.h>

#include <cmath>

#include "airchain/throttle/throttle.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"

namespace airchain::throttle {

namespace {

const Throttle<double> kBody{0.004, 0.85, 0.9};
const double kEffectiveArea = 0.004 * 0.85 * 0.9;

/// Plenum over upstream pressure at a flow parameter W sqrt(R T)/p.
template <class T>
T ratio_at(const Throttle<T>& body, T y) {
  return Throttle<T>::pressure_ratio(y * y * body.per_choked_load());
}

}  // namespace

TEST(Throttle, AgreesWithNozzleConstants) {
  EXPECT_NEAR(kBody.kCriticalRatio, gas::critical_pressure_ratio(1.4), 1e-15);
  EXPECT_NEAR(kBody.kChokedFlow, gas::nozzle_flow_function(0.1, 1.4), 1e-15);
}

// The ellipse inverted: the flow it needs for a pressure ratio, against the nozzle's at gamma 1.4.
TEST(Throttle, StaysWithinItsStatedErrorOfTheNozzle) {
  double worst = 0.0;
  for (double y = 0.001; y < 1.0; y += 0.001) {
    const double flow = y * kBody.kChokedFlow;
    const double ratio = ratio_at(kBody, flow * kEffectiveArea);
    const double error = std::abs(flow / gas::nozzle_flow_function(ratio, 1.4) - 1.0);
    worst = std::max(worst, error);
  }
  EXPECT_LE(worst, 0.0031);
  EXPECT_GE(worst, 0.0029);  // the header's figure is the figure
}

TEST(Throttle, PressureFallsWithFlowThroughChoking) {
  double before = ratio_at(kBody, 0.0);
  EXPECT_EQ(before, 1.0);
  for (double y = 0.01; y < 1.02; y += 0.01) {
    const double now = ratio_at(kBody, y * kBody.kChokedFlow * kEffectiveArea);
    EXPECT_LT(now, before);
    EXPECT_GT(now, 0.0);
    before = now;
  }
}

TEST(Throttle, BeyondChokingTheFlowHardlyGrows) {
  const double halved = ratio_at(kBody, 1.0001 * kBody.kChokedFlow * kEffectiveArea);
  EXPECT_NEAR(halved / kBody.kCriticalRatio, 0.5, 0.01);
}

TEST(Throttle, LanesAgreeBitwiseWithPlainNumbers) {
  test::expect_lanes_agree(
      [](auto y) {
        using T = decltype(y);
        return ratio_at(Throttle<T>{T(0.004), T(0.85), T(0.9)}, y);
      },
      {0.0, 0.001, 0.002, 0.0021});
}

TEST(Throttle, NamesTheBadInput) { test::expect_every_field_guarded(kBody); }

}  // namespace airchain::throttle
