#pragma once

#include "airchain/pipe/ends.hpp"

// Ends of two pipes side by side: a search waits for its own arithmetic most of the time, and two
// searches hide each other's waits.
namespace airchain::pipe {

template <class T>
using Both = numerics::Twin<T>;

template <class T>
AIRCHAIN_INLINE EndGas<Both<T>> joined(const EndGas<T>& a, const EndGas<T>& b) {
  return {{a.pressure, b.pressure},
          {a.temperature, b.temperature},
          {a.velocity, b.velocity},
          {a.burned, b.burned},
          {a.energy, b.energy},
          {a.heat, b.heat},
          {a.gas_constant, b.gas_constant}};
}
template <class T>
AIRCHAIN_INLINE End<T> first_of(const End<Both<T>>& e) {
  return {{e.flux.mass.low, e.flux.momentum.low, e.flux.energy.low, e.flux.burned.low},
          e.density.low,
          e.velocity.low,
          e.pressure.low,
          e.burned.low};
}
template <class T>
AIRCHAIN_INLINE End<T> second_of(const End<Both<T>>& e) {
  return {{e.flux.mass.high, e.flux.momentum.high, e.flux.energy.high, e.flux.burned.high},
          e.density.high,
          e.velocity.high,
          e.pressure.high,
          e.burned.high};
}

}  // namespace airchain::pipe
