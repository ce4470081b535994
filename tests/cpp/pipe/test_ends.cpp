#include <gtest/gtest.h>

#include "airchain/gas/nozzle.hpp"
#include "exact_riemann.hpp"
#include "runs.hpp"
#include "support/lanes.hpp"

namespace airchain::pipe {

using test::ExactRiemann;
using test::kAir;
using test::Primitive;

namespace {

EndGas<double> moving(double pressure, double temperature, double velocity) {
  auto in = still_gas(kAir, pressure, temperature, 0.0);
  in.velocity = velocity;
  return in;
}
Primitive primitive(const EndGas<double>& in) { return {in.density(), in.velocity, in.pressure}; }

const double kSpeeds[] = {-250.0, -40.0, 0.0, 60.0, 200.0, 330.0, 500.0};

}  // namespace

// Powers at an end are good to 2e-8.

// A wall is the mirror image of the flow [Toro 2009, chapter 4].
TEST(ClosedEnd, AgreesWithExactRiemannSolutionOfTheMirrorImage) {
  for (const double u : kSpeeds) {
    const auto in = moving(1.2e5, 320.0, u);
    const ExactRiemann exact(primitive(in), {in.density(), -u, in.pressure});
    const auto end = closed_end(in);
    EXPECT_NEAR(end.pressure, exact.pressure(), 2e-8 * exact.pressure()) << u;
    EXPECT_NEAR(end.density, exact.density_left(), 2e-8 * end.density) << u;
    EXPECT_EQ(end.flux.mass, 0.0);
  }
}

// Gas that runs into a far thinner gas behaves as into a given pressure; where it would go faster
// than sound the state at the end is that of the fan at x/t = 0.
TEST(OpenEnd, AgreesWithExactRiemannSolutionOfOutflow) {
  for (const double u : kSpeeds) {
    const auto in = moving(2.5e5, 320.0, u);
    const Primitive thin{1e-4, 0.0, 10.0};
    const ExactRiemann exact(primitive(in), thin);
    const Primitive face = exact.at(0.0);
    const auto end = open_end(in, still_gas(kAir, exact.pressure(), 300.0, 0.0));
    EXPECT_NEAR(end.flux.mass, face.density * face.velocity, 4e-8 * end.flux.mass) << u;
    EXPECT_NEAR(end.pressure, face.pressure, 2e-8 * face.pressure) << u;
  }
}

// Entering gas has the total enthalpy and the entropy of the gas outside, and no more than sound.
TEST(OpenEnd, DrawsGasInWithoutLoss) {
  const auto outside = still_gas(kAir, 1.5e5, 350.0, 1.0);
  for (const double p : {0.1e5, 0.9e5, 1.3e5, 1.49e5, 1.4999e5}) {
    const auto end = open_end(moving(p, 300.0, 0.0), outside);
    ASSERT_LT(end.velocity, 0.0);
    const double t = end.pressure / (end.density * kAir.constant);
    EXPECT_NEAR(t * std::pow(outside.pressure / end.pressure, 0.4 / 1.4), 350.0, 5e-6);
    EXPECT_NEAR(end.flux.energy / end.flux.mass, 3.5 * kAir.constant * 350.0, 1e-6);
    EXPECT_LE(-end.velocity, std::sqrt(1.4 * kAir.constant * t) * (1.0 + 1e-9));
    const auto wave = wave_at(moving(p, 300.0, 0.0), end.pressure);
    if (p > 0.5e5) {  // not choked: the wave in the pipe moves at the same speed
      EXPECT_NEAR(wave.velocity, end.velocity, kSpeedTolerance);
    }
    EXPECT_EQ(end.flux.burned, end.flux.mass);
  }
}

// The throat's flow is that of the nozzle formula from the total state upstream.
TEST(Throat, PassesTheNozzleFlowBothWays) {
  for (const double ratio : {1e-6, 0.01, 0.2, 0.6, 0.95}) {
    for (const double outside_p : {0.2e5, 0.8e5, 0.99e5, 1.0001e5, 1.3e5, 5e5}) {
      const auto in = moving(1e5, 300.0, 0.0);
      const auto outside = still_gas(kAir, outside_p, 900.0, 1.0);
      const auto end = throat_end(in, outside, ratio);
      const bool leaving = outside_p < in.pressure;
      double t0 = 900.0, p0 = outside_p, down = end.pressure;
      if (leaving) {
        const double t = end.pressure / (end.density * kAir.constant);
        t0 = t + 0.5 * end.velocity * end.velocity / (3.5 * kAir.constant);
        p0 = end.pressure * std::pow(t0 / t, 3.5);
        down = outside_p;
      }
      const double flow =
          ratio * p0 / std::sqrt(kAir.constant * t0) * gas::nozzle_flow_function(down / p0, 1.4);
      EXPECT_NEAR(end.flux.mass, leaving ? flow : -flow, 1e-6 * flow + 2.0 * kFlowTolerance)
          << ratio << " " << outside_p;
      EXPECT_NEAR(end.flux.energy, end.flux.mass * 3.5 * kAir.constant * t0,
                  1e-9 * std::abs(end.flux.energy));
    }
  }
}

// Between two gases at rest, both ways: p0/sqrt(R T0) times the nozzle function of the upstream
// gas.
TEST(Orifice, PassesTheNozzleFlowBothWays) {
  const auto in = still_gas(kAir, 1e5, 300.0, 0.0);
  for (const double outside_p : {0.2e5, 0.8e5, 1e5, 1.0001e5, 1.3e5, 5e5}) {
    const auto outside = still_gas(kAir, outside_p, 900.0, 1.0);
    const auto flux = orifice_flux(in, outside);
    const bool leaving = outside_p < 1e5;
    const double t0 = leaving ? 300.0 : 900.0, p0 = std::max(1e5, outside_p);
    const double flow = p0 / std::sqrt(kAir.constant * t0) *
                        gas::nozzle_flow_function(std::min(1e5, outside_p) / p0, 1.4);
    EXPECT_NEAR(flux.mass, leaving ? flow : -flow, 1e-7 * flow + 1e-4) << outside_p;
    EXPECT_NEAR(flux.energy, flux.mass * 3.5 * kAir.constant * t0, 1e-9 * std::abs(flux.energy));
    EXPECT_EQ(flux.burned, leaving ? 0.0 : flux.mass);
  }
}

namespace {

/// An outside whose pressure swings, as the gas in the pipe does: both ends draw, let out and
/// close.
struct Swing {
  template <class T>
  static std::pair<EndGas<T>, EndGas<T>> at(int i, T phase) {
    const T wave = T(std::sin(0.05 * i)) * phase;
    auto in = still_gas(kAir, T(1e5) * (T(1.0) + T(0.3) * wave), T(300.0), T(0.0));
    in.velocity = T(40.0) * wave;
    return {in, still_gas(kAir, T(1e5) * (T(1.0) - T(0.2) * wave), T(400.0), T(1.0))};
  }
  static double area(int i) { return std::max(0.0, 0.4 * std::sin(0.02 * i)); }
};

}  // namespace

// What an end remembers of the last steps saves evaluations and moves nothing beyond tolerance.
TEST(EndMemory, ChangesNoResultBeyondTheTolerance) {
  EndMemory<double> open, throat;
  for (int i = 0; i < 600; ++i) {
    const auto [in, outside] = Swing::at(i, 1.0);
    const auto cold = open_end(in, outside), warm = open_end(in, outside, open);
    EXPECT_NEAR(warm.velocity, cold.velocity, 2.0 * kSpeedTolerance) << i;
    const double ratio = Swing::area(i);
    const double flow = throat_end(in, outside, ratio).flux.mass;
    EXPECT_NEAR(throat_end(in, outside, ratio, throat).flux.mass, flow, 4.0 * kFlowTolerance) << i;
  }
}

// Neighbours change no lane's memory, and a lane that forgets starts as a new one.
TEST(EndMemory, BelongsToItsLaneAlone) {
  using test::Lanes;
  const std::array<double, 4> phases{1.0, -1.0, 0.3, -0.05};
  EndMemory<Lanes> open, throat;
  std::array<EndMemory<double>, 4> open_alone, throat_alone;
  for (int i = 0; i < 600; ++i) {
    const auto [in, outside] = Swing::at(i, test::lanes_of(phases));
    const auto ratio = test::lanes_of({Swing::area(i), Swing::area(i + 90), 0.0, 0.3});
    const auto drawn = open_end(in, outside, open);
    const auto passed = throat_end(in, outside, ratio, throat);
    for (int k = 0; k < 4; ++k) {
      const auto n = static_cast<std::size_t>(k);
      const auto [in_k, outside_k] = Swing::at(i, phases[n]);
      const auto alone = open_end(in_k, outside_k, open_alone[n]);
      EXPECT_TRUE(test::same_bits(alone.flux.mass, numerics::lane(drawn.flux.mass, k)));
      const auto past = throat_end(in_k, outside_k, numerics::lane(ratio, k), throat_alone[n]);
      EXPECT_TRUE(test::same_bits(past.flux.energy, numerics::lane(passed.flux.energy, k)));
      EXPECT_TRUE(test::same_bits(past.density, numerics::lane(passed.density, k))) << i;
    }
    if (i == 300) {
      open.forget(1);
      throat.forget(1);
      open_alone[1] = throat_alone[1] = {};
    }
  }
}

// From rest to a small opening and from a small opening to none there is no jump.
TEST(Throat, IsContinuousInAreaAndPressure) {
  const auto in = moving(1e5, 300.0, 20.0);
  const double wall = closed_end(in).pressure;
  for (const double ratio : {0.05, 0.5}) {
    const double below = throat_end(in, still_gas(kAir, wall - 1.0, 300.0, 0.0), ratio).flux.mass;
    const double above = throat_end(in, still_gas(kAir, wall + 1.0, 300.0, 0.0), ratio).flux.mass;
    EXPECT_GT(below, 0.0);
    EXPECT_LT(above, 0.0);
    EXPECT_LT(below - above, 0.02);
  }
  const auto outside = still_gas(kAir, 0.8e5, 300.0, 0.0);
  EXPECT_NEAR(throat_end(in, outside, 1e-9).pressure, wall, 1e-3);
  EXPECT_EQ(throat_end(in, outside, 0.0).pressure, wall);
}

// A hot cylinder far above the pipe's pressure, whose gas already runs away faster than sound: the
// gas enters at the speed of sound with the choked throat's flow, whatever the pipe does.
TEST(Throat, LetsGasInNoFasterThanSound) {
  const auto hot = still_gas(kAir, 12e5, 1450.0, 1.0);
  for (const double ratio : {0.2, 0.5, 0.8}) {
    const auto slow = throat_end(moving(0.5e5, 900.0, -500.0), hot, ratio);
    for (const double u : {-700.0, -1000.0, -1500.0}) {
      const auto end = throat_end(moving(0.5e5, 900.0, u), hot, ratio);
      const double t = end.pressure / (end.density * kAir.constant);
      EXPECT_LE(-end.velocity, std::sqrt(1.4 * kAir.constant * t) * (1.0 + 1e-9)) << u;
      EXPECT_NEAR(end.flux.mass, slow.flux.mass, 1e-4 * -slow.flux.mass) << u;
      EXPECT_NEAR(end.pressure, slow.pressure, 1e-4 * slow.pressure) << u;
    }
  }
}

}  // namespace airchain::pipe
