#pragma once

#include <cmath>
#include <functional>
#include <vector>

#include "airchain/base/constants.hpp"
#include "airchain/pipe/pipe.hpp"

namespace airchain::test {

using Gas = gas::PerfectGas;
using PlainPipe = pipe::Pipe<double, Gas>;
using InGas = pipe::EndGas<double>;
using Condition = std::function<pipe::End<double>(const InGas&)>;

inline constexpr Gas kAir{287.05, 1.4};

inline pipe::Shape straight(double length, double diameter, int cells, double friction = 0.0) {
  return pipe::Shape({length, diameter, diameter, friction}, cells);
}

/// An end that does not exist: the gas goes on as it is.
inline pipe::End<double> passing(const InGas& in) {
  return pipe::leaving_end(in, in.pressure, pipe::Wave<double>{in.velocity, in.temperature});
}
inline pipe::End<double> closed(const InGas& in) { return pipe::closed_end(in); }

inline Condition open_to(const Gas& gas, double pressure, double temperature) {
  const auto outside = pipe::still_gas(gas, pressure, temperature, 0.0);
  return [outside](const InGas& in) { return pipe::open_end(in, outside); };
}
inline Condition throat_to(const Gas& gas, double pressure, double temperature, double ratio) {
  const auto outside = pipe::still_gas(gas, pressure, temperature, 0.0);
  return [outside, ratio](const InGas& in) { return pipe::throat_end(in, outside, ratio); };
}

/// Runs to a time; the first steps are short, as Toro does for sudden starts. `watch` is called
/// with the time after every step.
inline int run(PlainPipe& p, double until, const Condition& left, const Condition& right,
               const std::function<void(double)>& watch = {}, double courant = 0.9) {
  double t = 0.0;
  int steps = 0;
  while (t < until) {
    const double share = steps < 5 ? 0.2 : courant;
    const double dt = std::min(share * p.crossing_time(), until - t);
    p.advance(dt, left, right);
    t += dt;
    ++steps;
    if (watch) watch(t);
  }
  return steps;
}

/// Frequency from the first and last rising zero of a recorded signal.
inline double frequency_of(const std::vector<double>& t, const std::vector<double>& y) {
  double first = -1.0, last = -1.0;
  int periods = -1;
  for (std::size_t i = 1; i < y.size(); ++i) {
    if (!(y[i - 1] < 0.0 && y[i] >= 0.0)) continue;
    last = t[i - 1] - y[i - 1] * (t[i] - t[i - 1]) / (y[i] - y[i - 1]);
    if (first < 0.0) first = last;
    ++periods;
  }
  return periods / (last - first);
}

}  // namespace airchain::test
