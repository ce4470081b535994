#pragma once

#include <vector>

#include "airchain/engine/room_gas.hpp"
#include "airchain/engine/task.hpp"
#include "airchain/pipe/paired_ends.hpp"
#include "airchain/pipe/pipe.hpp"

// Plenum and collectors by filling and emptying.
namespace airchain::engine {

/// The rooms of one side of an engine: gas at rest that is mixed at once,
///
///     dm/dt = sum of W,   dE/dt = sum of W h0,   d(m y)/dt = sum of W y,   p = m R T/V
///
/// Pipes meet in a room as in a junction of constant pressure [Benson 1982, The Thermodynamics and
/// Gas Dynamics of Internal Combustion Engines, section 7.4, from memory]: each sees the room's
/// pressure, what leaves a pipe loses its velocity head there, and what enters one is accelerated
/// from rest. A wave of small amplitude from one of n pipes passes into the others by
/// 2 A_i/(sum of A) and comes back by 2 A_i/(sum of A) - 1. Left out: what direction the jets have,
/// so that a merge of small angle scavenges a little better than told; heat to the room's walls.
///
/// A room has a pipe, to the outside or into another room of its side; or an opening to the
/// outside, a nozzle whose jet is lost (`pipe::orifice_flux`); or a steady flow from there.
///
/// Pipes see a room half a step on, by the flows of the step before. Rooms take exactly what
/// crosses their mouths. Lanes are rooms, in their own pipes alone.
template <class T>
class Rooms {
 public:
  using Gas = gas::Charge;

  /// Largest step over the time in which sound would fill a room through its mouths.
  static constexpr double kFilling = 0.5;

  Rooms(const Side& side, bool coarse, const Gas& gas)
      : gas_(gas), still_(side.still), rooms_(static_cast<std::size_t>(side.count)) {
    if (still_) return;
    for (int i = 0; i < side.count; ++i) {
      const RoomPlan& plan = side.rooms[i];
      Room& r = at(i);
      r.volume = plan.volume;
      r.mouths = plan.mouths;
      r.pipes = plan.pipes;
      r.opening = plan.opening;
      r.into = plan.into;
      r.piped = plan.shape != nullptr;
      if (r.piped && same_pipe(side, i) == i) add_pipes(side, i, coarse);
    }
  }

  int count() const { return static_cast<int>(rooms_.size()); }
  bool still() const { return still_; }
  bool has_pipe() const { return !pipes_.empty(); }

  /// Fills rooms and pipes with gas at rest, and tells what stands outside.
  void fill(const RoomGas<T>& gas) {
    outside_ = gas;
    for (Room& r : rooms_) {
      r.rate = r.opened = {};
      r.feed = 0.0;
      r.temperature = gas.temperature;
      r.pressure = r.first = gas.pressure;
      r.held.mass = gas.pressure * r.volume / (gas_.gas_constant(gas.burned) * gas.temperature);
      r.held.energy = r.held.mass * gas_.caloric(gas.temperature, gas.burned).energy;
      r.held.burned = r.held.mass * gas.burned;
      r.now = gas;
    }
    for (Ducts& d : pipes_) {
      d.memory = {};
      d.pipe.fill({T(gas.pressure), T(gas.temperature), T(gas.burned)});
    }
  }
  /// Temperature [K] of what comes in from the outside.
  void set_outside(double temperature) { outside_.temperature = temperature; }
  void set_outside_pressure(double pressure) { outside_.pressure = pressure; }
  const RoomGas<T>& outside() const { return outside_; }
  /// Steady flow from the outside [kg/s], out of it negative, into the room where what enters one
  /// ends; for a room that has neither pipe nor opening.
  double& feed(int room) {
    while (at(room).into >= 0) room = at(room).into;
    return at(room).feed;
  }

  /// t = min(0.5 V/(A a) of each room, courant crossing of the pipes) [s].
  double longest_step(double courant) const {
    double longest = 1e9;
    if (still_) return longest;
    for (const Room& r : rooms_) {
      constexpr double kQuickest = 1.4;
      const double sound = numerics::sqrt(kQuickest * r.pressure * r.volume / r.held.mass);
      longest = numerics::min(longest, kFilling * r.volume / (r.mouths * sound));
    }
    for (const Ducts& d : pipes_) {
      const T crossing = d.pipe.crossing_time();
      for (int i = 0; i < kLanes; ++i)
        longest = numerics::min(longest, courant * numerics::lane(crossing, i));
    }
    return longest;
  }

  /// Rooms half a step on: m = m_0 + dt/2 m', E and m y alike; with an opening at the pressure that
  /// agrees with what passes it.
  void prepare(double dt) {
    if (still_) return;
    for (Room& r : rooms_) {
      Amount<T> half = r.held;
      half.add({0.5 * dt * r.rate.mass, 0.5 * dt * r.rate.energy, 0.5 * dt * r.rate.burned});
      r.now = gas_of(r, half, r.temperature);
      r.came = {};
      if (!(r.opening > 0.0)) continue;
      r.opened = opening_flow(gas_, r.opening, r.volume, dt, outside_, r.opened, r.now);
      const Amount<T> passed = r.opened.over(dt);
      r.came.add(passed);
      given_.add(passed);
    }
    for (Ducts& d : pipes_) d.pipe.prepare(T(dt));
  }
  /// What a pipe that opens into a room sees there; for rooms that are not still.
  const RoomGas<T>& gas(int room) const { return at(room).now; }

  /// Takes what crossed a mouth. What crosses one of a still room comes from the outside.
  void take(int room, const Amount<T>& amount) {
    if (still_) {
      given_.add({-amount.mass, -amount.energy, -amount.burned});
    } else {
      at(room).came.add(amount);
    }
  }

  /// The rest of the step: flow to the outside, then the rooms' new contents.
  void finish(double dt) {
    if (still_) return;
    for (Room& r : rooms_) {
      if (fed(r)) feed_room(r, dt);
    }
    for (Ducts& d : pipes_) step_pipe(d, dt);
    const double per_time = 1.0 / dt;
    for (Room& r : rooms_) {
      r.held.add(r.came);
      r.rate = {per_time * r.came.mass, per_time * r.came.energy, per_time * r.came.burned};
      r.mean.pressure += dt * r.now.pressure;
      r.mean.temperature += dt * r.now.temperature;
      r.mean.burned += dt * r.now.burned;
      const RoomGas<T> end = gas_of(r, r.held, r.now.temperature);
      r.temperature = end.temperature;
      r.pressure = end.pressure;
    }
    time_ += dt;
  }

  double pressure(int room) const { return still_ ? outside_.pressure : at(room).pressure; }

  /// Begins a round's sums.
  void begin_round() {
    time_ = 0.0;
    given_ = {};
    leaving_ = {};
    for (Ducts& d : pipes_) d.pipe.wall_heat = T(0.0);
    for (Room& r : rooms_) {
      r.mean = {};
      r.drawn = 0.0;
      r.begun = stored(r);
    }
  }
  /// Mean over the time of a round.
  RoomGas<T> mean(int room) const {
    if (still_ || !(time_ > 0.0)) return outside_;
    const auto& m = at(room).mean;
    return {m.pressure / time_, m.temperature / time_, m.burned / time_};
  }
  /// From the outside in a round, walls of the pipes among it.
  Amount<T> given() const {
    Amount<T> sum = given_;
    for (const Ducts& d : pipes_)
      for (int i = 0; i < d.count; ++i) sum.energy += numerics::lane(d.pipe.wall_heat, i);
    return sum;
  }
  /// Stored in all rooms and their pipes.
  Amount<T> stored() const {
    Amount<T> sum;
    if (still_) return sum;
    for (const Room& r : rooms_) sum.add(stored(r));
    return sum;
  }
  /// Largest change of a room's mass or energy, with its pipe's, in a round, over a charge's.
  double unrest(double mass, double energy) const {
    double most = 0.0;
    if (still_) return most;
    for (const Room& r : rooms_) {
      const Amount<T> now = stored(r);
      most = numerics::max(most, numerics::abs(now.mass - r.begun.mass) / mass);
      most = numerics::max(most, numerics::abs(now.energy - r.begun.energy) / energy);
    }
    return most;
  }
  /// Mean temperature of what left by the pipes in a round; that outside where nothing did.
  double leaving_temperature() const {
    if (!(leaving_.mass > 0.0)) return outside_.temperature;
    const double enthalpy = leaving_.energy / leaving_.mass;
    const double burned = leaving_.burned / leaving_.mass;
    const double gas_constant = gas_.gas_constant(burned);
    double t = 1000.0;
    for (int n = 0; n < 6; ++n) {
      const auto at = gas_.caloric(t, burned);
      t += (enthalpy - at.energy - gas_constant * t) / (at.heat + gas_constant);
    }
    return t;
  }
  /// Sets rooms that are fed steadily towards their mean pressure, between two rounds, so that no
  /// balance of a round holds it. `gained` is by how much the mass in the pipes of cylinders that
  /// open into a room rose in the round. The steady flow becomes what the cylinders themselves
  /// moved, for a plenum by the ratio of pressures too, since they draw the more the denser it is.
  /// Contents are scaled such that the next mean is the wanted one once the pipes have followed:
  ///
  ///     m <- m (1 + (1 + V_pipes/V) (p_wanted/p_ahead - 1))
  ///     p_ahead = p_mean + (p_end - p_begin)/2
  ///
  /// Returns the mistake of pressure there was.
  double adjust(bool draw_follows, const Amount<T>* gained) {
    double most = 0.0;
    if (still_) return most;
    constexpr double kMost = 1.25, kMostReach = 3.0;
    for (int i = 0; i < count(); ++i) {
      Room& r = at(i);
      if (!fed(r)) continue;
      const double mean = r.mean.pressure / time_;
      most = numerics::max(most, numerics::abs(outside_.pressure / mean - 1.0));
      const double ahead = mean + 0.5 * (r.pressure - r.first);
      const auto bounded = [&](double x) {
        return numerics::min(numerics::max(x, 1.0 / kMost), kMost);
      };
      const double factor = bounded(outside_.pressure / ahead);
      const auto [volume, risen] = attached(i, gained);
      const double reach = numerics::min(1.0 + volume / r.volume, kMostReach);
      const double part = 1.0 + reach * (factor - 1.0);
      r.held = {part * r.held.mass, part * r.held.energy, part * r.held.burned};
      const double moved = (r.drawn - risen) / time_;
      r.feed = draw_follows ? bounded(outside_.pressure / mean) * moved : moved;
      r.first = factor * r.pressure;
      r.pressure *= part;
    }
    return most;
  }
  /// Rooms and flow of another grid.
  void become(const Rooms& other) {
    rooms_ = other.rooms_;
    outside_ = other.outside_;
    for (std::size_t i = 0; i < pipes_.size(); ++i)
      for (int lane = 0; lane < kLanes; ++lane)
        pipes_[i].pipe.restore_lane(lane, other.pipes_[i].pipe.stored_lane(lane));
  }

 private:
  static constexpr int kLanes = numerics::kLanes<T>;

  struct Room {
    double volume = 0.0, mouths = 0.0, opening = 0.0;
    int into = -1;
    bool piped = false;
    int duct = 0, lane = 0;  // where its pipe is
    Amount<T> held, rate, came, begun;
    Amount<T> opened;  // through the opening in the last step, per time
    RoomGas<T> now{}, mean{};
    double temperature = 300.0, pressure = 1e5;
    double feed = 0.0, drawn = 0.0;
    double pipe_volume = 0.0;
    double pipes = 0.0;  // volume of the cylinders' pipes that open into it
    double first = 1e5;  // pressure at the round's start, once the pipes have followed
  };
  /// Pipes of as many rooms as there are lanes, all of one shape; idle lanes repeat the last one.
  struct Ducts {
    pipe::Pipe<T, Gas> pipe;
    pipe::EndMemory<pipe::Both<T>> memory;
    double area, outer_area, volume = 0.0;
    int count = 0;
    int room[kLanes];

    Ducts(const pipe::Shape& shape, const Gas& gas)
        : pipe(shape, gas), area(shape.left_area()), outer_area(shape.right_area()) {
      for (int i = 0; i < shape.cells(); ++i) volume += shape.view().volume[i];
    }
  };

  Room& at(int room) { return rooms_[static_cast<std::size_t>(room)]; }
  const Room& at(int room) const { return rooms_[static_cast<std::size_t>(room)]; }
  static bool fed(const Room& r) { return !r.piped && !(r.opening > 0.0); }

  /// The first room whose pipe is the same as this one's.
  static int same_pipe(const Side& side, int room) {
    int first = 0;
    const RoomPlan& own = side.rooms[room];
    while (side.rooms[first].shape != own.shape ||
           side.rooms[first].wall_temperature != own.wall_temperature)
      ++first;
    return first;
  }
  void add_pipes(const Side& side, int first, bool coarse) {
    const RoomPlan& plan = side.rooms[first];
    int lane = kLanes;
    for (int i = first; i < side.count; ++i) {
      if (side.rooms[i].shape == nullptr || same_pipe(side, i) != first) continue;
      if (lane == kLanes) {
        pipes_.emplace_back(coarse ? *plan.coarse : *plan.shape, gas_);
        pipes_.back().pipe.wall_temperature = T(plan.wall_temperature);
        lane = 0;
      }
      Ducts& d = pipes_.back();
      at(i).duct = static_cast<int>(pipes_.size()) - 1;
      at(i).lane = lane++;
      at(i).pipe_volume = d.volume;
      d.count = lane;
      for (int idle = lane - 1; idle < kLanes; ++idle) d.room[idle] = i;
    }
  }

  /// Volume of all that opens into a room, and by how much the mass in it rose in the round.
  struct Attached {
    double volume, risen;
  };
  Attached attached(int room, const Amount<T>* gained) const {
    Attached sum{at(room).pipes, gained[room].mass};
    for (int i = room + 1; i < count(); ++i) {
      const Room& r = at(i);
      if (r.into != room) continue;
      const Attached more = attached(i, gained);
      sum.volume += r.volume + r.pipe_volume + more.volume;
      sum.risen += stored(r).mass - r.begun.mass + more.risen;
    }
    return sum;
  }

  /// T of E = m u(T, y), from a guess;   p = m R T/V.
  RoomGas<T> gas_of(const Room& r, const Amount<T>& held, double guess) const {
    const double burned = held.burned / held.mass;
    const double t = gas_.settled(held.energy / held.mass, burned, guess).temperature;
    return {held.mass * gas_.gas_constant(burned) * t / r.volume, t, burned};
  }
  Amount<T> stored(const Room& r) const {
    Amount<T> sum = r.held;
    if (!r.piped) return sum;
    const auto& pipe = pipes_[static_cast<std::size_t>(r.duct)].pipe;
    sum.mass += numerics::lane(pipe.content(&pipe::Cell<T>::mass), r.lane);
    sum.energy += numerics::lane(pipe.content(&pipe::Cell<T>::energy), r.lane);
    return sum;
  }

  void feed_room(Room& r, double dt) {
    r.drawn -= r.came.mass;
    const RoomGas<T>& from = r.feed > 0.0 ? outside_ : r.now;
    const double h = gas_.caloric(from.temperature, from.burned).energy +
                     gas_.gas_constant(from.burned) * from.temperature;
    const double mass = dt * r.feed;
    const Amount<T> fed{mass, mass * h, mass * from.burned};
    r.came.add(fed);
    given_.add(fed);
  }
  void step_pipe(Ducts& d, double dt) {
    T p(0.0), t(0.0), y(0.0), p_far(0.0), t_far(0.0), y_far(0.0);
    for (int i = 0; i < kLanes; ++i) {
      const Room& r = at(d.room[i]);
      const RoomGas<T>& far = r.into < 0 ? outside_ : at(r.into).now;
      numerics::set_lane(p, i, r.now.pressure);
      numerics::set_lane(t, i, r.now.temperature);
      numerics::set_lane(y, i, r.now.burned);
      numerics::set_lane(p_far, i, far.pressure);
      numerics::set_lane(t_far, i, far.temperature);
      numerics::set_lane(y_far, i, far.burned);
    }
    const auto both = pipe::open_end(
        pipe::joined(d.pipe.left_gas(), d.pipe.right_gas()),
        pipe::joined(pipe::still_gas(gas_, p, t, y), pipe::still_gas(gas_, p_far, t_far, y_far)),
        d.memory);
    const auto near = pipe::first_of(both), far = pipe::second_of(both);
    d.pipe.finish(T(dt), near, far);
    for (int i = 0; i < d.count; ++i) {
      Room& r = at(d.room[i]);
      r.came.add(amount_of(dt * d.area, near.flux, i));
      const Amount<T> out = amount_of(dt * d.outer_area, far.flux, i);
      if (r.into >= 0) {
        at(r.into).came.add(out);
        continue;
      }
      given_.add({-out.mass, -out.energy, -out.burned});
      if (out.mass > 0.0) leaving_.add(out);
    }
  }

  Gas gas_;
  bool still_;
  double time_ = 0.0;
  RoomGas<T> outside_{};
  Amount<T> given_, leaving_;
  std::vector<Room> rooms_;
  std::vector<Ducts> pipes_;
};

}  // namespace airchain::engine
