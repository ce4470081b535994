#include <gtest/gtest.h>

#include <cmath>
#include <utility>

#include "airchain/base/constants.hpp"
#include "airchain/drive/drive.hpp"
#include "support/bad_input.hpp"
#include "support/published.hpp"

namespace airchain::drive {

using test::expect_refusal;

namespace {

GearPair gears(double driving, double driven) {
  GearPair pair;
  pair.driving_teeth = driving;
  pair.driven_teeth = driven;
  pair.module = 0.0025;
  return pair;
}

PulleyPair ribbed() {
  PulleyPair pair;
  pair.driving_diameter = 0.18;
  pair.driven_diameter = 0.075;
  pair.slip = 0.02;
  pair.centre_distance = 0.3;
  pair.friction_coefficient = 0.9;
  pair.static_tension = 900.0;
  pair.belt_mass_per_length = 0.12;
  return pair;
}

PulleyPair toothed() {
  PulleyPair pair;
  pair.driving_diameter = 0.15;
  pair.driven_diameter = 0.10;
  pair.rated_tension = 4000.0;
  return pair;
}

StepUp step_up() {
  StepUp inside;
  inside.speed_ratio = 4.1;
  inside.efficiency = 0.97;
  return inside;
}

const std::vector<Link>& train() {
  static const std::vector<Link> links{gears(34, 31), ribbed(), step_up()};
  return links;
}

double half_grip(double ratio) { return 2.0 * (ratio - 1.0) / (ratio + 1.0); }

}  // namespace

TEST(GearPair, FlippedIsTheReciprocalOnTheSameCentres) {
  const auto pair = gears(41, 29);
  EXPECT_NEAR(pair.ratio() * pair.flipped().ratio(), 1.0, 1e-15);
  EXPECT_EQ(pair.flipped().centre_distance(), pair.centre_distance());
  EXPECT_NEAR(pair.centre_distance(), 0.0025 * 35.0, 1e-15);
  EXPECT_EQ(pair.flipped().flipped().ratio(), pair.ratio());
}

TEST(Rotation, ReversesWithEveryExternalMesh) {
  StepUp reversing = step_up();
  reversing.reversing = 1.0;
  EXPECT_EQ(rotation({}), 1);
  EXPECT_EQ(rotation({gears(30, 20)}), -1);
  EXPECT_EQ(rotation({gears(30, 20), gears(20, 30)}), 1);
  EXPECT_EQ(rotation({ribbed(), step_up()}), 1);
  EXPECT_EQ(rotation({gears(30, 20), reversing}), 1);
}

// [Euler and Eytelwein, as in Shigley ch. 17] tight over slack side at the wrap of equal pulleys
// or, for the second row, of the smaller one. At rest both sides sum to twice the static tension.
TEST(PulleyPair, AgreesWithCapstanEquation) {
  for (const auto& row : test::published("shigley_belts.csv")) {
    PulleyPair pair = ribbed();
    pair.friction_coefficient = row.number("friction_coefficient");
    const double wrap = row.number("wrap_deg") * base::kPi / 180.0;
    const double half = 0.5 * (pair.driving_diameter - pair.driven_diameter);
    const double cosine = std::cos(0.5 * wrap);
    pair.centre_distance = cosine > 1e-9 ? half / cosine : 0.0;  // 0: half a turn
    EXPECT_NEAR(pair.wrap_angle(), wrap, 1e-12);
    EXPECT_NEAR(pair.tension_capacity() / pair.static_tension,
                half_grip(row.number("tension_ratio")), 1e-5);
  }
}

// [Shigley ch. 17] 75 kW at 40 m/s need 1875 N, and 0.12 kg/m loses 192 N to centrifugal force.
TEST(Loads, AgreesWithShigleyBelt) {
  PulleyPair pair = ribbed();
  pair.slip = 0.0;
  pair.efficiency = 1.0;
  const double crank_speed = 40.0 / (0.5 * pair.driving_diameter);
  const double rotor_speed = crank_speed * pair.ratio();
  const auto row = loads({pair}, crank_speed, 75e3 / rotor_speed).front();
  EXPECT_NEAR(row.pitch_line_speed, 40.0, 1e-12);
  EXPECT_NEAR(row.effective_tension, 1875.0, 1e-9);
  const double lost = pair.tension_capacity() - row.tension_capacity;
  EXPECT_NEAR(lost, 192.0 * pair.tension_capacity() / pair.static_tension, 1e-9);
  EXPECT_NEAR(toothed().capacity_lost_to_speed(), toothed().belt_mass_per_length, 0.0);
}

TEST(Loads, PowerBalanceClosesThroughTheLinks) {
  const auto table = loads(train(), 600.0, 6.5);
  double lost = 0.0;
  for (std::size_t i = 0; i < table.size(); ++i) {
    const auto& row = table[i];
    EXPECT_NEAR(row.torque_in * row.speed_in, row.power_in, 1e-12 * row.power_in);
    EXPECT_NEAR(row.torque_out * row.speed_out, row.power_in - row.power_loss, 1e-9);
    EXPECT_GT(row.power_loss, 0.0);
    lost += row.power_loss;
    if (i == 0) continue;
    EXPECT_EQ(row.speed_in, table[i - 1].speed_out);
    EXPECT_NEAR(row.torque_in, table[i - 1].torque_out, 1e-12 * row.torque_in);
  }
  const double delivered = 6.5 * table.back().speed_out;
  EXPECT_NEAR(table.front().power_in, delivered + lost, 1e-9);
  const auto drive = reduce(train());
  EXPECT_NEAR(delivered / drive.efficiency, table.front().power_in, 1e-9);
  EXPECT_NEAR(600.0 * drive.speed_ratio(), table.back().speed_out, 1e-9);
}

TEST(Reduce, SeesTheSameBeltAsTheLoads) {
  const auto drive = reduce(train());
  const auto row = loads(train(), 600.0, 6.5)[1];
  const auto& belt = drive.belts[0];
  const double rotor_power = 6.5 * 600.0 * drive.speed_ratio();
  const double speed = 600.0 * belt.speed_per_crank_speed;
  EXPECT_NEAR(speed, row.pitch_line_speed, 1e-12);
  EXPECT_NEAR(rotor_power * belt.power_per_rotor_power / speed, row.effective_tension, 1e-9);
  EXPECT_NEAR(belt.capacity - belt.mass_term * speed * speed, row.tension_capacity, 1e-9);
  EXPECT_EQ(drive.belts[1].capacity, base::kInfinity);
}

TEST(Reduce, KeepsTheRestAndSplitsTheRatio) {
  Drive<double> rest;
  rest.drag_torque = 0.1;
  rest.rotor_speed_limit = 7000.0;
  const auto drive = reduce(train(), rest);
  EXPECT_EQ(drive.drag_torque, 0.1);
  EXPECT_EQ(drive.rotor_speed_limit, 7000.0);
  EXPECT_NEAR(drive.step_up, 4.1, 1e-15);
  EXPECT_NEAR(drive.drive_ratio, 34.0 / 31.0 * (0.18 / 0.075 * 0.98), 1e-14);
  EXPECT_EQ(reduce({}).speed_ratio(), 1.0);
}

// Gears and pulleys are a power balance: the tooth force on the pitch circle is P/v.
TEST(Loads, GearsShowPitchLineSpeedAndToothForce) {
  const auto row = loads({gears(34, 31)}, 600.0, 20.0).front();
  EXPECT_NEAR(row.pitch_line_speed, 600.0 * 0.5 * 0.0025 * 34.0, 1e-12);
  EXPECT_NEAR(row.pitch_line_speed, row.speed_out * 0.5 * 0.0025 * 31.0, 1e-10);
  EXPECT_NEAR(row.effective_tension * row.pitch_line_speed, row.power_in, 1e-9);
  EXPECT_TRUE(std::isnan(row.shaft_load));
  EXPECT_NEAR(loads({ribbed()}, 600.0, 5.0).front().shaft_load, 1800.0, 1e-12);
}

// The kinetic energy seen from both shafts is the same.
TEST(ReflectedInertia, KeepsKineticEnergy) {
  EXPECT_NEAR(reflected_inertia(3e-4, 9.0) * 600.0 * 600.0, 3e-4 * 5400.0 * 5400.0, 1e-9);
}

// Equal pulleys: two straights and two halves; unlike ones: arcs and tangents laid out point by
// point around circles of 180 and 75 mm at 300 mm.
TEST(PulleyPair, BeltGoesAroundBothPulleys) {
  PulleyPair pair = ribbed();
  const double tilt = std::asin((0.09 - 0.0375) / 0.3);
  const double tangent = 0.3 * std::cos(tilt);
  const double arcs = 0.09 * (base::kPi + 2.0 * tilt) + 0.0375 * (base::kPi - 2.0 * tilt);
  EXPECT_NEAR(pair.belt_length(), 2.0 * tangent + arcs, 1e-12);
  std::swap(pair.driving_diameter, pair.driven_diameter);
  EXPECT_NEAR(pair.belt_length(), 2.0 * tangent + arcs, 1e-12);
  pair.driving_diameter = pair.driven_diameter;
  EXPECT_NEAR(pair.belt_length(), 0.6 + base::kPi * pair.driven_diameter, 1e-12);
  pair.centre_distance = 0.0;
  EXPECT_TRUE(std::isnan(pair.belt_length()));
}

TEST(PulleyPair, WithoutFiguresCarriesAnything) {
  PulleyPair pair = ribbed();
  pair.static_tension = 0.0;
  EXPECT_EQ(pair.tension_capacity(), base::kInfinity);
  EXPECT_EQ(pair.capacity_lost_to_speed(), 0.0);
}

TEST(Links, NameTheBadInput) {
  test::expect_every_field_guarded(gears(34, 31));
  test::expect_every_field_guarded(step_up());
  test::expect_every_field_guarded(ribbed());
  test::expect_every_field_guarded(Drive<double>{});
  expect_refusal([] { validate(gears(30.5, 20)); },
                 "GearPair: driving_teeth = 30.5; must be a whole number from 8 to 200");
  expect_refusal([] { validate(gears(30, 0)); }, "GearPair: driven_teeth = 0; must be between 8");
  PulleyPair overlapping = ribbed();
  overlapping.centre_distance = 0.12;
  expect_refusal([&] { validate(overlapping); },
                 "PulleyPair: centre_distance = 0.12 m; must be above 0.1275 m, or the pulleys");
  PulleyPair slipping = toothed();
  slipping.slip = 0.02;
  expect_refusal([&] { validate(slipping); }, "toothed belts do not slip, they jump or shear");
}

TEST(Reduce, NamesTheBadInput) {
  expect_refusal(
      [] {
        reduce({ribbed(), ribbed(), ribbed()});
      },
      "Drive: the train has a third pulley pair; must be at most two");
  expect_refusal([] { loads(train(), 0.0, 1.0); }, "Drive: crank_speed = 0 rad/s");
}

}  // namespace airchain::drive
