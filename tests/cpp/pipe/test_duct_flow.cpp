#include <gtest/gtest.h>

#include "airchain/base/constants.hpp"
#include "airchain/gas/nozzle.hpp"
#include "runs.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"
#include "support/published.hpp"

namespace airchain::pipe {

using test::closed;
using test::kAir;
using test::open_to;
using test::PlainPipe;
using test::throat_to;

namespace {

double fanno(double m) {  // 4 f L*/D [Shapiro 1953, vol. 1], checked below
  const double g = 1.4;
  const double m2 = m * m;
  return (1 - m2) / (g * m2) + (g + 1) / (2 * g) * std::log((g + 1) * m2 / (2 + (g - 1) * m2));
}
double mach(const Cell<double>& c) {
  return c.velocity / std::sqrt(1.4 * kAir.constant * c.temperature);
}

}  // namespace

TEST(Pipe, KeepsMassEnergyAndCompositionWhenClosed) {
  const auto shape = Shape({0.6, 0.04, 0.06}, 40);  // a cone
  const auto smooth = Shape(0.6, std::vector<double>(41, 0.05), 0.0);
  for (const Shape* s : {&shape, &smooth}) {
    PlainPipe p(*s, kAir);
    for (int i = 0; i < 40; ++i)
      p.set(i, i < 12 ? 3e5 : 1e5, i < 20 ? 900.0 : 300.0, i < 20 ? 30.0 : 0.0, i < 20 ? 1.0 : 0.0);
    p.start();
    p.wall_temperature = 300.0;
    const double mass = p.content(&Cell<double>::mass);
    const double energy = p.content(&Cell<double>::energy);
    const double burned = p.content(&Cell<double>::burned_mass);
    for (int i = 0; i < 10000; ++i) p.advance(0.9 * p.crossing_time(), closed, closed);
    EXPECT_NEAR(p.content(&Cell<double>::mass), mass, 1e-12 * mass);
    EXPECT_NEAR(p.content(&Cell<double>::burned_mass), burned, 1e-12 * burned);
    if (s == &smooth) {
      EXPECT_NEAR(p.content(&Cell<double>::energy), energy, 1e-12 * energy);
    }
    for (int i = 0; i < 40; ++i) {
      EXPECT_GE(p.cell(i).burned, -1e-9);
      EXPECT_LE(p.cell(i).burned, 1.0 + 1e-9);
    }
  }
}

// Gas at rest in a pipe of any shape stays at rest.
TEST(Pipe, LeavesGasAtRestInACone) {
  const auto shape = Shape({0.5, 0.03, 0.08}, 30);
  PlainPipe p(shape, kAir);
  p.fill({1e5, 300.0, 0.0});
  for (int i = 0; i < 1000; ++i)
    p.advance(0.9 * p.crossing_time(), closed, open_to(kAir, 1e5, 300.0));
  for (int i = 0; i < 30; ++i) EXPECT_NEAR(p.cell(i).velocity, 0.0, 1e-8);
}

// Quarter wave, f = a/(4 L) [Kinsler et al., Fundamentals of Acoustics].
TEST(Pipe, AgreesWithQuarterWaveFrequency) {
  for (const auto& row : test::published("pipe_acoustics.csv", "kind", "quarter_wave")) {
    const double length = row.number("length_m");
    const double t0 = row.number("temperature_k");
    const auto shape = test::straight(length, 0.04, 40);
    PlainPipe p(shape, kAir);
    for (int i = 0; i < 40; ++i)  // the fundamental's shape, closed on the left
      p.set(i, 1e5 + 200.0 * std::cos(0.5 * base::kPi * (i + 0.5) / 40), t0, 0.0, 0.0);
    p.start();
    std::vector<double> t, y;
    test::run(p, 0.05, closed, open_to(kAir, 1e5, t0), [&](double now) {
      t.push_back(now);
      y.push_back(p.cell(0).pressure - 1e5);
    });
    const double expected = row.number("frequency_hz");
    EXPECT_NEAR(test::frequency_of(t, y), expected, 0.01 * expected);
  }
}

// Helmholtz resonator with a neck that is not short: k L tan(k L) = A L/V, exact for plane waves
// in the neck and uniform pressure in the volume [Kinsler et al.]; for k L << 1 the familiar
// f = a/(2 pi) sqrt(A/(V L)).
TEST(Pipe, AgreesWithHelmholtzFrequency) {
  for (const auto& row : test::published("pipe_acoustics.csv", "kind", "helmholtz")) {
    const double length = row.number("length_m"), t0 = row.number("temperature_k");
    const double volume = row.number("volume_m3");
    const auto shape = test::straight(length, 0.04, 40);
    PlainPipe p(shape, kAir);
    // The first mode alone, whose pressure in the neck falls as a sine towards the open end.
    const double wave =
        2.0 * base::kPi * row.number("frequency_hz") / std::sqrt(1.4 * kAir.constant * t0);
    const double mode = 500.0 / std::sin(wave * length);
    for (int i = 0; i < 40; ++i) {
      const double rise = mode * std::sin(wave * length * (1.0 - (i + 0.5) / 40));
      p.set(i, 1e5 + rise, t0 * (1.0 + 0.4 / 1.4 * rise / 1e5), 0.0, 0.0);
    }
    p.start();
    double pressure = 1.005e5, mass = pressure * volume / (kAir.constant * t0);
    double energy = pressure * volume / 0.4;
    std::vector<double> t, y;
    double now = 0.0;
    while (now < 0.2) {
      const double dt = 0.9 * p.crossing_time();
      const auto vessel = [&](const test::InGas& in) {
        const auto still =
            still_gas(kAir, pressure, pressure * volume / (mass * kAir.constant), 0.0);
        const auto end = open_end(in, still);
        mass += dt * shape.left_area() * end.flux.mass;
        energy += dt * shape.left_area() * end.flux.energy;
        return end;
      };
      p.advance(dt, vessel, open_to(kAir, 1e5, t0));
      pressure = 0.4 * energy / volume;
      t.push_back(now += dt);
      y.push_back(pressure - 1e5);
    }
    const double expected = row.number("frequency_hz");
    EXPECT_NEAR(test::frequency_of(t, y), expected, 0.01 * expected) << volume;
  }
}

// 4 f L/D between two places of a duct with friction is the difference of Fanno's function.
TEST(Pipe, AgreesWithFannoFlow) {
  for (const auto& row : test::published("fanno.csv"))
    EXPECT_NEAR(fanno(row.number("mach")), row.number("friction_length"),
                5e-6 * row.number("friction_length"));
  const double f = 0.008;
  const auto shape = test::straight(2.0, 0.04, 80, f);
  PlainPipe p(shape, kAir);
  p.fill({1e5, 300.0, 0.0});
  for (const double back : {0.93e5, 0.85e5}) {
    // Colburn's heat is taken out: the wall follows the gas.
    double t = 0.0;
    while (t < 0.4) {
      const double dt = 0.9 * p.crossing_time();
      p.wall_temperature = p.cell(40).temperature;
      p.advance(dt, open_to(kAir, 1e5, 300.0), open_to(kAir, back, 300.0));
      t += dt;
    }
    const double m1 = mach(p.cell(10)), m2 = mach(p.cell(70));
    const double length = 60 * shape.width();
    EXPECT_GT(m1, 0.1);
    EXPECT_NEAR(fanno(m1) - fanno(m2), 4 * f * length / 0.04, 0.01 * 4 * f * length / 0.04);
  }
}

// A converging nozzle into low pressure passes the choked flow, and the throat of a valve its own.
TEST(Pipe, PassesChokedFlow) {
  const double choked =
      gas::nozzle_flow_function(0.0, 1.4) * 3e5 / std::sqrt(kAir.constant * 400.0);
  const auto cone = Shape({0.2, 0.045, 0.03, 0.0}, 60);
  const auto duct = test::straight(0.2, 0.08, 40);
  const auto flow = [&](const Shape& s, const test::Condition& end) {
    PlainPipe p(s, kAir);
    p.fill({1e5, 400.0, 0.0});
    double sum = 0.0;
    test::run(p, 0.1, open_to(kAir, 3e5, 400.0), [&](const test::InGas& in) {
      const auto e = end(in);
      sum = e.flux.mass * s.right_area();
      return e;
    });
    return sum;
  };
  EXPECT_NEAR(flow(cone, open_to(kAir, 0.5e5, 300.0)), choked * cone.right_area(),
              2e-3 * choked * cone.right_area());
  const double ratio = 0.2;
  EXPECT_NEAR(flow(duct, throat_to(kAir, 0.5e5, 300.0, ratio)), choked * ratio * duct.right_area(),
              2e-3 * choked * ratio * duct.right_area());
}

// Four pipes in lanes, each with its own time step, equal four plain ones to the last bit.
TEST(Pipe, LanesAgreeWithPlainNumbers) {
  const auto shape = Shape({0.4, 0.04, 0.05, 0.006}, 20);
  const auto outlet = [&](auto t0, auto open) {
    using T = decltype(t0);
    Pipe<T, gas::PerfectGas> p(shape, kAir);
    p.wall_temperature = T(350.0);
    p.fill({T(1e5), t0, T(0.0)});
    for (int i = 0; i < 200; ++i) {
      const T swing = T(1e5) + T(1e5) * open * T(i % 50 < 25 ? 1.0 : -0.5);
      const auto left = still_gas(kAir, swing, t0 + T(300.0), T(1.0));
      const auto right = still_gas(kAir, T(1e5), t0, T(0.0));
      p.advance(
          T(0.8) * p.crossing_time(),
          [&](const EndGas<T>& in) { return throat_end(in, left, open); },
          [&](const EndGas<T>& in) { return open_end(in, right); });
    }
    return p.cell(7).energy + p.cell(12).burned_mass;
  };
  const std::array<double, 4> t0{280.0, 320.0, 500.0, 300.0};
  const std::array<double, 4> open{0.3, 0.0, 0.8, 0.05};
  const auto lanes = outlet(test::lanes_of(t0), test::lanes_of(open));
  for (int i = 0; i < 4; ++i) {
    const auto k = static_cast<std::size_t>(i);
    EXPECT_TRUE(test::same_bits(outlet(t0[k], open[k]), numerics::lane(lanes, i))) << i;
  }
}

TEST(Pipe, NamesTheBadInput) {
  test::expect_every_field_guarded(Taper{0.3, 0.04, 0.05});
  test::expect_refusal(
      [] {
        Shape({0.3, 0.04, 0.05}, 3);
      },
      "Pipe: cells = 3; must be between 4 and 2000");
  test::expect_refusal([] { Shape({0.02, 0.01, 0.4}, 10); }, "Pipe: slope of the wall");
}

}  // namespace airchain::pipe
