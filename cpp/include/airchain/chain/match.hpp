#pragma once

#include "airchain/base/status.hpp"
#include "airchain/chain/path.hpp"
#include "airchain/chain/result.hpp"
#include "airchain/numerics/root.hpp"

// The match: the flow at which what arrives through compressor, ducts and cooler is what the
// engine swallows. The unknown is the place along the compressor's speed line, so that steep choke
// sides need no inverse; without a compressor it is the flow itself.
namespace airchain::chain {

/// What the engine does with the charge of a path.
template <class T>
struct Demand {
  T air_flow;  ///< dry air swallowed [kg/s]
  T volumetric_efficiency;
  T exhaust_pressure, exhaust_temperature;
  T indicated_efficiency;
  T pressure_ratio;  ///< plenum over exhaust
};

template <class T>
struct Match {
  Path<T> path;
  T air_flow;     ///< dry air into the engine [kg/s]
  T bypass_flow;  ///< dry air vented [kg/s]
  T status, flags;
  T place;
  T left_flow, right_flow;  ///< corrected, at the ends of the speed line [kg/s]
};

inline constexpr double kFlowTolerance = 1e-12;  // relative difference of the two flows
inline constexpr double kPlaceTolerance = 1e-14;

template <class T, class BreathingLine>
Demand<T> demand_of(const Chain<T>& c, const Setup<T>& setup, const BreathingLine& breathing,
                    const Path<T>& p, T exhaust_air_flow) {
  Demand<T> d;
  d.indicated_efficiency = setup.indicated_efficiency *
                           c.combustion.phasing_factor(c.combustion.phasing_at(p.plenum.pressure));
  const T mass = T(1.0) + setup.entry.vapour + setup.fuel_air_ratio;
  const T heat = setup.fuel_air_ratio * c.fuel.lower_heating_value *
                 (setup.combustion_efficiency * (T(1.0) - c.combustion.coolant_share) -
                  d.indicated_efficiency);
  d.exhaust_temperature = p.charge.temperature + heat / (mass * T(cylinder::kExhaustHeatCapacity));
  d.exhaust_pressure =
      c.exhaust.back_pressure(setup.ambient.pressure, exhaust_air_flow * mass,
                              T(cylinder::kExhaustGasConstant) * d.exhaust_temperature);
  d.pressure_ratio = p.plenum.pressure / d.exhaust_pressure;
  d.volumetric_efficiency =
      breathing.at(d.pressure_ratio)[0] * c.breathing.temperature_factor(p.charge.temperature);
  d.air_flow = d.volumetric_efficiency * setup.displaced_rate * p.plenum.pressure /
               (p.burnable.gas_constant * p.charge.temperature);
  return d;
}

/// Dry air that the bypass passes fully open.
template <class T>
AIRCHAIN_INLINE T bypass_capacity(const Chain<T>& c, const Setup<T>& setup, const Path<T>& p) {
  const T ratio = setup.ambient.pressure / p.plenum.pressure;
  const T function = gas::nozzle_flow_function(numerics::min(ratio, T(1.0)), T(1.4));
  return function * c.bypass.effective_area * p.plenum.pressure /
         sqrt(p.plenum.mass_ratio() * p.cooled.gas_constant * p.plenum.temperature);
}

/// Place along the speed line where `residual(path)` rises through zero. It is first sought without
/// condensation in the cooler; only lanes that condense there take the second answer, so that no
/// lane depends on its neighbours.
template <class T, class Line, class Residual>
numerics::Root<T> find_place(const Chain<T>& c, Setup<T>& setup, const Line& line, T start, T slope,
                             Residual&& residual) {
  const auto seek = [&](T from) {
    return numerics::bracketed_root<T>(
        [&](T x) { return residual(boosted_path(c, setup, line, x)); }, T(0.0), T(1.0), from, slope,
        kFlowTolerance, kPlaceTolerance);
  };
  const bool condensed_before = setup.condenses;
  setup.condenses = false;
  auto root = seek(start);
  const auto wet = excess_water(boosted_path(c, setup, line, root.x).cooler_outlet) > T(0.0);
  setup.condenses = condensed_before;
  if (!any(wet)) return root;
  setup.condenses = true;
  const auto second = seek(start);
  root.x = where(wet, second.x, root.x);
  root.below = where(wet, second.below, root.below);
  root.above = where(wet, second.above, root.above);
  root.converged = where(wet, second.converged, root.converged);
  return root;
}

template <class T, class Line, class BreathingLine>
void open_bypass(const Chain<T>& c, Setup<T>& setup, const Line& line,
                 const BreathingLine& breathing, Match<T>& m, T& solved) {
  const T limit = setup.ambient.pressure + c.bypass.opens_at;
  const auto over = (m.path.plenum.pressure > limit * T(1.0 + 1e-12)) & (solved > T(0.0));
  if (!any(over)) return;
  // Regulating: the plenum is held at the limit, the valve passes what the engine does not take.
  auto root = find_place(c, setup, line, m.place, T(0.5),
                         [&](const Path<T>& p) { return T(1.0) - p.plenum.pressure / limit; });
  Path<T> held = boosted_path(c, setup, line, root.x);
  T engine_flow = m.air_flow;
  for (int i = 0; i < 12; ++i)  // contracts by a factor of about 20 a turn
    engine_flow = demand_of(c, setup, breathing, held, engine_flow).air_flow;
  T vented = held.flow - engine_flow;
  T place = root.x;
  const auto small = (vented > bypass_capacity(c, setup, held)) & over;
  T saturated(0.0);
  if (any(small)) {
    const auto full = find_place(c, setup, line, m.place, T(0.5), [&](const Path<T>& p) {
      const T rest = p.flow - bypass_capacity(c, setup, p);
      const T taken = demand_of(c, setup, breathing, p, numerics::max(rest, T(0.0))).air_flow;
      return (rest - taken) / (p.flow + taken);
    });
    place = where(small, full.x, place);
    held = boosted_path(c, setup, line, place);
    const T capacity = bypass_capacity(c, setup, held);
    vented = where(small, capacity, vented);
    engine_flow = where(small, held.flow - capacity, engine_flow);
    saturated = where(small, T(1.0), T(0.0));
    root.above = where(small, full.above, root.above);
    root.converged = where(small, full.converged, root.converged);
  }
  m.place = where(over, place, m.place);
  m.path = boosted_path(c, setup, line, m.place);
  m.air_flow = where(over, engine_flow, m.air_flow);
  m.bypass_flow = where(over, vented, T(0.0));
  using base::Flag;
  using base::Status;
  m.flags += where(over, T(double(Flag::bypass_open)), T(0.0)) +
             where(over, saturated * T(double(Flag::bypass_saturated)), T(0.0));
  m.status = where(over & (root.above > T(0.0)), T(double(Status::beyond_choke)), m.status);
  m.status = where(over & (root.converged < T(1.0)), T(double(Status::not_converged)), m.status);
}

template <class T, class BreathingLine>
Match<T> match_boosted(const Chain<T>& c, Setup<T>& setup, const BreathingLine& breathing) {
  using base::Flag;
  using base::Status;
  const auto& map = *c.compressor.map;
  const auto line = map.table().line(setup.speed);
  const auto root = find_place(c, setup, line, T(0.5), T(0.3), [&](const Path<T>& p) {
    const T taken = demand_of(c, setup, breathing, p, p.flow).air_flow;
    return (p.flow - taken) / (p.flow + taken);
  });
  Match<T> m;
  const T flow_unit = c.compressor.flow_scale * setup.speed;
  m.left_flow = line.at(T(0.0))[compressor::CompressorMap::phi] * flow_unit;
  m.right_flow = line.at(T(1.0))[compressor::CompressorMap::phi] * flow_unit;
  m.place = root.x;
  m.path = boosted_path(c, setup, line, root.x);
  m.air_flow = m.path.flow;
  m.bypass_flow = T(0.0);
  const auto left_end = map.data().left_end;
  const bool choke_known = map.data().right_end == compressor::RightEnd::choke;
  const double left = double(compressor::left_status(left_end));
  m.flags = T(double(compressor::left_flag(left_end)) +
              (choke_known ? 0.0 : double(Flag::choke_not_known)));
  m.flags += where(setup.speed < T(map.lowest_speed() / map.design_speed() * (1.0 - 1e-9)),
                   T(double(Flag::below_lowest_speed_line)), T(0.0));
  m.status = where(root.converged < T(1.0), T(double(Status::not_converged)), T(0.0));
  m.status = where(root.below > T(0.0), T(left), m.status);
  m.status = where(root.above > T(0.0), T(double(Status::beyond_choke)), m.status);
  T solved = where(m.status > T(0.0), T(0.0), T(1.0));
  // An open bypass lets the compressor off the left end: more air than the engine takes.
  const T surge_candidate = where(root.below > T(0.0), T(1.0), T(0.0));
  solved = where(surge_candidate > T(0.0), T(1.0), solved);
  const T before = m.status;
  open_bypass(c, setup, line, breathing, m, solved);
  const auto vented = m.bypass_flow > T(0.0);
  m.status = where(vented & (before >= T(left)) & (before <= T(left)) & (m.status <= before) &
                       (m.place > T(0.0)),
                   T(0.0), m.status);
  m.status = where(setup.speed > T(1.0 + 1e-9), T(double(Status::outside_map)), m.status);
  return m;
}

template <class T, class BreathingLine>
Match<T> match_plain(const Chain<T>& c, const Setup<T>& setup, const BreathingLine& breathing) {
  using base::Status;
  // Full cylinders at ambient density: no inlet can pass more than twice that.
  const T guess = c.engine.displaced_rate(c.operation.engine_speed) * setup.scoop.pressure /
                  (setup.gas.gas_constant * setup.entry.temperature);
  const auto root = numerics::bracketed_root<T>(
      [&](T x) {
        const Path<T> p = plain_path(c, setup, x * guess);
        const T taken = demand_of(c, setup, breathing, p, p.flow).air_flow;
        return (p.flow - taken) / (p.flow + taken);
      },
      T(1e-6), T(2.0), T(0.85), T(0.6), kFlowTolerance, kPlaceTolerance);
  Match<T> m;
  m.place = m.left_flow = m.right_flow = T(0.0);
  m.path = plain_path(c, setup, root.x * guess);
  m.air_flow = m.path.flow;
  m.bypass_flow = m.flags = T(0.0);
  const auto failed = (root.converged < T(1.0)) | (root.below + root.above > T(0.0));
  m.status = where(failed, T(double(Status::not_converged)), T(0.0));
  return m;
}

}  // namespace airchain::chain
