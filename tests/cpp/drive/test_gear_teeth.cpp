#include <gtest/gtest.h>

#include <cmath>

#include "airchain/drive/gear_teeth.hpp"
#include "support/bad_input.hpp"

namespace airchain::drive {

using test::expect_refusal;

namespace {

constexpr double kInch = 0.0254;
constexpr double kPsi = 6894.757293168;
constexpr double kPound = 4.4482216152605;

// Shigley's Mechanical Engineering Design, example 14-4 (from memory): 17 teeth drive 52, 10 teeth
// an inch, 1.5 in wide, quality 6, 1800 rpm, 4 hp.
GearPair example_pair() {
  GearPair pair;
  pair.driving_teeth = 17;
  pair.driven_teeth = 52;
  pair.module = kInch / 10.0;
  return pair;
}

GearTeeth example_teeth(double size_factor) {
  GearTeeth teeth;
  teeth.face_width = 1.5 * kInch;
  teeth.allowable_bending = 31350.0 * kPsi;
  teeth.allowable_contact = 106400.0 * kPsi;
  teeth.torsional_factor = 1.0;
  teeth.quality = 6.0;
  teeth.load_distribution = 1.22;
  teeth.size_factor = size_factor;
  teeth.driving_geometry_factor = 0.30;
  teeth.driven_geometry_factor = 0.40;
  teeth.elastic_coefficient = 2300.0 * std::sqrt(kPsi);
  return teeth;
}

constexpr double kPitchLine = 801.1 * 12.0 * kInch / 60.0;
constexpr double kForce = 164.8 * kPound;

}  // namespace

// Printed: Kv 1.377, bending 6417 and 4854 psi, contact 70 360 psi (I rounded to 0.121). The metric
// form rounds ft/min to 200 V instead of 196.85 V: Kv and stresses come 0.25 % higher.
TEST(GearStress, AgreesWithShigleyExample14_4) {
  const auto pinion = stress(example_pair(), example_teeth(1.043), kPitchLine, kForce);
  const auto gear = stress(example_pair(), example_teeth(1.052), kPitchLine, kForce);
  EXPECT_NEAR(pinion.dynamic_factor, 1.377, 0.0025 * 1.377);
  EXPECT_NEAR(pinion.driving_bending / kPsi, 6417.0, 0.0025 * 6417.0);
  EXPECT_NEAR(gear.driven_bending / kPsi, 4854.0, 0.0025 * 4854.0);
  EXPECT_NEAR(pinion.contact / kPsi, 70360.0, 0.0013 * 70360.0);
}

// The geometry factors J of the same example, 0.30 and 0.40, hold the concentration of stress and
// a load below the tip; Lewis' factor holds neither, and the two about cancel.
TEST(LewisFormFactor, IsNearTheGeometryFactorsOfShigleyExample14_4) {
  EXPECT_NEAR(lewis_form_factor(17), 0.30, 0.02);
  EXPECT_NEAR(lewis_form_factor(52), 0.40, 0.02);
}

// Shigley, example 14-1 (from memory): 16 teeth, 8 an inch, 1.5 in wide, at 10 kpsi and a velocity
// factor of 1.52 carry 365 lbf.
TEST(LewisFormFactor, AgreesWithShigleyExample14_1) {
  const double carried = 10e3 * 1.5 / 8.0 * lewis_form_factor(16);
  EXPECT_NEAR(carried / 1.52, 365.0, 0.5);
}

TEST(LewisFormFactor, RisesWithTheTeeth) {
  for (double teeth = 12; teeth < 320; teeth += 1)
    EXPECT_LE(lewis_form_factor(teeth), lewis_form_factor(teeth + 1));
}

// Stress of a root is in proportion to the load, that of a flank to its root: both capacities are
// loads.
TEST(GearStress, CapacitiesAreFactorsOnTheLoad) {
  auto teeth = example_teeth(1.0);
  const auto once = stress(example_pair(), teeth, kPitchLine, kForce);
  const auto twice = stress(example_pair(), teeth, kPitchLine, 2.0 * kForce);
  EXPECT_NEAR(once.bending_capacity, 2.0 * twice.bending_capacity, 1e-9);
  EXPECT_NEAR(once.contact_capacity, 2.0 * twice.contact_capacity, 1e-9);
  teeth.torsional_factor = 2.0;
  EXPECT_NEAR(stress(example_pair(), teeth, kPitchLine, kForce).contact, twice.contact, 1.0);
}

TEST(GearStress, OfFlippedGearsIsTheSameAtTheSameMesh) {
  const auto teeth = example_teeth(1.0);
  const auto once = stress(example_pair(), teeth, kPitchLine, kForce);
  const auto other = stress(example_pair().flipped(), teeth.flipped(), kPitchLine, kForce);
  EXPECT_EQ(once.driving_bending, other.driven_bending);
  EXPECT_EQ(once.contact, other.contact);
}

// AGMA: finer gears are rated faster; quality 6 ends near 3 400 ft/min, the curves' own end.
TEST(GearTeeth, FastestPitchLineRisesWithQuality) {
  auto teeth = example_teeth(1.0);
  EXPECT_NEAR(teeth.fastest_pitch_line(), std::pow(59.7727 + 3.0, 2) / 200.0, 0.01);
  const double rough = teeth.fastest_pitch_line();
  teeth.quality = 10.0;
  EXPECT_GT(teeth.fastest_pitch_line(), rough);
  EXPECT_EQ(teeth.dynamic_factor(0.0), 1.0);
}

TEST(GearTeeth, NamesTheBadInput) {
  test::expect_every_field_guarded(example_teeth(1.0));
  GearPair unknown = example_pair();
  unknown.module = 0.0;
  const auto act = [&] { return stress(unknown, example_teeth(1.0), 5.0, 100.0); };
  expect_refusal(act, "GearPair: module = 0 m; must be above 0");
  auto teeth = example_teeth(1.0);
  teeth.driving_geometry_factor = 0.0;
  teeth.pressure_angle = 0.4363;
  expect_refusal([&] { stress(example_pair(), teeth, 5.0, 100.0); },
                 "must be 20 degrees where no geometry factor is given");
  expect_refusal([] { lewis_form_factor(9); }, "GearTeeth: teeth = 9; must be between 12");
  expect_refusal([] { stress(example_pair(), example_teeth(1.0), std::nan(""), 1.0); },
                 "GearStress: pitch_line_speed");
}

}  // namespace airchain::drive
