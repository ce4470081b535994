#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cylinder/breathing.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"

namespace airchain::cylinder {

using test::expect_refusal;

namespace {

const std::vector<double> kSpeed{200.0, 450.0, 700.0};
const std::vector<double> kRatio{0.8, 1.4};
const std::vector<double> kValues{0.80, 0.90, 0.95, 1.02, 0.85, 0.97};

}  // namespace

TEST(BreathingTable, PassesThroughTheTypedValues) {
  const auto table = breathing_table(kSpeed, kRatio, kValues);
  for (std::size_t i = 0; i < kSpeed.size(); ++i)
    for (std::size_t j = 0; j < kRatio.size(); ++j)
      EXPECT_EQ(table->at(kSpeed[i], kRatio[j])[0], kValues[2 * i + j]);
}

TEST(BreathingTable, NeverExceedsItsHighestValue) {
  const auto table = breathing_table(kSpeed, kRatio, kValues);
  for (double speed = 150.0; speed < 800.0; speed += 7.0) {
    const double value = table->at(speed, 1.4)[0];
    EXPECT_LE(value, 1.02 + 1e-15);
    EXPECT_GE(value, 0.90 - 1e-15);
  }
}

TEST(BreathingTable, OneValueForEverySpeedKnowsNoPressureRatio) {
  const auto table = breathing_table(kSpeed, {1.0}, {0.8, 0.95, 0.85});
  EXPECT_EQ(table->at(300.0, 0.7)[0], table->at(300.0, 2.5)[0]);
  EXPECT_TRUE(table->inside_v(2.5));
  EXPECT_FALSE(table->inside_u(710.0));
}

TEST(Breathing, FollowsItsPowerOfChargeTemperature) {
  Breathing<double> breathing;
  breathing.scale = 1.1;
  EXPECT_NEAR(breathing.temperature_factor(298.15), 1.1, 1e-15);
  EXPECT_NEAR(breathing.temperature_factor(4.0 * 298.15), 1.1 * std::pow(4.0, 0.4), 1e-14);
  breathing.temperature_exponent = 0.0;
  EXPECT_NEAR(breathing.temperature_factor(400.0), 1.1, 1e-15);
  test::expect_lanes_agree([](auto t) { return Breathing<decltype(t)>{}.temperature_factor(t); },
                           {250.0, 298.15, 330.0, 400.0});
}

TEST(Breathing, NamesTheBadInput) {
  test::expect_every_field_guarded(Breathing<double>{});
  expect_refusal([] { breathing_table({200.0}, {1.0}, {95.0}); },
                 "Breathing: volumetric_efficiency = 95; must be between 0.1 and 1.6; give a");
  expect_refusal([] { breathing_table({200.0}, {-1.0}, {0.9}); },
                 "Breathing: pressure_ratio = -1; must be between 0.05 and 10");
  expect_refusal(
      [] {
        breathing_table({400.0, 200.0}, {1.0}, {0.9, 0.8});
      },
      "Breathing: engine_speed[1] = 200; must be greater than");
  expect_refusal(
      [] {
        breathing_table({200.0, 400.0}, {1.0}, {0.9});
      },
      "Breathing: the table has 1 values; must be 2 x 1 values");
}

}  // namespace airchain::cylinder
