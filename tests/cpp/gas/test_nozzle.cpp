#include <gtest/gtest.h>

#include <cmath>

#include "airchain/gas/nozzle.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::gas {

using test::published;

// Seven figures computed from the printed formulas.
TEST(NozzleFlow, AgreesWithHeywoodAppendixC) {
  for (const auto& row : published("heywood_nozzle.csv", "quantity", "flow"))
    EXPECT_NEAR(nozzle_flow_function(row.number("pressure_ratio"), row.number("gamma")),
                row.number("value"), 1e-7);
}

TEST(NozzleFlow, AgreesWithHeywoodChokedFlow) {
  for (const auto& row : published("heywood_nozzle.csv", "quantity", "choked_flow"))
    for (const double ratio : {0.5, 0.2, 1e-3})
      EXPECT_NEAR(nozzle_flow_function(ratio, row.number("gamma")), row.number("value"), 1e-7);
}

TEST(CriticalPressureRatio, AgreesWithNacaReport1135) {
  for (const auto& row : published("heywood_nozzle.csv", "quantity", "critical_ratio"))
    EXPECT_NEAR(critical_pressure_ratio(row.number("gamma")), row.number("value"), 1e-7);
}

TEST(NozzleFlow, VanishesWithoutPressureDropAndNeverReverses) {
  EXPECT_EQ(nozzle_flow_function(1.0, 1.4), 0.0);
  EXPECT_EQ(nozzle_flow_function(1.2, 1.4), 0.0);
}

TEST(NozzleFlow, GrowsAsThePressureBehindFallsAndJoinsTheChokedFlowSmoothly) {
  const double critical = critical_pressure_ratio(1.4);
  double before = 0.0;
  for (double r = 0.999; r > critical; r -= 0.001) {
    const double now = nozzle_flow_function(r, 1.4);
    EXPECT_GT(now, before);
    before = now;
  }
  EXPECT_NEAR(nozzle_flow_function(critical + 1e-5, 1.4), nozzle_flow_function(0.3, 1.4), 1e-9);
}

// Small pressure drops are incompressible: y^2 = 2 (1 - r) [Bernoulli].
TEST(NozzleFlow, IsIncompressibleInTheLimit) {
  EXPECT_NEAR(nozzle_flow_function(1.0 - 1e-5, 1.33), std::sqrt(2e-5), 1e-5 * std::sqrt(2e-5));
}

TEST(NozzleFlow, LanesAgreeBitwiseWithPlainNumbers) {
  test::expect_lanes_agree([](auto r) { return nozzle_flow_function(r, decltype(r)(1.38)); },
                           {0.1, 0.7, 0.95, 1.1});
}

}  // namespace airchain::gas
