#pragma once

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
  return room;
}

inline engine::EnginePoint demo_engine_point(double rpm, double plenum = 100e3,
                                             double exhaust = 103e3) {
  return {demo_point(rpm, plenum, exhaust), {}};
}

}  // namespace airchain::test
