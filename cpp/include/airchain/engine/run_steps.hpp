#pragma once

#include "airchain/engine/run.hpp"

// The part of a run that every step takes.
namespace airchain::engine {

template <class T>
double Run<T>::longest_step(const Grid& grid) const {
  double dt = numerics::min(grid.plenum.longest_step(task_.controls.courant),
                            grid.collectors.longest_step(task_.controls.courant));
  for (const Bundle<T>& b : grid.bundles) {
    const T longest = b.kernel.longest_step();
    for (int i = 0; i < kLanes; ++i) dt = numerics::min(dt, of(longest, i));
  }
  if (!(task_.mark > 0.0)) return dt;
  const auto& first = grid.bundles[0].kernel;
  constexpr double kThere = 1e-6;  // of a mark's width, what counts as standing on one
  const double place = (of(first.angle, 0) - first.start_angle()) / task_.mark;
  const double next = static_cast<double>(static_cast<long>(place + kThere)) + 1.0;
  return numerics::min(dt, (next - place) * task_.mark / task_.point.speed);
}

template <class T>
AIRCHAIN_INLINE auto Run<T>::outside(const Grid& grid, const Bundle<T>& b) const ->
    typename cycle::Kernel<T>::Outside {
  auto seen = b.kernel.still_outside();
  const auto gathered = [&](const Rooms<T>& rooms, const auto& room_of) {
    T p(0.0), t(0.0), y(0.0);
    for (int i = 0; i < kLanes; ++i) {
      const RoomGas<T>& g = rooms.gas(room_of(b.cylinder[i]));
      numerics::set_lane(p, i, g.pressure);
      numerics::set_lane(t, i, g.temperature);
      numerics::set_lane(y, i, g.burned);
    }
    return pipe::still_gas(b.kernel.gas(), p, t, y);
  };
  if (!grid.plenum.still()) seen.plenum = gathered(grid.plenum, [](int) { return 0; });
  if (!grid.collectors.still())
    seen.collector = gathered(grid.collectors, [&](int c) { return task_.collector[c]; });
  return seen;
}

template <class T>
AIRCHAIN_INLINE void Run<T>::step(Grid& grid) {
  const double dt = longest_step(grid);
  grid.plenum.prepare(dt);
  grid.collectors.prepare(dt);
  for (Bundle<T>& b : grid.bundles) {
    const auto [in, out] = b.kernel.advance(T(dt), outside(grid, b));
    for (int i = 0; i < b.count; ++i) {
      grid.plenum.take(0, amount_of(dt * b.mouth, in.outer, i));
      grid.collectors.take(task_.collector[b.cylinder[i]], amount_of(dt * b.outlet, out.outer, i));
    }
  }
  grid.plenum.finish(dt);
  grid.collectors.finish(dt);
}

template <class T>
bool Run<T>::end_cycles(Grid& grid) {
  bool round = false;
  for (Bundle<T>& b : grid.bundles)
    for (int i = 0; i < kLanes; ++i) {
      if (!cycle::at_end(b.kernel, i)) continue;
      round |= i < b.count && b.cylinder[i] == 0;
      end_cycle(b, i);
    }
  return round;
}

/// Heat from walls and fuel into the gas less heat lost and work [J], in the cycle that runs.
template <class T>
double Run<T>::gain_of(const Bundle<T>& b, int i) {
  const auto& k = b.kernel;
  const auto& t = k.tally;
  const auto lane = [&](const T& value) { return numerics::lane(value, i); };
  return lane(k.intake_pipe.wall_heat) + lane(k.exhaust_pipe.wall_heat) + lane(t.released) -
         lane(t.evaporation) - lane(t.heat) - lane(t.work);
}

template <class T>
void Run<T>::end_cycle(Bundle<T>& b, int i) {
  auto& k = b.kernel;
  auto& lane = b.cycles[i];
  ++lane.cycles;
  b.sums[i].walls_and_fuel += gain_of(b, i);
  const double mass = of(k.vessel.mass, i);
  const double fresh = mass - of(k.vessel.burned_mass, i);
  cycle::CycleResult r = cycle::result_of(k, i, lane, fresh);
  const bool finite =
      mass > 0.0 && fresh > -1e-9 * mass && fresh < 1.0 && of(k.tally.work, i) * 0.0 == 0.0;
  lane.unrest = cycle::unrest_of(k, i, lane, r);
  if (finite) {
    cycle::tell_new_charge<T>(r, fresh);
    r.refused = !cycle::possible(r, k.setup().crank.displacement(), k.point.plenum_pressure,
                                 k.point.exhaust_pressure, i);
    if (task_.collectors.still) cycle::follow_collector(k, i, lane.collector);
  } else {
    cycle::forget_numbers<T>(r);
    finite_ = false;
  }
  if (i < b.count) task_.results[b.cylinder[i]] = r;
  // What a lane remembers beside its gas, such as the temperatures about which its cells' energies
  // are series, depends on how it began: by some 1e-6 of the charge.
  if (task_.mark > 0.0 && finite) cycle::restore_lane(k, i, cycle::stored_lane(k, i));
  cycle::start_cycle(k, i);
  cycle::note_stored(k, i, lane);
}

}  // namespace airchain::engine
