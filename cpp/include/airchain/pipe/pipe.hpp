#pragma once

#include <vector>

#include "airchain/pipe/ends.hpp"
#include "airchain/pipe/shape.hpp"

namespace airchain::pipe {

/// Content of a cell per volume, and the gas that it is.
template <class T>
struct Cell {
  T mass, momentum, energy, burned_mass;
  T velocity, pressure, burned, temperature;
  T inverse_mass;
  T inner_energy, heat, burned_rise, gas_constant;  // of the gas, per kg
  T sound_speed, stiffness;                         // stiffness: gamma p
  gas::Expansion<T> about;                          // near its temperature
};

/// A cell keeps the series of its energy over this change of temperature [K]; what it then misses
/// is 0.02 K (`gas::settled_by`).
inline constexpr double kSeriesReach = 40.0;

/// State of a gas at rest with which a pipe is filled.
template <class T>
struct Filling {
  T pressure, temperature, burned;
};

/// What a slope is taken of.
template <class T>
struct FlowState {
  T density, velocity, pressure, burned;

  AIRCHAIN_INLINE friend FlowState operator-(const FlowState& a, const FlowState& b) {
    return {a.density - b.density, a.velocity - b.velocity, a.pressure - b.pressure,
            a.burned - b.burned};
  }
  AIRCHAIN_INLINE friend FlowState operator*(T factor, const FlowState& a) {
    return {factor * a.density, factor * a.velocity, factor * a.pressure, factor * a.burned};
  }
};

/// One-dimensional unsteady flow of a gas of two classes in a pipe: finite volumes,
///
///     d(rho A)/dt + d(rho u A)/dx = 0
///     d(rho u A)/dt + d((rho u^2 + p) A)/dx = p dA/dx - f rho u|u| P/2
///     d(rho E A)/dt + d(u (rho E + p) A)/dx = q P,   q = f/2 rho |u| cp Pr^(-2/3) (T_wall - T)
///     d(rho Y A)/dt + d(rho u Y A)/dx = 0
///
/// by the MUSCL-Hancock scheme [van Leer 1984; Toro 2009, section 14.4] in primitive variables with
/// HLLC fluxes: second order in space and time where the flow is smooth. f is Fanning's friction
/// factor, P the perimeter; heat by Colburn's analogy. Lanes are pipes of one shape, each with its
/// own time step. The shape must outlive the pipe. Left out: bends, conduction along the pipe,
/// friction that depends on frequency, wall temperature that moves within a cycle. Energies at the
/// faces follow the cell's heat capacity, which is within the order of the scheme.
template <class T, class Gas>
class Pipe {
 public:
  Pipe(const Shape& shape, const Gas& gas) : shape_(shape.view()), gas_(gas) {
    cells_.resize(static_cast<std::size_t>(shape_.cells));
  }

  int size() const { return shape_.cells; }
  const Cell<T>& cell(int i) const { return cells_[static_cast<std::size_t>(i)]; }
  T wall_temperature{300.0};

  /// Heat from the walls into the gas since it was last set to nothing [J].
  T wall_heat{0.0};

  void fill(const Filling<T>& filling) {
    for (int i = 0; i < size(); ++i)
      set(i, filling.pressure, filling.temperature, T(0.0), filling.burned);
    start();
  }
  /// Fills one lane with gas at rest and leaves the others as they are.
  void fill_lane(int lane, const Filling<T>& filling) {
    Cell<T> still = made(filling.pressure, filling.temperature, T(0.0), filling.burned);
    const T speed = derive(still);
    for (Cell<T>& c : cells_) copy_lane(c, still, lane);
    for (auto* end : {&left_, &right_}) copy_lane(*end, state_of(still), lane);
    numerics::set_lane(fastest_, lane, numerics::lane(speed, lane));
  }
  /// A lane's flow put aside: of every cell the contents and a guess of the temperature, and what
  /// stands at the ends. Its types belong to the pipe, and so to its instruction set.
  struct StoredCell {
    double mass, momentum, energy, burned_mass, temperature;
  };
  struct StoredEnd {
    double density, velocity, pressure, burned;
  };
  struct StoredFlow {
    std::vector<StoredCell> cells;
    StoredEnd left, right;
  };
  StoredFlow stored_lane(int lane) const;
  /// Puts a lane's flow back, from a pipe of the same length but perhaps other cells: straight
  /// between the middles of its cells. Leaves the other lanes as they are.
  void restore_lane(int lane, const StoredFlow& flow);
  /// Sets one cell; call `start` after the last one.
  void set(int i, T pressure, T temperature, T velocity, T burned) {
    at(i) = made(pressure, temperature, velocity, burned);
  }
  /// Derives the flow from the contents; the ends keep no slope of an earlier flow.
  void start() {
    fastest_ = T(0.0);
    for (int i = 0; i < size(); ++i) refresh(i);
    left_ = state_of(cell(0));
    right_ = state_of(cell(size() - 1));
  }

  /// Longest time that no wave needs to cross a cell [s]: t = dx/max(|u| + a).
  T crossing_time() const { return T(shape_.width) / fastest_; }

  /// One step. `left` and `right` turn the gas arriving at an end (velocity outward) into an End.
  template <class Left, class Right>
  AIRCHAIN_INLINE void advance(T dt, Left&& left, Right&& right) {
    prepare(dt);
    const End<T> first = left(left_gas());
    finish(dt, first, right(right_gas()));
  }
  /// The same in two parts, for ends that are solved together with another pipe's: the gas at the
  /// ends half a step on, then the step.
  __attribute__((noinline)) void prepare(const T& dt);
  __attribute__((noinline)) void finish(const T& dt, const End<T>& left, const End<T>& right);
  /// Gas arriving at an end after `prepare`, its velocity outward.
  AIRCHAIN_INLINE EndGas<T> left_gas() const {
    return end_gas(first_.left, cells_.front(), T(-1.0));
  }
  AIRCHAIN_INLINE EndGas<T> right_gas() const {
    return end_gas(last_.right, cells_.back(), T(1.0));
  }

  /// Mass [kg], energy [J] or burned mass [kg] in the whole pipe: sum = q_1 V_1 + q_2 V_2 + ...
  T content(T Cell<T>::*member) const {
    T sum(0.0);
    for (int i = 0; i < size(); ++i) sum += cell(i).*member * T(shape_.volume[i]);
    return sum;
  }

 private:
  struct Faces {
    Side<T> left, right;
    T pressure, velocity;  // of the cell half a step on

    /// Number by number: copied as one block of memory it would take ten times as long.
    AIRCHAIN_INLINE void become(const Faces& b) {
      for (const auto side : {&Faces::left, &Faces::right})
        for (const auto member : {&Side<T>::density, &Side<T>::velocity, &Side<T>::pressure,
                                  &Side<T>::burned, &Side<T>::energy})
          this->*side.*member = b.*side.*member;
      pressure = b.pressure;
      velocity = b.velocity;
    }
  };

  /// A cell per volume: m = p/(R T), momentum = m v, energy = m (u + v^2/2), burned mass = m y.
  Cell<T> made(T pressure, T temperature, T velocity, T burned) const {
    Cell<T> c{};
    const auto gas = gas_.caloric(temperature, burned);
    c.mass = pressure / (gas_.gas_constant(burned) * temperature);
    c.momentum = c.mass * velocity;
    c.energy = c.mass * (gas.energy + T(0.5) * velocity * velocity);
    c.burned_mass = c.mass * burned;
    c.temperature = temperature;
    c.about = gas_.expansion(temperature);
    return c;
  }
  Cell<T>& at(int i) { return cells_[static_cast<std::size_t>(i)]; }
  AIRCHAIN_INLINE static FlowState<T> state_of(const Cell<T>& c) {
    return {c.mass, c.velocity, c.pressure, c.burned};
  }
  /// Differences to a cell's neighbour; the line from one beyond an end passes the end's state.
  AIRCHAIN_INLINE FlowState<T> ahead_of(int i) const {
    return state_of(cell(i + 1)) - state_of(cell(i));
  }
  AIRCHAIN_INLINE FlowState<T> from_left_end() const {
    return T(2.0) * (state_of(cells_.front()) - left_);
  }
  AIRCHAIN_INLINE FlowState<T> to_right_end() const {
    return T(2.0) * (right_ - state_of(cells_.back()));
  }
  /// Both are of numbers of the type T alone.
  template <class Numbers>
  static void copy_lane(Numbers& to, const Numbers& from, int lane);

  /// Both faces of a cell half a step on, from the differences to its neighbours (step.hpp).
  AIRCHAIN_INLINE void halves(Faces& out, int i, T dt, const FlowState<T>& back,
                              const FlowState<T>& ahead) const;
  /// Change of a cell's internal energy per volume with its primitive variables.
  AIRCHAIN_INLINE T energy_rise(const Cell<T>& c, const FlowState<T>& d) const;
  /// Returns the heat from the wall per volume.
  AIRCHAIN_INLINE T update(int i, T dt, const Faces& face, const Flux<T>& in, const Flux<T>& out);
  /// Pressure and temperature of the gas from the contents of a cell; returns the fastest wave.
  AIRCHAIN_INLINE T derive(Cell<T>& c) const;
  /// The same of cells in a row, without the wave.
  AIRCHAIN_INLINE void derive_block(int from, int to);
  AIRCHAIN_INLINE void derive_by_series(Cell<T>& c) const;
  /// True where a cell's gas is too far from its series' temperature.
  AIRCHAIN_INLINE static auto beyond_series(const Cell<T>& c) {
    return !(abs(c.temperature - c.about.temperature) < T(kSeriesReach));
  }
  /// A new series where that is so, about a guess of the temperature, and what follows from it.
  AIRCHAIN_INLINE void renew_series(Cell<T>& c, T guess) const;
  /// |v| + a.
  AIRCHAIN_INLINE static T wave_speed(const Cell<T>& c) { return abs(c.velocity) + c.sound_speed; }
  AIRCHAIN_INLINE void refresh(int i) { fastest_ = numerics::max(fastest_, derive(at(i))); }
  /// At an end: T = p/(rho R), u = e/rho.
  AIRCHAIN_INLINE EndGas<T> end_gas(const Side<T>& s, const Cell<T>& c, T outward) const {
    // The line through the cell may run past what a share can be.
    const T burned = numerics::min(numerics::max(s.burned, T(0.0)), T(1.0));
    const T r = gas_.gas_constant(burned);
    const T volume = T(1.0) / s.density;
    return {s.pressure, s.pressure * volume / r, outward * s.velocity,
            burned,     s.energy * volume,       c.heat,
            r};
  }

  ShapeView shape_;
  Gas gas_;
  std::vector<Cell<T>> cells_;
  Faces first_{}, last_{};
  FlowState<T> left_{}, right_{};
  T fastest_{0.0};
};

}  // namespace airchain::pipe

#include "airchain/pipe/lane_flow.hpp"
#include "airchain/pipe/step.hpp"
