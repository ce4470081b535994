#pragma once

#include "airchain/engine/run.hpp"

// How a run begins, settles and is told.
namespace airchain::engine {

/// A cylinder's place in its cycle when the first one begins its own. One that is under way begins
/// with gas at rest and nothing left to burn before its place: a guess that the rounds forget.
template <class T>
void Run<T>::place_lane(Bundle<T>& b, int i) {
  auto& k = b.kernel;
  const int c = b.cylinder[i];
  auto p = task_.point;
  p.half_burned += task_.later[c];
  p.spark += task_.later[c];
  cycle::put_point(k, i, p);
  cycle::fill_lane(k, i);
  cycle::start_cycle(k, i);
  const double firing = task_.firing[c];
  if (firing > 0.0) {
    constexpr double kCycle = 4.0 * base::kPi;
    const double angle = k.start_angle() + (kCycle - firing);
    const double volume = k.setup().crank.at(angle).volume;
    const double share = volume / of(k.vessel.volume, i);
    const auto put = [&](T& value, double x) { numerics::set_lane(value, i, x); };
    for (T* x : {&k.vessel.mass, &k.vessel.burned_mass, &k.vessel.energy, &k.trapped.mass,
                 &k.trapped.fresh})
      put(*x, of(*x, i) * share);
    put(k.vessel.volume, volume);
    put(k.trapped.volume, volume);
    put(k.angle, angle);
    const double place = (angle - of(k.trapped.burn_start, i)) / of(k.trapped.burn_duration, i);
    put(k.tally.burned, k.setup().burn.burned_at(place));
  }
  b.cycles[i] = {};
  b.sums[i] = {};
  cycle::note_stored(k, i, b.cycles[i]);
}

template <class T>
void Run<T>::fill(Grid& grid) {
  const auto& p = task_.point;
  for (Bundle<T>& b : grid.bundles)
    for (int i = 0; i < kLanes; ++i) place_lane(b, i);
  const double hot = of(grid.bundles[0].kernel.point.collector_temperature, 0);
  grid.plenum.fill({p.plenum_pressure, p.plenum_temperature, 0.0});
  grid.collectors.fill({p.exhaust_pressure, hot, 1.0});
  // Steady flows to begin with: cylinders filled to nine tenths.
  constexpr double kFilled = 0.9;
  const auto& setup = *task_.groups[0].setup;
  const double density =
      p.plenum_pressure / (setup.mixture.fresh.gas_constant * p.plenum_temperature);
  const double each = kFilled * density * setup.crank.displacement() * p.speed / (4.0 * base::kPi);
  grid.plenum.feed(0) = each * task_.cylinders;
  for (int c = 0; c < task_.cylinders; ++c) grid.collectors.feed(task_.collector[c]) -= each;
}

template <class T>
void Run<T>::move_to_fine() {
  for (std::size_t n = 0; n < fine_.bundles.size(); ++n) {
    auto& from = coarse_.bundles[n];
    auto& to = fine_.bundles[n];
    auto& k = to.kernel;
    k.point = from.kernel.point;
    k.angle = from.kernel.angle;
    k.trapped = from.kernel.trapped;
    k.tally = from.kernel.tally;
    k.unburned_temperature = from.kernel.unburned_temperature;
    k.droplets = from.kernel.droplets;
    k.intake_pipe.wall_heat = from.kernel.intake_pipe.wall_heat;
    k.exhaust_pipe.wall_heat = from.kernel.exhaust_pipe.wall_heat;
    for (int i = 0; i < kLanes; ++i) {
      cycle::restore_lane(k, i, cycle::stored_lane(from.kernel, i));
      to.cycles[i] = {};
      to.sums[i] = {};
      cycle::note_stored(k, i, to.cycles[i]);
    }
  }
  fine_.plenum.become(coarse_.plenum);
  fine_.collectors.become(coarse_.collectors);
  unrest_ = 0.0;
  rounds_ = 0;
}

template <class T>
Amount<T> Run<T>::stored(const Grid& grid) const {
  Amount<T> sum = grid.plenum.stored();
  sum.add(grid.collectors.stored());
  for (const Bundle<T>& b : grid.bundles)
    for (int i = 0; i < b.count; ++i) {
      sum.mass += cycle::stored(b.kernel, i, &pipe::Cell<T>::mass, b.kernel.vessel.mass);
      sum.energy += cycle::stored(b.kernel, i, &pipe::Cell<T>::energy, b.kernel.vessel.energy);
    }
  return sum;
}

template <class T>
void Run<T>::weigh_pipes(const Grid& grid, double sign) {
  for (const Bundle<T>& b : grid.bundles)
    for (int i = 0; i < b.count; ++i) {
      // NOLINTNEXTLINE(bugprone-misplaced-widening-cast): a place among a few rooms
      const auto room = static_cast<std::size_t>(1 + task_.collector[b.cylinder[i]]);
      in_pipes_[0].mass += sign * of(b.kernel.intake_pipe.content(&pipe::Cell<T>::mass), i);
      in_pipes_[room].mass += sign * of(b.kernel.exhaust_pipe.content(&pipe::Cell<T>::mass), i);
    }
}

template <class T>
double Run<T>::gained(const Grid& grid) const {
  double sum = 0.0;
  for (const Bundle<T>& b : grid.bundles)
    for (int i = 0; i < b.count; ++i) sum += b.sums[i].walls_and_fuel + gain_of(b, i);
  return sum;
}

template <class T>
void Run<T>::begin_round(Grid& grid) {
  grid.plenum.begin_round();
  grid.collectors.begin_round();
  for (Amount<T>& pipes : in_pipes_) pipes = {};
  weigh_pipes(grid, -1.0);
  begun_ = stored(grid);
  gained_ = gained(grid);
}

/// Of the whole engine over a round, terms each on its own:
///
///     mass error = (mass given - mass stored)/(mass trapped by all)
///     energy error = (energy given + heat of walls and fuel - heat lost - work - stored)
///                    /(heat of the fresh charges)
template <class T>
void Run<T>::tell_balance(const Grid& grid) {
  const Amount<T> end = stored(grid), in = grid.plenum.given(), out = grid.collectors.given();
  double mass = 0.0, heat = 0.0;
  for (const Bundle<T>& b : grid.bundles)
    for (int i = 0; i < b.count; ++i) {
      const auto& r = task_.results[b.cylinder[i]];
      mass += r.trapped_mass;
      heat += numerics::max(r.fresh_mass, cycle::kLeastCharge * r.trapped_mass) *
              b.kernel.setup().mixture.heat;
    }
  task_.summary->mass_error = (in.mass + out.mass - (end.mass - begun_.mass)) / mass;
  task_.summary->energy_error =
      (in.energy + out.energy + (gained(grid) - gained_) - (end.energy - begun_.energy)) / heat;
}

template <class T>
void Run<T>::end_round(Grid& grid) {
  ++rounds_;
  double unrest = 0.0, mass = 0.0, thermal = 0.0;
  for (const Bundle<T>& b : grid.bundles)
    for (int i = 0; i < b.count; ++i) {
      const auto& v = b.kernel.trapped;
      unrest = numerics::max(unrest, b.cycles[i].unrest);
      mass += of(v.mass, i);
      thermal += of(v.pressure, i) * of(v.volume, i) / (cycle::kQuickestRatio - 1.0);
    }
  tell_balance(grid);
  tell_rooms(grid);
  unrest = numerics::max(unrest, numerics::max(grid.plenum.unrest(mass, thermal),
                                               grid.collectors.unrest(mass, thermal)));
  change_ = cycle::still_to_come<T>(unrest, unrest_);
  unrest_ = unrest;
  if (grid.collectors.has_pipe() &&
      grid.bundles[0].kernel.setup().collector == cycle::Collector::follows)
    grid.collectors.set_outside(grid.collectors.leaving_temperature());
  weigh_pipes(grid, 1.0);
  change_ = numerics::max(change_, grid.plenum.adjust(true, in_pipes_.data()));
  change_ = numerics::max(change_, grid.collectors.adjust(false, in_pipes_.data() + 1));
}

template <class T>
void Run<T>::tell_rooms(const Grid& grid) {
  const auto told = [](const RoomGas<T>& g) {
    return RoomState{g.pressure, g.temperature, g.burned};
  };
  task_.rooms[0] = told(grid.plenum.mean(0));
  for (int c = 0; c < task_.collectors.count; ++c)
    task_.rooms[1 + c] = told(grid.collectors.mean(c));
}

template <class T>
bool Run<T>::run_rounds(Grid& grid, int most, double tolerance) {
  begin_round(grid);
  while (rounds_ < most && finite_) {
    stepped(grid);
    if (++steps_ % kStepsUnasked == 0 && !task_.go_on(task_.context)) return false;
    if (!end_cycles(grid)) continue;
    end_round(grid);
    if (rounds_ >= cycle::kLeastCycles && change_ < tolerance) break;
    begin_round(grid);
  }
  return true;
}

template <class T>
void Run<T>::write_row(const Grid& grid) {
  double* row = task_.row;
  *row++ = of(grid.bundles[0].kernel.angle, 0);
  *row++ = grid.plenum.pressure(0);
  for (int c = 0; c < task_.collectors.count; ++c) *row++ = grid.collectors.pressure(c);
  const int n = task_.cylinders;
  for (const Bundle<T>& b : grid.bundles)
    for (int i = 0; i < b.count; ++i) {
      const auto& k = b.kernel;
      const int c = b.cylinder[i];
      const auto beside = [&](const auto& pipe, double outside) {
        return pipe.size() == 0 ? outside : of(pipe.cell(pipe.size() - 1).pressure, i);
      };
      row[c] = of(k.vessel.pressure, i);
      row[n + c] = beside(k.intake_pipe, grid.plenum.pressure(0));
      row[2 * n + c] = beside(k.exhaust_pipe, grid.collectors.pressure(task_.collector[c]));
    }
}

/// Steps through one more round, which `watch` sees; results stay those of the round before.
template <class T>
void Run<T>::watch_round(Grid& grid) {
  const auto& first = grid.bundles[0].kernel;
  do {
    step(grid);
    write_row(grid);
    task_.watch(task_.context);
    if (cycle::at_end(first, 0)) return;
    // Cycles of the others end; their results are told no more.
    for (Bundle<T>& b : grid.bundles)
      for (int i = 0; i < kLanes; ++i)
        if (cycle::at_end(b.kernel, i)) cycle::start_cycle(b.kernel, i);
  } while (task_.go_on(task_.context));
}

template <class T>
bool Run<T>::operator()() {
  Summary& s = *task_.summary;
  s = {};
  if (task_.coarsens) {
    fill(coarse_);
    // The fine grid's numbers are all overwritten, but must be such as a lane can hold.
    fill(fine_);
    const bool short_start = still();
    if (!run_rounds(coarse_, short_start ? cycle::kCoarseCycles : kCoarseRounds,
                    short_start ? 0.0 : kCoarseTolerance))
      return false;
    if (finite_) {
      move_to_fine();
    } else {
      finite_ = true;
      rounds_ = 0;
      unrest_ = 0.0;
    }
  } else {
    fill(fine_);
  }
  if (!run_rounds(fine_, static_cast<int>(task_.controls.most_cycles), task_.controls.tolerance))
    return false;
  s.rounds = rounds_;
  s.change = change_;
  s.finite = finite_;
  s.converged = finite_ && change_ < task_.controls.tolerance;
  if (s.converged && task_.watch != nullptr) watch_round(fine_);
  return true;
}

}  // namespace airchain::engine
