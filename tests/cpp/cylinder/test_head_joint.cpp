#include <gtest/gtest.h>

#include "airchain/cylinder/head_joint.hpp"
#include "support/bad_input.hpp"

namespace airchain::cylinder {

namespace {

HeadJoint joint() {
  HeadJoint j;
  j.fasteners_per_cylinder = 4.0;
  j.sealing_diameter = 0.107;
  j.fastener_diameter = 0.0127;
  j.torque = 135.0;
  return j;
}

}  // namespace

// Shigley's Mechanical Engineering Design, ch. 8 (from memory): a 3/4 in bolt with K = 0.2 needs
// 3750 lbf in for 25 kip.
TEST(HeadJoint, AgreesWithShigleyTorque) {
  HeadJoint j = joint();
  j.fastener_diameter = 0.75 * 0.0254;
  j.torque = 3750.0 * 4.4482216152605 * 0.0254;
  EXPECT_NEAR(j.fastener_clamp() / 4.4482216152605, 25000.0, 1e-6);
}

TEST(HeadJoint, HoldsWhatItsFastenersClampLessScatterAndGasket) {
  HeadJoint j = joint();
  j.torque = 0.0;
  j.clamp = 80e3;
  j.scatter = 0.1;
  j.gasket_area = 2e-3;
  j.gasket_pressure = 20e6;
  EXPECT_NEAR(j.holding_force(), 4.0 * 80e3 * 0.9 - 40e3, 1e-6);
}

TEST(HeadJoint, IsLiftedByPressureOnItsRing) {
  EXPECT_NEAR(joint().lifting_force(1e7), 1e7 * 0.25 * base::kPi * 0.107 * 0.107, 1e-6);
}

TEST(HeadJoint, NamesTheBadInput) {
  test::expect_every_field_guarded(joint());
  HeadJoint neither = joint();
  neither.torque = 0.0;
  test::expect_refusal([&] { validate(neither); }, "HeadJoint: torque = 0 N m; must be above 0");
  HeadJoint thin = joint();
  thin.fastener_diameter = 0.0;
  test::expect_refusal([&] { validate(thin); }, "fastener_diameter = 0 m; must be above 0");
}

}  // namespace airchain::cylinder
