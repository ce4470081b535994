#include "airchain/cycle/closing_check.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cycle/cycle.hpp"
#include "support/demo_cycle.hpp"

namespace airchain::cycle {

using test::demo_cycle;
using test::demo_point;

namespace {

bool passes(const CycleResult& r) {
  return possible(r, demo_cycle().crank.displacement(), 100e3, 105e3, 0);
}

}  // namespace

TEST(CycleClosingCheck, LetsTheDemoPassAndRefusesEachWrongNumber) {
  const auto sound = solve_line(demo_cycle(), {demo_point(5000, 100e3, 105e3)})[0];
  ASSERT_TRUE(sound.converged && !sound.refused);
  EXPECT_TRUE(passes(sound));
  const auto with = [&](double CycleResult::*member, double value) {
    auto r = sound;
    r.*member = value;
    return r;
  };
  // Drawn at nothing, as a share of next to nothing.
  EXPECT_FALSE(passes(with(&CycleResult::scavenging_loss, 61590.0)));
  EXPECT_FALSE(passes(with(&CycleResult::residual_fraction, 1.1)));
  EXPECT_FALSE(passes(with(&CycleResult::volumetric_efficiency, 1.7)));
  EXPECT_FALSE(passes(with(&CycleResult::volumetric_efficiency, -0.1)));
  EXPECT_FALSE(passes(with(&CycleResult::trapped_mass, 0.0)));
  EXPECT_FALSE(passes(with(&CycleResult::mass_error, 1e-3)));
  EXPECT_FALSE(passes(with(&CycleResult::energy_error, -1e-3)));
  EXPECT_FALSE(passes(with(&CycleResult::exhaust_temperature, -27931.0)));
  EXPECT_FALSE(passes(with(&CycleResult::exhaust_temperature, 4000.0)));
  EXPECT_FALSE(passes(with(&CycleResult::peak_pressure, -1.0)));
  EXPECT_FALSE(passes(with(&CycleResult::gross_imep, 10.0 * sound.gross_imep)));
  for (const auto& number : kResultNumbers) {
    const std::string name = number.name;
    // Where it stands on the crank is not looked at.
    if (name == "cycles" || name == "change" || name == "fresh_mass" || name == "peak_angle" ||
        name == "burn_duration" || name == "burn_start" || name == "half_burned")
      continue;
    EXPECT_FALSE(passes(with(number.member, std::nan("")))) << name;
  }
}

// Behind the door: a charge that holds five times the heat of any fuel's.
TEST(CycleClosingCheck, RefusedPointsTellNoNumbersAndLeaveTheNextAlone) {
  auto s = demo_cycle();
  const auto p = demo_point(5000, 100e3, 105e3);
  s.mixture.heat *= 5.0;
  const auto out = solve_line(s, {p, p});
  for (const auto& r : out) {
    EXPECT_FALSE(r.converged);
    EXPECT_TRUE(r.refused);
    EXPECT_TRUE(std::isnan(r.imep) && std::isnan(r.volumetric_efficiency));
    EXPECT_GT(r.cycles, 0.0);
  }
}

}  // namespace airchain::cycle
