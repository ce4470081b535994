#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <utility>

#include "airchain/compressor/meanline_diffuser.hpp"
#include "compressor/test_meanline_machines.hpp"

namespace airchain::compressor {
namespace {

// [NACA1135] table II, gamma = 1.4: A/A* = 1.340 at Mach 0.50 and 1.038 at 0.80 (four figures).
TEST(ThroughFlow, AgreesWithNacaReport1135) {
  const PerfectGas gas{1.4, 287.055};
  const double choked = choked_mass_flow(gas, 300.0, 1e5, 0.01);
  for (auto [mach, area_ratio] : {std::pair{0.5, 1.340}, std::pair{0.8, 1.038}}) {
    const double c = through_flow_velocity(gas, 300.0, 1e5, 0.0, choked / area_ratio, 0.01);
    const GasState s = moving(gas, 300.0, 1e5, c);
    // Half a unit of A/A* is 4e-4 relative; near sonic the Mach number moves more.
    EXPECT_NEAR(c / gas.sonic_speed(s.temperature), mach, 0.002);
  }
  EXPECT_TRUE(std::isnan(through_flow_velocity(gas, 300.0, 1e5, 0.0, 1.0001 * choked, 0.01)));
}

TEST(ThroughFlow, CarriesTheFlowFromAnyGuess) {
  const PerfectGas gas{1.4, 287.055};
  std::mt19937 random(11);
  const auto draw = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(random);
  };
  for (int i = 0; i < 2000; ++i) {
    const double swirl = draw(0.0, 300.0);
    const double start = 300.0 - 0.5 * swirl * swirl / gas.heat_capacity();
    const double choked =
        choked_mass_flow(gas, start, 1e5 * gas.pressure_ratio(start / 300.0), 0.01);
    const double share = i % 3 == 0 ? 1.0 - std::pow(10.0, draw(-9.0, -1.0)) : draw(0.01, 1.0);
    const double guess = i % 4 == 0 ? 0.0 : draw(1.0, 500.0);
    const double c = through_flow_velocity(gas, 300.0, 1e5, swirl, share * choked, 0.01, guess);
    const GasState s = moving(gas, 300.0, 1e5, std::hypot(c, swirl));
    EXPECT_NEAR(s.density * 0.01 * c / (share * choked), 1.0, 1e-11) << share << " " << guess;
    EXPECT_LT(c, gas.sonic_speed(s.temperature)) << share << " " << guess;
    EXPECT_TRUE(std::isnan(
        through_flow_velocity(gas, 300.0, 1e5, swirl, (2.0 - share) * choked, 0.01, guess)));
  }
}

// [Incropera] table A.4 prints 184.6e-7 Pa s at 300 K and 230.1e-7 at 400 K; Sutherland's law is
// good to about 1 %.
TEST(AirViscosity, AgreesWithAHandbookTable) {
  EXPECT_NEAR(air_viscosity(300.0), 184.6e-7, 1e-2 * 184.6e-7);
  EXPECT_NEAR(air_viscosity(400.0), 230.1e-7, 1e-2 * 230.1e-7);
}

// [Colebrook1939] solved here; Haaland's form is within 2 % of it by its author's claim.
TEST(FrictionFactor, AgreesWithColebrook) {
  for (double reynolds : {1e4, 1e5, 1e6}) {
    for (double roughness : {0.0, 1e-4, 1e-3, 1e-2}) {
      double root = 7.0;
      for (int i = 0; i < 50; ++i)
        root = -2.0 * std::log10(roughness / 3.7 + 2.51 * root / reynolds);
      EXPECT_NEAR(friction_factor(reynolds, roughness) * 4.0 * root * root, 1.0, 0.02);
    }
  }
}

// Chart of [Senoo and Kinoshita 1977], from memory: about 78 degrees at b/r = 0.1, falling as the
// diffuser widens.
TEST(VanelessStall, AgreesWithTheChartFromMemory) {
  EXPECT_NEAR(vaneless_stall_angle(0.1) / kRadian, 78.0, 2.0);
  EXPECT_GT(vaneless_stall_angle(0.05), vaneless_stall_angle(0.15));
}

class MeanlineLaws : public testing::TestWithParam<double> {
 protected:
  const Stage stage_ = race_blower(30.0);
  const MeanlinePoint p_ = meanline_point(stage_, kRaceDesignSpeed, GetParam());
};

TEST_P(MeanlineLaws, WorkIsEulerWorkPlusParasiticWork) {
  const VelocityTriangle& exit = p_.impeller_exit;
  const double blade = p_.slip_factor * exit.blade_speed -
                       exit.meridional * std::tan(stage_.impeller.exit_backsweep);
  EXPECT_NEAR(exit.tangential, blade, 1e-9 * blade);
  EXPECT_DOUBLE_EQ(p_.inlet_mean.tangential, 0.0);
  const double euler = exit.blade_speed * exit.tangential;
  EXPECT_NEAR(p_.work, euler + p_.parasitic_work.sum(), 1e-9 * p_.work);
  // The same from the temperatures of the states.
  const ReferenceState air;
  const double cp = air.gamma * air.gas_constant / (air.gamma - 1.0);
  EXPECT_NEAR(cp * (p_.vaneless_exit_state.total_temperature - p_.inlet_state.total_temperature),
              p_.work, 1e-9 * p_.work);
}

TEST_P(MeanlineLaws, MassPassesEveryStation) {
  const Impeller& i = stage_.impeller;
  const double eye =
      base::kPi * (1.0 - i.inlet_blockage) *
      (i.inlet_tip_radius * i.inlet_tip_radius - i.inlet_hub_radius * i.inlet_hub_radius);
  const double exit =
      i.exit_width * (2.0 * base::kPi * i.exit_radius * (1.0 - i.exit_blockage) -
                      effective_blades(i) * i.exit_blade_thickness / std::cos(i.exit_backsweep));
  const Diffuser& d = stage_.diffuser;
  const double end = 2.0 * base::kPi * d.exit_radius * d.exit_width;
  const double flow = GetParam();
  EXPECT_NEAR(p_.inlet_state.density * p_.inlet_mean.meridional * eye, flow, 1e-9 * flow);
  EXPECT_NEAR(p_.impeller_exit_state.density * p_.impeller_exit.meridional * exit, flow,
              1e-9 * flow);
  EXPECT_NEAR(p_.vaneless_exit_state.density * p_.vaneless_exit.meridional * end, flow,
              1e-9 * flow);
}

TEST_P(MeanlineLaws, LossesAccountForThePressure) {
  const PressureLosses& q = p_.pressure_losses;
  const double lost = q.vaneless_friction + q.volute_tangential + q.volute_meridional +
                      q.volute_friction + q.volute_cone;
  const ReferenceState air;
  EXPECT_NEAR(p_.impeller_exit_state.total_pressure - p_.pressure_ratio * air.pressure, lost,
              1e-9 * air.pressure);
  for (double loss : {q.vaneless_friction, q.volute_tangential, q.volute_meridional,
                      q.volute_friction, q.volute_cone})
    EXPECT_GE(loss, 0.0);
  EXPECT_LT(p_.efficiency, p_.impeller_efficiency);
  EXPECT_LT(p_.impeller_efficiency, 1.0);
  EXPECT_GT(p_.efficiency, 0.0);
}

// A vaneless space turns angular momentum only into friction.
TEST_P(MeanlineLaws, SwirlFallsAtLeastAsTheRadiusGrows) {
  const double in = p_.impeller_exit.radius * p_.impeller_exit.tangential;
  const double out = p_.vaneless_exit.radius * p_.vaneless_exit.tangential;
  EXPECT_LT(out, in);
  EXPECT_GT(out, 0.7 * in);
  EXPECT_GT(p_.vaneless_exit_state.pressure, p_.impeller_exit_state.pressure);
}

INSTANTIATE_TEST_SUITE_P(Flow, MeanlineLaws, testing::Values(0.6, 0.8, 1.0, 1.1));

// Double the size at half the speed: four times the flow at the same tip speed. Only Reynolds
// numbers and relative roughness differ, and both help the larger machine.
TEST(Meanline, FollowsSimilarity) {
  const Stage small = race_blower(30.0);
  Stage large = small;
  Impeller& i = large.impeller;
  for (double* length : {&i.inlet_hub_radius, &i.inlet_tip_radius, &i.inlet_blade_thickness,
                         &i.exit_radius, &i.exit_width, &i.exit_blade_thickness, &i.axial_length,
                         &i.tip_clearance, &large.diffuser.inlet_width, &large.diffuser.exit_radius,
                         &large.diffuser.exit_width, &large.volute->throat_radius})
    *length *= 2.0;
  for (double* area :
       {&i.inducer_throat_area, &large.volute->throat_area, &large.volute->exit_area})
    *area *= 4.0;
  const MeanlinePoint a = meanline_point(small, 4000.0, 0.9);
  const MeanlinePoint b = meanline_point(large, 2000.0, 3.6);
  EXPECT_NEAR(b.work_coefficient, a.work_coefficient, 0.005);
  EXPECT_GT(b.efficiency, a.efficiency);
  EXPECT_LT(b.efficiency, a.efficiency + 0.03);
}

TEST(Meanline, SmallerThroatsChokeSooner) {
  Stage inducer = race_blower(30.0);
  const double before = predict_line_ends(inducer, kRaceDesignSpeed).right_flow;
  inducer.impeller.inducer_throat_area *= 0.9;
  EXPECT_NEAR(predict_line_ends(inducer, kRaceDesignSpeed).right_flow, 0.9 * before, 0.01 * before);

  Stage vanes = hecc_stage();
  const double wide = predict_line_ends(vanes, kHeccDesignSpeed).right_flow;
  vanes.diffuser.vanes->throat_area *= 0.9;
  const double narrow = predict_line_ends(vanes, kHeccDesignSpeed).right_flow;
  EXPECT_LT(narrow, 0.95 * wide);
  EXPECT_GT(narrow, 0.85 * wide);
}

TEST(Meanline, EveryFaultCostsEfficiency) {
  const MeanlinePoint good = meanline_point(race_blower(30.0), kRaceDesignSpeed, 0.9);
  const auto efficiency_with = [](auto&& change) {
    Stage stage = race_blower(30.0);
    change(stage);
    return meanline_point(stage, kRaceDesignSpeed, 0.9).efficiency;
  };
  EXPECT_LT(efficiency_with([](Stage& s) { s.impeller.tip_clearance *= 2.0; }), good.efficiency);
  EXPECT_LT(efficiency_with([](Stage& s) { s.impeller.roughness *= 5.0; }), good.efficiency);
  EXPECT_LT(efficiency_with([](Stage& s) { s.volute->roughness *= 5.0; }), good.efficiency);
  EXPECT_LT(efficiency_with([](Stage& s) { s.volute->throat_area *= 1.5; }), good.efficiency);
  EXPECT_LT(efficiency_with([](Stage& s) {
              s.impeller.inlet_tip_blade_angle -= 10.0 * kRadian;
              s.impeller.inlet_hub_blade_angle -= 10.0 * kRadian;
            }),
            good.efficiency);
}

TEST(Meanline, SaysWhatChokes) {
  const Stage race = race_blower(30.0);
  const double choke = inducer_choke_flow(race.impeller, kRaceDesignSpeed, {});
  MeanlinePoint p = meanline_point(race, kRaceDesignSpeed, 1.01 * choke);
  EXPECT_EQ(p.status, MeanlineStatus::inducer_choked);
  EXPECT_TRUE(std::isnan(p.pressure_ratio));
  EXPECT_TRUE(std::isnan(p.impeller_losses.sum()));
  EXPECT_TRUE(std::isnan(p.vaneless_exit.mach));

  p = meanline_point(hecc_stage(), 0.7 * kHeccDesignSpeed, 3.5);
  EXPECT_EQ(p.status, MeanlineStatus::diffuser_choked);
  EXPECT_TRUE(std::isnan(p.efficiency));

  Stage narrow = race;
  narrow.impeller.exit_width = 0.003;
  narrow.diffuser.inlet_width = 0.003;
  p = meanline_point(narrow, kRaceDesignSpeed, 1.0);
  EXPECT_EQ(p.status, MeanlineStatus::impeller_exit_choked);
}

// Whatever the dimensions, a solved point has numbers and breaks no law.
TEST(Meanline, NeverCallsAPointSolvedThatIsNot) {
  std::mt19937 engine(7);
  const auto draw = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(engine()) / 4294967295.0;
  };
  int solved = 0;
  for (int n = 0; n < 20000; ++n) {
    Stage stage = race_blower(draw(-20.0, 60.0));
    Impeller& i = stage.impeller;
    i.inlet_tip_radius = draw(0.025, 0.09);
    i.exit_width = draw(0.004, 0.02);
    i.full_blades = std::floor(draw(5.0, 20.0));
    i.inducer_throat_area =
        draw(0.2, 0.8) * base::kPi * (i.inlet_tip_radius * i.inlet_tip_radius - 0.0004);
    stage.diffuser.inlet_width = i.exit_width * draw(0.7, 1.1);
    stage.diffuser.exit_width = stage.diffuser.inlet_width * draw(0.5, 1.1);
    if (n % 2 == 0) stage.volute.reset();
    if (n % 3 == 0) stage.diffuser.vanes = Vanes{draw(0.8, 1.45), draw(2e-4, 1e-3), 2.5, 0.18, 1.0};
    const MeanlinePoint p = meanline_point(stage, draw(500.0, 5500.0), draw(0.01, 2.0));
    if (p.status != MeanlineStatus::solved) {
      EXPECT_TRUE(std::isnan(p.pressure_ratio));
      continue;
    }
    ++solved;
    ASSERT_TRUE(std::isfinite(p.pressure_ratio) && std::isfinite(p.efficiency) &&
                std::isfinite(p.stall_ratio) && std::isfinite(p.work));
    EXPECT_GT(p.pressure_ratio, 0.0);
    EXPECT_LT(p.impeller_exit.meridional,
              1.0001 * std::sqrt(1.402 * 287.06 * p.impeller_exit_state.temperature));
    EXPECT_TRUE(p.work <= 0.0 || p.efficiency < 1.0);
  }
  EXPECT_GT(solved, 4000);
}

}  // namespace
}  // namespace airchain::compressor
