#include "airchain/engine/rooms.hpp"

#include <gtest/gtest.h>

#include "support/pulse.hpp"

namespace airchain::engine {

namespace {

using namespace test;

/// A room with a pipe to the outside and some pipes, closed at their far ends, that open into it.
struct Junction {
  gas::Charge gas = perfect_gas();
  pipe::Shape own, shape;
  RoomPlan plan;
  Rooms<double> rooms;
  std::vector<pipe::Pipe<double, gas::Charge>> pipes;

  Junction(double volume, const pipe::Shape& outlet, const pipe::Shape& runner, int count)
      : own(outlet),
        shape(runner),
        plan{volume, count * runner.left_area() + outlet.left_area(), 0.0, 0.0, &own, &own, 300.0,
             -1},
        rooms({1, false, &plan}, false, gas) {
    rooms.fill({kPressure, kTemperature, 0.0});
    for (int i = 0; i < count; ++i) {
      pipes.emplace_back(shape, gas);
      pipes.back().fill({kPressure, kTemperature, 0.0});
    }
    rooms.begin_round();
  }
  double step() {
    double dt = rooms.longest_step(0.9);
    for (const auto& p : pipes) dt = std::min(dt, 0.9 * p.crossing_time());
    rooms.prepare(dt);
    const auto& g = rooms.gas(0);
    const auto seen = pipe::still_gas(gas, g.pressure, g.temperature, g.burned);
    for (auto& p : pipes)
      p.advance(
          dt,
          [&](const pipe::EndGas<double>& arriving) {
            const auto end = pipe::open_end(arriving, seen);
            rooms.take(0, amount_of(dt * shape.left_area(), end.flux, 0));
            return end;
          },
          [&](const pipe::EndGas<double>& arriving) { return pipe::closed_end(arriving); });
    rooms.finish(dt);
    return dt;
  }
  double mass() const {
    double sum = rooms.stored().mass;
    for (const auto& p : pipes) sum += p.content(&pipe::Cell<double>::mass);
    return sum;
  }
  double energy() const {
    double sum = rooms.stored().energy;
    for (const auto& p : pipes) sum += p.content(&pipe::Cell<double>::energy);
    return sum;
  }
};

}  // namespace

// [Benson 1982, section 7.4] One-dimensional acoustics of a branch: continuity and one pressure. A
// merge that kept the momentum of the jets would balance as well and reflect +0.03.
TEST(Rooms, AgreesWithTheScatteringOfAPulseAtAJunction) {
  const double area = area_of(0.044), length = 2.0, height = 50.0;
  const double sum = 7.17 * area;
  Junction j(2e-5, straight(length, diameter_of(3.17 * area), 400), straight(length, 0.044, 400),
             4);
  put_pulse(j.pipes[0], length, 1.0, 0.15, height);
  for (double t = 0.0; t < 2.0 / kSound;) t += j.step();
  const double passes = 2.0 * area / sum;
  EXPECT_NEAR(passes, 0.279, 5e-4);
  EXPECT_NEAR(extreme(j.pipes[1]) / height, passes, 0.01);
  EXPECT_NEAR(extreme(j.pipes[3]) / height, passes, 0.01);
  EXPECT_NEAR(extreme(j.pipes[0]) / height, passes - 1.0, 0.01);
}

// Root of the one-dimensional wave equation: A cot(k L) = V k + n A_r tan(k L_r), k = omega/a.
TEST(Rooms, AgreesWithTheResonanceOfPlenumDuctAndRunners) {
  const double volume = 5e-3, length = 0.6, own = 0.07, runner = 0.3, bore = 0.045;
  const int count = 4;
  const auto surplus = [&](double k) {
    return area_of(own) / std::tan(k * length) - volume * k -
           count * area_of(bore) * std::tan(k * runner);
  };
  double low = 0.1, high = 0.5 * base::kPi / length;
  for (int i = 0; i < 60; ++i) {
    const double k = 0.5 * (low + high);
    (surplus(k) > 0.0 ? low : high) = k;
  }
  const double wanted = low * kSound / (2.0 * base::kPi);

  Junction j(volume, straight(length, own, 120), straight(runner, bore, 120), count);
  const double height = 300.0;
  const double warmer = kTemperature * std::pow(1.0 + height / kPressure, 1.0 - 1.0 / kRatio);
  j.rooms.fill({kPressure + height, warmer, 0.0});
  for (auto& p : j.pipes) p.fill({kPressure + height, warmer, 0.0});
  j.rooms.set_outside_pressure(kPressure);
  const double whole = 20.0 / wanted;
  std::vector<double> time{0.0}, over{height};
  while (time.back() < whole) {
    const double dt = j.step();
    time.push_back(time.back() + dt);
    over.push_back(j.rooms.pressure(0) - kPressure);
  }
  // The peak of the spectrum under Hann's window, which keeps the higher modes out.
  const auto power = [&](double frequency) {
    double real = 0.0, imaginary = 0.0;
    for (std::size_t i = 1; i < time.size(); ++i) {
      const double window = 1.0 - std::cos(2.0 * base::kPi * time[i] / time.back());
      const double part = window * over[i] * (time[i] - time[i - 1]);
      real += part * std::cos(2.0 * base::kPi * frequency * time[i]);
      imaginary += part * std::sin(2.0 * base::kPi * frequency * time[i]);
    }
    return real * real + imaginary * imaginary;
  };
  double from = 0.97 * wanted, to = 1.03 * wanted;
  for (int i = 0; i < 40; ++i) {
    const double a = from + 0.382 * (to - from), b = from + 0.618 * (to - from);
    if (power(a) < power(b)) {
      from = a;
    } else {
      to = b;
    }
  }
  EXPECT_NEAR(0.5 * (from + to) / wanted, 1.0, 1e-3);
}

// A closed system of room and pipes: nothing is lost at the mouths, whatever the waves.
TEST(Rooms, ConservesMassAndEnergy) {
  Junction j(1e-3, straight(0.5, 0.09, 20), straight(0.7, 0.044, 20), 4);
  put_pulse(j.pipes[0], 0.7, 0.35, 0.1, 80e3);
  j.rooms.begin_round();
  const double mass = j.mass(), energy = j.energy();
  for (int i = 0; i < 3000; ++i) j.step();
  const auto given = j.rooms.given();
  EXPECT_NEAR(j.mass() - given.mass, mass, 1e-12 * mass);
  EXPECT_NEAR(j.energy() - given.energy, energy, 1e-12 * std::abs(energy));
}

}  // namespace airchain::engine
