#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cylinder/camshaft.hpp"
#include "airchain/cylinder/port.hpp"
#include "support/bad_input.hpp"

namespace airchain::cylinder {

namespace {

using base::kDegree;

Lobe lobe(double duration, double seat, double lift, double lash = 0.0) {
  Lobe l;
  l.duration = duration * kDegree;
  l.seat_duration = seat * kDegree;
  l.lobe_lift = lift * kInch;
  l.lash = lash;
  return l;
}

Camshaft camshaft() {
  return {112.0 * kDegree, 108.0 * kDegree, lobe(236, 288, 0.36), lobe(244, 296, 0.355)};
}

}  // namespace

// The curve has what was asked of it: both durations, the lift, and gentle or steep flanks.
TEST(LiftCurve, MeetsItsDurationsAndLift) {
  for (const auto& l : {lobe(210, 262, 0.28), lobe(236, 288, 0.36), lobe(270, 308, 0.45)}) {
    const LiftCurve curve(l);
    EXPECT_NEAR(curve.highest(), l.lobe_lift * l.rocker_ratio, 1e-12);
    const auto checked = curve.span_at(kCheckingLift * l.rocker_ratio);
    EXPECT_NEAR(checked.second - checked.first, l.duration, 1e-9);
    const auto seat = curve.span_at(l.seat_lift * l.rocker_ratio);
    EXPECT_NEAR(seat.second - seat.first, l.seat_duration, 1e-9);
    EXPECT_EQ(curve.at(curve.closing() + 1e-6), 0.0);
  }
}

// Acceleration has no jump, through the seat and the lash: the largest change of its second
// difference between neighbours shrinks with their distance, which a jump would not.
TEST(LiftCurve, HasContinuousAcceleration) {
  for (const double lash : {0.0, 0.0005}) {
    const LiftCurve curve(lobe(250, 300, 0.37, lash));
    const auto acceleration = [&](double a) {
      constexpr double h = 2e-4;
      return (curve.at(a + h) - 2.0 * curve.at(a) + curve.at(a - h)) / (h * h);
    };
    double least = 0.0, most = 0.0, jump = 0.0, finer = 0.0;
    for (double a = curve.opening() - 0.1; a < curve.closing() + 0.1; a += 0.001) {
      least = std::min(least, acceleration(a));
      most = std::max(most, acceleration(a));
      jump = std::max(jump, std::abs(acceleration(a + 0.001) - acceleration(a)));
      finer = std::max(finer, std::abs(acceleration(a + 0.0005) - acceleration(a)));
    }
    EXPECT_LT(jump, 0.2 * (most - least)) << lash;
    EXPECT_LT(finer, 0.6 * jump) << lash;
  }
}

TEST(LiftCurve, LashShortensTheEvent) {
  const LiftCurve tight(lobe(250, 300, 0.37)), loose(lobe(250, 300, 0.37, 0.0005));
  EXPECT_NEAR(tight.highest() - loose.highest(), 0.0005, 1e-12);
  EXPECT_LT(loose.closing() - loose.opening(), tight.closing() - tight.opening());
}

TEST(LiftCurve, TakesAMeasuredFile) {
  const LiftCurve formula(lobe(236, 288, 0.36));
  std::vector<double> angle, lift;
  for (int i = -170; i <= 170; ++i) {
    angle.push_back(i * kDegree);
    lift.push_back(formula.at(i * kDegree));
  }
  const LiftCurve measured(angle, lift);
  for (double a = -3.0; a < 3.0; a += 0.0123) EXPECT_NEAR(measured.at(a), formula.at(a), 2e-6);
}

// Common practice, no source: the arithmetic of a cam card.
TEST(ValveEvents, AgreeWithTheCamCard) {
  const auto e = events_at_checking_lift(camshaft());
  EXPECT_NEAR(e.intake_opens / kDegree, 118 - 108, 1e-9);
  EXPECT_NEAR(e.intake_closes / kDegree, 118 + 108 - 180, 1e-9);
  EXPECT_NEAR(e.exhaust_opens / kDegree, 122 + 116 - 180, 1e-9);
  EXPECT_NEAR(e.exhaust_closes / kDegree, 122 - 116, 1e-9);
  EXPECT_NEAR(e.overlap / kDegree, 16, 1e-9);
  EXPECT_NEAR(events_at_seat_lift(camshaft()).overlap / kDegree, 144 + 148 - 2 * 112, 1e-9);
}

TEST(Camshaft, NamesTheBadInput) {
  test::expect_every_field_guarded(lobe(236, 288, 0.36));
  test::expect_every_field_guarded(camshaft());
  test::expect_refusal([] { LiftCurve{lobe(290, 288, 0.36)}; }, "is not below seat_duration = 288");
  test::expect_refusal([] { LiftCurve{lobe(286, 288, 0.36)}; },
                       "Lobe: duration over seat_duration");
  test::expect_refusal([] { LiftCurve{lobe(236, 288, 0.36, 0.0014)}.span_at(0.1); },
                       "lift = 0.1 m");
  test::expect_refusal([] { LiftCurve{{0.0, 1.0, 0.5}, {0.0, 0.001, 0.0}}; }, "angle");
  auto wide = camshaft();
  wide.intake.seat_duration = 440 * kDegree;
  wide.intake.duration = 360 * kDegree;
  test::expect_refusal([&] { validate(wide); }, "Camshaft: intake closing");
}

namespace {

FlowBench bench(BenchConvention convention) {
  FlowBench b;
  b.lift = {0.002, 0.004, 0.008, 0.012};
  b.flow = {0.030, 0.058, 0.098, 0.115};
  b.depression = 6974.0;
  b.pressure = 101325.0;
  b.temperature = 288.15;
  b.convention = convention;
  return b;
}

}  // namespace

// 145.87 ft^3/min per in^2 by Bernoulli at 28 inH2O and 1.225 kg/m^3, 140.39 through an isentropic
// nozzle: both computed from their formulas [Heywood 1988, appendix C], six figures. Dry air with
// 0.04 % carbon dioxide is 2e-5 denser than the standard's.
TEST(FlowBench, AgreesWithBothConventions) {
  const double unit = std::pow(12 * kInch, 3) / 60.0 / (kInch * kInch);  // ft^3/min per in^2
  EXPECT_NEAR(1.0 / area_per_flow(bench(BenchConvention::incompressible)) / unit, 145.874, 0.01);
  EXPECT_NEAR(1.0 / area_per_flow(bench(BenchConvention::compressible)) / unit, 140.393, 0.01);
}

TEST(FlowBench, AreaGoesThroughItsRowsFromTheSeatUp) {
  const auto b = bench(BenchConvention::compressible);
  const auto area = effective_area(b, 0.052, 1);
  EXPECT_EQ(area.at(0.0), 0.0);
  for (std::size_t i = 0; i < b.lift.size(); ++i)
    EXPECT_NEAR(area.at(b.lift[i]), b.flow[i] * area_per_flow(b), 1e-15);
  for (double l = 0.0; l < 0.0118; l += 1e-4) EXPECT_LT(area.at(l), area.at(l + 1e-4));
}

TEST(FlowBench, NamesTheBadInput) {
  const auto good = bench(BenchConvention::compressible);
  test::expect_every_field_guarded(good);
  auto b = good;
  b.lift[2] = 0.003;
  test::expect_refusal([&] { effective_area(b, 0.052, 1); },
                       "FlowBench: lift = 0.003 m; must be rising");
  b = good;
  b.flow[1] = -0.01;
  test::expect_refusal([&] { effective_area(b, 0.052, 1); }, "FlowBench: flow = -0.01");
  b = good;
  b.flow.pop_back();
  test::expect_refusal([&] { effective_area(b, 0.052, 1); }, "as many flows as lifts");
  b = good;
  b.flow[0] = 0.09;
  test::expect_refusal([&] { effective_area(b, 0.052, 1); }, "effective area");
}

}  // namespace airchain::cylinder
