#pragma once

#include <vector>

#include "airchain/engine/task.hpp"
#include "airchain/pipe/paired_ends.hpp"
#include "airchain/pipe/pipe.hpp"

// Plenum and collectors by filling and emptying.
namespace airchain::engine {

/// What crosses a mouth in a step, into the room: mass [kg], energy [J], burned mass [kg].
template <class T>
struct Amount {
  double mass = 0.0, energy = 0.0, burned = 0.0;

  AIRCHAIN_INLINE void add(const Amount& b) {
    mass += b.mass;
    energy += b.energy;
    burned += b.burned;
  }
};

/// Flux at a mouth times area and time.
template <class T>
AIRCHAIN_INLINE Amount<T> amount_of(double area_time, const pipe::Flux<T>& flux, int lane) {
  return {area_time * numerics::lane(flux.mass, lane),
          area_time * numerics::lane(flux.energy, lane),
          area_time * numerics::lane(flux.burned, lane)};
}

/// Gas of a room as its pipes see it.
template <class T>
struct RoomGas {
  double pressure, temperature, burned;
};

/// The rooms of one side of an engine, alike but for what flows in them: gas at rest that is mixed
/// at once,
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
/// Pipes see a room half a step on, by the flows of the step before. Rooms take exactly what
/// crosses their mouths. Lanes are rooms, in the pipe to the outside alone.
template <class T>
class Rooms {
 public:
  using Gas = gas::Charge;

  /// Largest step over the time in which sound would fill a room through its mouths.
  static constexpr double kFilling = 0.5;

  Rooms(const Side& side, const pipe::Shape* shape, const Gas& gas)
      : gas_(gas),
        still_(side.still),
        volume_(side.volume),
        mouths_(side.mouths),
        rooms_(static_cast<std::size_t>(side.count)) {
    if (still_ || shape == nullptr) return;
    area_ = shape->left_area();
    outer_area_ = shape->right_area();
    mouths_ += area_;
    for (int first = 0; first < side.count; first += kLanes) {
      pipes_.emplace_back(*shape, gas_);
      pipes_.back().pipe.wall_temperature = T(side.wall_temperature);
    }
  }

  int count() const { return static_cast<int>(rooms_.size()); }
  bool still() const { return still_; }
  bool has_pipe() const { return !pipes_.empty(); }

  /// Fills rooms and pipes with gas at rest, and tells what stands outside.
  void fill(const RoomGas<T>& gas) {
    outside_ = gas;
    for (Room& r : rooms_) {
      r = {};
      r.temperature = gas.temperature;
      r.pressure = gas.pressure;
      r.held.mass = gas.pressure * volume_ / (gas_.gas_constant(gas.burned) * gas.temperature);
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
  /// Steady flow from the outside into a room [kg/s], out of it negative; for rooms without pipe.
  double& feed(int room) { return at(room).feed; }

  /// t = min(0.5 V/(A a) of each room, courant crossing of the pipes) [s].
  double longest_step(double courant) const {
    double longest = 1e9;
    if (still_) return longest;
    for (const Room& r : rooms_) {
      constexpr double kQuickest = 1.4;
      const double sound = numerics::sqrt(kQuickest * r.pressure * volume_ / r.held.mass);
      longest = numerics::min(longest, kFilling * volume_ / (mouths_ * sound));
    }
    for (const Ducts& d : pipes_) {
      const T crossing = d.pipe.crossing_time();
      for (int i = 0; i < kLanes; ++i)
        longest = numerics::min(longest, courant * numerics::lane(crossing, i));
    }
    return longest;
  }

  /// Rooms half a step on: m = m_0 + dt/2 m', E and m y alike.
  void prepare(double dt) {
    if (still_) return;
    for (Room& r : rooms_) {
      Amount<T> half = r.held;
      half.add({0.5 * dt * r.rate.mass, 0.5 * dt * r.rate.energy, 0.5 * dt * r.rate.burned});
      r.now = gas_of(half, r.temperature);
      r.came = {};
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
    if (pipes_.empty()) {
      for (Room& r : rooms_) feed_room(r, dt);
    } else {
      for (std::size_t i = 0; i < pipes_.size(); ++i) step_pipe(i, dt);
    }
    const double per_time = 1.0 / dt;
    for (Room& r : rooms_) {
      r.held.add(r.came);
      r.rate = {per_time * r.came.mass, per_time * r.came.energy, per_time * r.came.burned};
      r.mean.pressure += dt * r.now.pressure;
      r.mean.temperature += dt * r.now.temperature;
      r.mean.burned += dt * r.now.burned;
      const RoomGas<T> end = gas_of(r.held, r.now.temperature);
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
    each_duct(
        [&](const Ducts& d, int lane) { sum.energy += numerics::lane(d.pipe.wall_heat, lane); });
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
  /// Sets rooms without pipe towards their mean pressure: contents by its ratio to what is wanted,
  /// the steady flow to what the cylinders moved in the round, for a plenum by that ratio too,
  /// since they draw the more the denser it is. Between two rounds, so that no balance of a round
  /// holds it. Returns the mistake of pressure there was.
  double adjust(bool draw_follows) {
    double most = 0.0;
    if (still_ || !pipes_.empty()) return most;
    constexpr double kMost = 1.25;
    constexpr double kPart =
        0.7;  // of the way, in contents: rounds answer late, and overshoot else
    for (Room& r : rooms_) {
      const double ratio = outside_.pressure * time_ / r.mean.pressure;
      const double factor = numerics::min(numerics::max(ratio, 1.0 / kMost), kMost);
      most = numerics::max(most, numerics::abs(ratio - 1.0));
      const double part = 1.0 + kPart * (factor - 1.0);
      r.held = {part * r.held.mass, part * r.held.energy, part * r.held.burned};
      r.pressure *= part;
      r.feed = (draw_follows ? factor : 1.0) * r.drawn / time_;
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
    Amount<T> held, rate, came, begun;
    RoomGas<T> now{}, mean{};
    double temperature = 300.0, pressure = 1e5;
    double feed = 0.0, drawn = 0.0;
  };
  /// Pipes of as many rooms as there are lanes.
  struct Ducts {
    pipe::Pipe<T, Gas> pipe;
    pipe::EndMemory<pipe::Both<T>> memory;
    Ducts(const pipe::Shape& shape, const Gas& gas) : pipe(shape, gas) {}
  };

  Room& at(int room) { return rooms_[static_cast<std::size_t>(room)]; }
  const Room& at(int room) const { return rooms_[static_cast<std::size_t>(room)]; }
  int room_of(std::size_t pack, int lane) const {
    const int room = static_cast<int>(pack) * kLanes + lane;
    return room < count() ? room : count() - 1;
  }

  /// T of E = m u(T, y), from a guess;   p = m R T/V.
  RoomGas<T> gas_of(const Amount<T>& held, double guess) const {
    const double burned = held.burned / held.mass;
    const double t = gas_.settled(held.energy / held.mass, burned, guess).temperature;
    return {held.mass * gas_.gas_constant(burned) * t / volume_, t, burned};
  }
  Amount<T> stored(const Room& r) const {
    Amount<T> sum = r.held;
    const auto place = static_cast<int>(&r - rooms_.data());
    each_duct(
        [&](const Ducts& d, int lane) {
          sum.mass += numerics::lane(d.pipe.content(&pipe::Cell<T>::mass), lane);
          sum.energy += numerics::lane(d.pipe.content(&pipe::Cell<T>::energy), lane);
        },
        place);
    return sum;
  }
  /// Calls for the pipe of every room, or of one.
  template <class Call>
  void each_duct(Call&& call, int only = -1) const {
    if (pipes_.empty()) return;
    for (int room = 0; room < count(); ++room)
      if (only < 0 || room == only)
        call(pipes_[static_cast<std::size_t>(room / kLanes)], room % kLanes);
  }

  AIRCHAIN_INLINE pipe::EndGas<T> still(const RoomGas<T>& g) const {
    return pipe::still_gas(gas_, T(g.pressure), T(g.temperature), T(g.burned));
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
  void step_pipe(std::size_t pack, double dt) {
    Ducts& d = pipes_[pack];
    T p(0.0), t(0.0), y(0.0);
    for (int i = 0; i < kLanes; ++i) {
      const RoomGas<T>& g = at(room_of(pack, i)).now;
      numerics::set_lane(p, i, g.pressure);
      numerics::set_lane(t, i, g.temperature);
      numerics::set_lane(y, i, g.burned);
    }
    const auto inside = pipe::still_gas(gas_, p, t, y);
    const auto both = pipe::open_end(pipe::joined(d.pipe.left_gas(), d.pipe.right_gas()),
                                     pipe::joined(inside, still(outside_)), d.memory);
    const auto near = pipe::first_of(both), far = pipe::second_of(both);
    d.pipe.finish(T(dt), near, far);
    for (int i = 0; i < kLanes; ++i) {
      const int room = static_cast<int>(pack) * kLanes + i;
      if (room >= count()) break;
      at(room).came.add(amount_of(dt * area_, near.flux, i));
      const Amount<T> out = amount_of(dt * outer_area_, far.flux, i);
      given_.add({-out.mass, -out.energy, -out.burned});
      if (out.mass > 0.0) leaving_.add(out);
    }
  }

  Gas gas_;
  bool still_;
  double volume_, mouths_;
  double area_ = 0.0, outer_area_ = 0.0;
  double time_ = 0.0;
  RoomGas<T> outside_{};
  Amount<T> given_, leaving_;
  std::vector<Room> rooms_;
  std::vector<Ducts> pipes_;
};

}  // namespace airchain::engine
