#pragma once

#include <gtest/gtest.h>

#include <array>
#include <cstring>

#include "airchain/numerics/pack.hpp"

namespace airchain::test {

struct TestTag {};
using Lanes = numerics::Pack<4, TestTag>;
using EightLanes = numerics::Twin<Lanes>;
using WideLanes = numerics::Pack<8, TestTag>;

inline Lanes lanes_of(const std::array<double, 4>& values) {
  Lanes pack(0.0);
  for (int i = 0; i < 4; ++i) numerics::set_lane(pack, i, values[static_cast<std::size_t>(i)]);
  return pack;
}

inline bool same_bits(double a, double b) { return std::memcmp(&a, &b, sizeof a) == 0; }

/// `f` is generic in its number type; every lane must be the plain result to the last bit, in
/// packs of four, of twice four and of eight, and in two plain numbers side by side.
template <class Function>
void expect_lanes_agree(Function&& f, const std::array<double, 4>& x) {
  const Lanes four = lanes_of(x);
  const Lanes result = f(four);
  const EightLanes twice = f(EightLanes(four, four));
  const WideLanes wide = f(WideLanes(four, four));
  for (int i = 0; i < 8; ++i) {
    const double xi = x[static_cast<std::size_t>(i % 4)];
    const double plain = f(xi);
    const auto pair = f(numerics::Twin<double>(xi, x[0]));
    for (const double in_lane : {numerics::lane(result, i % 4), numerics::lane(twice, i),
                                 numerics::lane(wide, i), numerics::lane(pair, 0)})
      EXPECT_TRUE(same_bits(plain, in_lane)) << "at " << xi << ": " << plain << " and " << in_lane;
  }
}

}  // namespace airchain::test
