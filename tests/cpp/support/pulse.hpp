#pragma once

#include <cmath>

#include "airchain/base/constants.hpp"
#include "airchain/gas/charge.hpp"
#include "airchain/pipe/pipe.hpp"

// Small pulses in pipes of a perfect gas.
namespace airchain::test {

inline constexpr double kConstant = 287.0, kRatio = 1.4, kPressure = 100e3, kTemperature = 300.0;
inline const double kSound = std::sqrt(kRatio * kConstant * kTemperature);

inline gas::Charge perfect_gas() {
  gas::GasClass g;
  g.gas_constant = kConstant;
  g.low[0] = g.high[0] = kConstant * kRatio / (kRatio - 1.0);
  return {g, g};
}

inline double area_of(double diameter) { return 0.25 * base::kPi * diameter * diameter; }
inline double diameter_of(double area) { return std::sqrt(4.0 / base::kPi * area); }

inline pipe::Shape straight(double length, double diameter, int cells) {
  return {{length, diameter, diameter, 0.0}, cells};
}

/// A pulse of a pressure, as wide as `width` on either side of `place`, that runs to the left.
inline void put_pulse(pipe::Pipe<double, gas::Charge>& pipe, double length, double place,
                      double width, double height) {
  const double density = kPressure / (kConstant * kTemperature);
  for (int i = 0; i < pipe.size(); ++i) {
    const double x = (i + 0.5) * length / pipe.size();
    const double rise = height * std::exp(-std::pow((x - place) / width, 2));
    const double t = kTemperature * std::pow(1.0 + rise / kPressure, 1.0 - 1.0 / kRatio);
    pipe.set(i, kPressure + rise, t, -rise / (density * kSound), 0.0);
  }
  pipe.start();
}

inline double extreme(const pipe::Pipe<double, gas::Charge>& pipe) {
  double most = 0.0;
  for (int i = 0; i < pipe.size(); ++i) {
    const double over = pipe.cell(i).pressure - kPressure;
    if (std::abs(over) > std::abs(most)) most = over;
  }
  return most;
}

}  // namespace airchain::test
