#pragma once

#include <algorithm>
#include <cmath>

#include "airchain/engine/engine.hpp"
#include "airchain/engine/order.hpp"
#include "support/demo_cycle.hpp"

namespace airchain::test {

/// An invented V8 of eight demonstration cylinders, on a crank of either kind, without rooms.
inline engine::Engine demo_v_eight(const char* crank = "crossplane", DemoEngine size = {}) {
  engine::FiringOrder f;
  const bool flat = std::string(crank) == "flat";
  f.order = flat ? std::vector{1, 8, 3, 6, 7, 2, 5, 4} : std::vector{1, 8, 4, 3, 6, 5, 7, 2};
  f.banks = {{1, 3, 5, 7}, {2, 4, 6, 8}};
  f.throws = engine::throws_of(crank, 4);
  f.either_hand = true;
  engine::Engine e;
  e.kinds = {demo_cycle(size)};
  e.kind.assign(8, 0);
  e.firing = engine::firing_angles(f);
  e.collector = {0, 1, 0, 1, 0, 1, 0, 1};
  return e;
}

/// A plenum of some litres, steadily fed.
inline engine::Room demo_plenum(double volume = 7e-3) {
  engine::Room room;
  room.volume = volume;
  return room;
}

/// A merge and a collector pipe.
inline engine::Room demo_collector(double volume = 1e-3, double diameter = 0.1016,
                                   double cells = 9.0) {
  engine::Room room;
  room.volume = volume;
  room.pipe.taper = {0.45, diameter, diameter, 0.006};
  room.pipe.wall_temperature = 800.0;
  room.pipe.cells = cells;
  room.pipe.end_correction = 0.0;
  return room;
}

/// How far two cylinders are from firing a turn apart [rad].
inline double from_a_turn(const engine::Engine& e, int one, int other) {
  const auto at = [&](int c) { return e.firing[static_cast<std::size_t>(c)]; };
  return std::abs(std::abs(at(one) - at(other)) - 2.0 * base::kPi);
}

/// The merge of a pair of primaries, and the secondary behind it that ends in another merge.
inline engine::Room demo_pair(double volume = 3e-4, double length = 0.4, double diameter = 0.06,
                              double cells = 8.0) {
  auto room = demo_collector(volume, diameter, cells);
  room.pipe.taper.length = length;
  room.outer_correction = 0.0;
  return room;
}

/// Four into two into one, in each bank those that fire a turn apart first.
inline void meet_in_pairs(engine::Engine& e, const engine::Room& pair,
                          const engine::Room& collector) {
  e.collectors = {collector, collector, pair, pair, pair, pair};
  e.into = {-1, -1, 0, 0, 1, 1};
  const int banks[] = {0, 1, 0, 1, 0, 1, 0, 1};
  e.collector.assign(8, 0);
  for (int bank = 0; bank < 2; ++bank) {
    // The first of a bank and the one that is nearest to a turn away from it; then the others.
    int first = bank, partner = -1;
    for (int c = 0; c < 8; ++c)
      if (banks[c] == bank && c != first &&
          (partner < 0 || from_a_turn(e, first, c) < from_a_turn(e, first, partner)))
        partner = c;
    for (int c = 0; c < 8; ++c)
      if (banks[c] == bank)
        e.collector[static_cast<std::size_t>(c)] =
            2 + 2 * bank + (c == first || c == partner ? 0 : 1);
  }
}

/// Most fresh charge of some cylinders over the least, less one.
inline double spread(const engine::EngineResult& r, const std::vector<std::size_t>& which) {
  double low = 1e9, high = 0.0;
  for (std::size_t c : which) {
    low = std::min(low, r.cylinders[c].fresh_mass);
    high = std::max(high, r.cylinders[c].fresh_mass);
  }
  return high / low - 1.0;
}

inline engine::EnginePoint demo_engine_point(double rpm, double plenum = 100e3,
                                             double exhaust = 103e3) {
  return {demo_point(rpm, plenum, exhaust), {}};
}

}  // namespace airchain::test
