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
  T sound_speed;
};

/// State of a gas at rest with which a pipe is filled.
template <class T>
struct Filling {
  T pressure, temperature, burned;
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
    halves_.resize(cells_.size());
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
    for (Cell<T>& c : cells_)
      for (const auto member : kMembers)
        numerics::set_lane(c.*member, lane, numerics::lane(still.*member, lane));
    for (Ghost* ghost : {&left_, &right_}) {
      numerics::set_lane(ghost->density, lane, numerics::lane(still.mass, lane));
      numerics::set_lane(ghost->velocity, lane, 0.0);
      numerics::set_lane(ghost->pressure, lane, numerics::lane(still.pressure, lane));
      numerics::set_lane(ghost->burned, lane, numerics::lane(still.burned, lane));
    }
    numerics::set_lane(fastest_, lane, numerics::lane(speed, lane));
  }
  /// Sets one cell; call `start` after the last one.
  void set(int i, T pressure, T temperature, T velocity, T burned) {
    at(i) = made(pressure, temperature, velocity, burned);
  }
  /// Derives the flow from the contents; the ends keep no slope of an earlier flow.
  void start() {
    fastest_ = T(0.0);
    for (int i = 0; i < size(); ++i) refresh(i);
    left_ = ghost_of(cell(0));
    right_ = ghost_of(cell(size() - 1));
  }

  /// Longest time that no wave needs to cross a cell.
  T crossing_time() const { return T(shape_.width) / fastest_; }

  /// One step. `left` and `right` turn the gas arriving at an end (velocity outward) into an End.
  template <class Left, class Right>
  AIRCHAIN_INLINE void advance(T dt, Left&& left, Right&& right) {
    const int n = size();
    fastest_ = T(0.0);
    // Pass by pass: short independent bodies keep the processor busier than one long sweep.
    halves(half(0), 0, dt, mirrored(left_, cell(0)), ghost_of(cell(1)));
    for (int i = 1; i + 1 < n; ++i)
      halves(half(i), i, dt, ghost_of(cell(i - 1)), ghost_of(cell(i + 1)));
    halves(half(n - 1), n - 1, dt, ghost_of(cell(n - 2)), mirrored(right_, cell(n - 1)));
    const End<T> first = left(end_gas(half(0).left, cell(0), T(-1.0)));
    const End<T> last = right(end_gas(half(n - 1).right, cell(n - 1), T(1.0)));
    Flux<T> inflow{T(0.0) - first.flux.mass, first.flux.momentum, T(0.0) - first.flux.energy,
                   T(0.0) - first.flux.burned};
    for (int i = 0; i < n; ++i) {
      const Flux<T> outflow = i + 1 < n ? hllc(half(i).right, half(i + 1).left) : last.flux;
      update(i, dt, half(i), inflow, outflow);
      inflow = outflow;
    }
    for (int i = 0; i < n; ++i) refresh(i);
    left_ = {first.density, T(0.0) - first.velocity, first.pressure, first.burned};
    right_ = {last.density, last.velocity, last.pressure, last.burned};
  }

  /// Mass, energy or burned mass in the whole pipe.
  T content(T Cell<T>::*member) const {
    T sum(0.0);
    for (int i = 0; i < size(); ++i) sum += cell(i).*member * T(shape_.volume[i]);
    return sum;
  }

 private:
  struct Ghost {
    T density, velocity, pressure, burned;
  };
  struct Halves {
    Side<T> left, right;
    T pressure, velocity;  // of the cell half a step on
  };

  static constexpr T Cell<T>::*kMembers[] = {
      &Cell<T>::mass,         &Cell<T>::momentum,   &Cell<T>::energy,       &Cell<T>::burned_mass,
      &Cell<T>::velocity,     &Cell<T>::pressure,   &Cell<T>::burned,       &Cell<T>::temperature,
      &Cell<T>::inner_energy, &Cell<T>::heat,       &Cell<T>::inverse_mass, &Cell<T>::burned_rise,
      &Cell<T>::gas_constant, &Cell<T>::sound_speed};

  Cell<T> made(T pressure, T temperature, T velocity, T burned) const {
    Cell<T> c{};
    const auto gas = gas_.caloric(temperature, burned);
    c.mass = pressure / (gas_.gas_constant(burned) * temperature);
    c.momentum = c.mass * velocity;
    c.energy = c.mass * (gas.energy + T(0.5) * velocity * velocity);
    c.burned_mass = c.mass * burned;
    c.temperature = temperature;
    return c;
  }
  Halves& half(int i) { return halves_[static_cast<std::size_t>(i)]; }
  Cell<T>& at(int i) { return cells_[static_cast<std::size_t>(i)]; }
  AIRCHAIN_INLINE static Ghost ghost_of(const Cell<T>& c) {
    return {c.mass, c.velocity, c.pressure, c.burned};
  }

  /// A neighbour beyond the end, such that the line from it to the cell passes the end's state.
  AIRCHAIN_INLINE static Ghost mirrored(const Ghost& end, const Cell<T>& c) {
    const T two(2.0);
    return {two * end.density - c.mass, two * end.velocity - c.velocity,
            two * end.pressure - c.pressure, two * end.burned - c.burned};
  }

  /// Both faces of a cell half a step on, from limited slopes of the primitive variables.
  AIRCHAIN_INLINE void halves(Halves& out, int i, T dt, const Ghost& l, const Ghost& r) const;
  AIRCHAIN_INLINE void update(int i, T dt, const Halves& half, const Flux<T>& in,
                              const Flux<T>& out);
  /// Pressure and temperature of the gas from the contents of a cell; returns the fastest wave.
  AIRCHAIN_INLINE T derive(Cell<T>& c) const;
  AIRCHAIN_INLINE void refresh(int i) { fastest_ = numerics::max(fastest_, derive(at(i))); }
  AIRCHAIN_INLINE EndGas<T> end_gas(const Side<T>& s, const Cell<T>& c, T outward) const {
    // The line through the cell may run past what a share can be.
    const T burned = numerics::min(numerics::max(s.burned, T(0.0)), T(1.0));
    const T r = gas_.gas_constant(burned);
    return {
        s.pressure, s.pressure / (s.density * r), outward * s.velocity, burned, s.energy, c.heat,
        r};
  }

  ShapeView shape_;
  Gas gas_;
  std::vector<Cell<T>> cells_;
  std::vector<Halves> halves_;
  Ghost left_{}, right_{};
  T fastest_{0.0};
};

}  // namespace airchain::pipe

#include "airchain/pipe/step.hpp"
