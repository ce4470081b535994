#pragma once

#include <type_traits>

#include "airchain/base/status.hpp"
#include "airchain/chain/path.hpp"
#include "airchain/chain/result.hpp"
#include "airchain/numerics/straightened_root.hpp"

// The match: the flow at which what arrives through compressor, ducts and cooler is what the
// engine swallows. The unknown is the place along the compressor's speed line, so that steep choke
// sides need no inverse; without a compressor it is the flow itself.
namespace airchain::chain {

template <class T>
AIRCHAIN_INLINE T flag_if(decltype(T(0.0) < T(0.0)) set, base::Flag flag) {
  return where(set, T(double(flag)), T(0.0));
}

/// What the engine does with the charge of a path.
template <class T>
struct Demand {
  T volumetric_efficiency, trapping;
  T exhaust_pressure, exhaust_temperature;
  T indicated_efficiency, wall_heat;  ///< of the mean-value cycle, over the fuel's heating value
  T pressure_ratio;                   ///< plenum over exhaust
};

/// What stands at one place.
template <class T>
struct Tried {
  Path<T> path;
  Demand<T> demand;
};

template <class T>
struct Found : Tried<T> {
  numerics::StraightenedRoot<T> root;
};

template <class T>
struct Match : Found<T> {
  T air_flow;     ///< dry air into the engine [kg/s]
  T bypass_flow;  ///< dry air vented [kg/s]
  T status, flags;
  T place;
  T left_flow, right_flow;  ///< corrected, at the ends of the speed line [kg/s]
};

inline constexpr double kFlowTolerance = 1e-12;  // relative difference of the two flows
inline constexpr double kPlaceTolerance = 1e-14;

/// Volumetric efficiency and trapping behind an exhaust pressure that is known.
template <class T, class BreathingLine, class Burn>
AIRCHAIN_INLINE void fill(BreathingLine& breathing, const Path<T>& p, const Burn& burn,
                          Demand<T>& d) {
  d.pressure_ratio = p.plenum_pressure / d.exhaust_pressure;
  const auto filling =
      breathing.at(d.pressure_ratio, p.charge_temperature, d.exhaust_pressure, burn);
  d.volumetric_efficiency = filling.volumetric_efficiency;
  d.trapping = filling.trapping;
}

/// Dry air that the engine swallows [kg/s].
template <class T>
AIRCHAIN_INLINE T swallowed(const Setup<T>& setup, const Path<T>& p, const Demand<T>& d) {
  return d.volumetric_efficiency * setup.displaced_rate * p.plenum_pressure /
         (p.charge_gas_constant * p.charge_temperature * d.trapping);
}

/// Density of dry air at plenum pressure and charge temperature [kg/m^3].
template <class T>
AIRCHAIN_INLINE T charge_density(const Path<T>& p) {
  return p.plenum_pressure / (T(gas::kDryAir.gas_constant()) * p.charge_temperature);
}

/// What the engine takes on a path, exhaust gas leaving at the flow W_ex of dry air:
///
///     T_exhaust = T_charge + trapping e q/cp,   q = (burned heat - (eta_i + walls) fuel heat)/m
///     p_exhaust = back_pressure(W_ex m, R (T_charge + e q/cp)),   cp = 1208 J/(kg K)
///     e the share left behind ports and primary,   m charge per dry air
///     W = eta_v V' p_plenum/(R_charge T_charge trapping),   V' = V_d omega/(4 pi)
///
/// Where cycles tell it, T_exhaust is theirs, at the pressures that an exhaust of 1100 K would
/// have: it hardly answers to them.
template <class T, class BreathingLine>
AIRCHAIN_INLINE Demand<T> demand_of(const Chain<T>& c, const Setup<T>& setup,
                                    BreathingLine& breathing, const Path<T>& p,
                                    T exhaust_air_flow) {
  Demand<T> d;
  const T half_burned = c.combustion.phasing_at(p.plenum_pressure);
  const typename cylinder::Breathing<T>::Burn burn{half_burned, c.injection.lambda};
  const auto back_pressure = [&](T temperature) AIRCHAIN_INLINE_LAMBDA {
    return cylinder::Exhaust<T>::back_pressure(setup.exhaust_resistance, setup.ambient.pressure,
                                               exhaust_air_flow * setup.charge_mass,
                                               T(cylinder::kExhaustGasConstant) * temperature);
  };
  if (c.breathing.tells_work()) {
    constexpr double kUsualExhaust = 1100.0;
    d.indicated_efficiency = setup.indicated_efficiency;
    d.wall_heat = T(0.0);
    const T pressure = back_pressure(T(kUsualExhaust));
    d.exhaust_temperature = breathing.exhaust_temperature(p.plenum_pressure / pressure,
                                                          p.charge_temperature, pressure, burn);
    d.exhaust_pressure = back_pressure(d.exhaust_temperature);
    fill(breathing, p, burn, d);
    return d;
  }
  const auto& law = setup.mean_value;
  constexpr double kUsual = cylinder::mean_value::kDensity * gas::kDryAir.gas_constant();
  const T l = cylinder::near_log(p.plenum_pressure, T(kUsual) * p.charge_temperature);
  const auto shares =
      c.combustion.shares(setup.indicated_efficiency, setup.wall_heat, law, l, half_burned);
  d.indicated_efficiency = shares.work;
  d.wall_heat = shares.wall_heat;
  const T heat = (setup.burned_heat - setup.fuel_heat * (d.indicated_efficiency + d.wall_heat)) *
                 setup.per_charge_mass;
  const T rise = law.exhaust_rise(l, heat, p.charge_temperature);
  // Charge lost in the overlap cools the exhaust; for the back pressure alone that is neglected.
  d.exhaust_pressure = back_pressure(p.charge_temperature + rise);
  fill(breathing, p, burn, d);
  d.exhaust_temperature = p.charge_temperature + rise * d.trapping;
  return d;
}

/// Difference of two flows over their sum, f = (W_path - W_engine)/(W_path + W_engine); fills in
/// what the engine takes on this path.
template <class T, class BreathingLine>
AIRCHAIN_INLINE auto imbalance(const Chain<T>& c, const Setup<T>& setup, BreathingLine& breathing) {
  return [&](const Path<T>& p, Demand<T>& d) AIRCHAIN_INLINE_LAMBDA {
    d = demand_of(c, setup, breathing, p, p.flow);
    const T taken = swallowed(setup, p, d);
    return (p.flow - taken) / (p.flow + taken);
  };
}

/// Dry air that the bypass passes fully open [kg/s].
///
///     W = psi(p_ambient/p_plenum) A p_plenum/sqrt(m R T),   gamma = 1.4
template <class T>
AIRCHAIN_INLINE T bypass_capacity(const Chain<T>& c, const Setup<T>& setup, const Path<T>& p) {
  const bool at_plenum = c.injection.place == fuel::InjectionPlace::plenum;
  const T mass = at_plenum ? setup.charge_mass : setup.mass;
  const T temperature = at_plenum ? p.charge_temperature : p.cooler_outlet_temperature;
  const T ratio = setup.ambient.pressure / p.plenum_pressure;
  const T function = gas::nozzle_flow_function(numerics::min(ratio, T(1.0)), T(1.4));
  return function * c.bypass.effective_area * p.plenum_pressure /
         sqrt(mass * cooled_mixture(setup, p.condensed).gas_constant * temperature);
}

/// Whether a compressor that is asked for more slides down its choke line: its map must say that
/// its right ends are choke.
template <class T>
AIRCHAIN_INLINE bool slides(const Chain<T>& c) {
  return c.compressor.map->data().right_end == compressor::RightEnd::choke;
}

/// What a struct of nothing but T holds, number by number.
template <class T, template <class> class Numbers>
AIRCHAIN_INLINE T* numbers_of(Numbers<T>& all) {
  static_assert(sizeof(Numbers<T>) % sizeof(T) == 0 && std::is_standard_layout_v<Numbers<T>>);
  return reinterpret_cast<T*>(&all);
}
template <class T, template <class> class Numbers>
AIRCHAIN_INLINE const T* numbers_of(const Numbers<T>& all) {
  return numbers_of(const_cast<Numbers<T>&>(all));
}

/// The numbers of `other` in the lanes of `taken`.
template <class T, template <class> class Numbers, class Mask>
void take(Numbers<T>& mine, Mask taken, const Numbers<T>& other) {
  T* to = numbers_of(mine);
  const T* from = numbers_of(other);
  for (std::size_t i = 0; i < sizeof mine / sizeof(T); ++i) to[i] = where(taken, from[i], to[i]);
}

/// The same, moved on by a share of what they changed since `before`.
template <class T, template <class> class Numbers, class Mask>
AIRCHAIN_INLINE void move_on(Numbers<T>& mine, Mask taken, const Numbers<T>& other,
                             const Numbers<T>& before, T share) {
  constexpr std::size_t kCount = sizeof mine / sizeof(T);
  T* to = numbers_of(mine);
  const T *from = numbers_of(other), *old = numbers_of(before);
  if (!any(!taken))
    for (std::size_t i = 0; i < kCount; ++i) to[i] = from[i] + share * (from[i] - old[i]);
  else
    for (std::size_t i = 0; i < kCount; ++i)
      to[i] = where(taken, from[i] + share * (from[i] - old[i]), to[i]);
}

template <class T, class Mask>
void merge(Found<T>& found, Mask taken, const Found<T>& other) {
  take(found.path, taken, other.path);
  take(found.demand, taken, other.demand);
  found.root.x = where(taken, other.root.x, found.root.x);
  found.root.below = where(taken, other.root.below, found.root.below);
  found.root.above = where(taken, other.root.above, found.root.above);
  found.root.converged = where(taken, other.root.converged, found.root.converged);
}

/// The root of `measure`, which tries a place; what stands at the last one is found, in every lane.
template <class T, class Measure>
AIRCHAIN_INLINE void search(Found<T>& found, T low, T high, T start, T slope, Measure&& measure) {
  Tried<T> tried[2];
  const Tried<T>*now = tried, *before = tried;
  int count = 0;
  const auto at = [&](T x) AIRCHAIN_INLINE_LAMBDA {
    Tried<T>& next = tried[count++ % 2];
    before = now;  // the first has none before it but itself
    now = &next;
    return measure(x, next);
  };
  const auto keep = [&](auto lanes, T share) AIRCHAIN_INLINE_LAMBDA {
    move_on(found.path, lanes, now->path, before->path, share);
    move_on(found.demand, lanes, now->demand, before->demand, share);
  };
  found.root = numerics::straightened_root<T>(at, keep, low, high, start, slope, kFlowTolerance,
                                              kPlaceTolerance);
}

/// The path at the place along the speed line where `residual(path, demand)` rises through zero.
template <bool Wet, class T, class Line, class Residual>
AIRCHAIN_INLINE void seek(Found<T>& found, const Chain<T>& c, const Setup<T>& setup, Line& line,
                          T start, Residual&& residual, double low = 0.0) {
  const auto at = [&](T x, Tried<T>& tried) AIRCHAIN_INLINE_LAMBDA {
    const T rise = boosted_path<Wet>(c, setup, line, x, tried.path);
    return numerics::Straightened<T>{residual(tried.path, tried.demand), rise};
  };
  search(found, T(low), T(low + 1.0), start, T(1.0), at);
}

/// Along the speed line; where even its choke end has too much pressure, down the choke line.
template <bool Wet, class T, class Line, class Residual>
AIRCHAIN_INLINE void seek_and_slide(Found<T>& found, const Chain<T>& c, const Setup<T>& setup,
                                    Line& line, T start, Residual&& residual) {
  seek<Wet>(found, c, setup, line, start, residual);
  const auto choked = found.root.above > T(0.0);
  if (any(choked) && slides(c)) [[unlikely]] {
    constexpr double kStart = 1.1;
    Found<T> slid{};
    seek<Wet>(slid, c, setup, line, T(kStart), residual, 1.0);
    merge(found, choked, slid);
  }
}

/// It is first sought without condensation in the cooler; only lanes that condense there take the
/// second answer, so that no lane depends on its neighbours.
template <class T, class Line, class Residual>
void find_place(Found<T>& found, const Chain<T>& c, const Setup<T>& setup, Line& line, T start,
                Residual&& residual) {
  seek_and_slide<false>(found, c, setup, line, start, residual);
  const T pressure = found.path.cooler_outlet_pressure;
  const T temperature = found.path.cooler_outlet_temperature;
  const T vapour = setup.entry.vapour;
  const auto doubtful =
      gas::vapour_pressure(vapour, pressure) > gas::surely_held_pressure(temperature);
  if (!any(doubtful)) return;
  // Asked of the doubtful lanes alone: far above the range of the quick bound the two may disagree,
  // and a lane that is not doubtful by itself must not become wet by its neighbours.
  const auto wet = doubtful & (excess_water(pressure, temperature, vapour) > T(0.0));
  if (any(wet)) [[unlikely]] {
    Found<T> second{};
    seek_and_slide<true>(second, c, setup, line, start, residual);
    merge(found, wet, second);
  }
}

template <class T, class Line, class BreathingLine>
void open_bypass(const Chain<T>& c, const Setup<T>& setup, Line& line, BreathingLine& breathing,
                 Match<T>& m, T& solved) {
  const T limit = setup.ambient.pressure + c.bypass.opens_at;
  const auto over = (m.path.plenum_pressure > limit * T(1.0 + 1e-12)) & (solved > T(0.0));
  if (!any(over)) return;
  // Regulating: the plenum is held at the limit, the valve passes what the engine does not take.
  const T start = numerics::min(m.place, T(1.0));
  Found<T> held{};
  find_place(held, c, setup, line, start,
             [&](const Path<T>& p, Demand<T>&) { return T(1.0) - p.plenum_pressure / limit; });
  T engine_flow = m.air_flow;
  for (int i = 0; i < 12; ++i) {  // contracts by a factor of about 20 a turn
    held.demand = demand_of(c, setup, breathing, held.path, engine_flow);
    engine_flow = swallowed(setup, held.path, held.demand);
  }
  T vented = held.path.flow - engine_flow;
  const auto small = (vented > bypass_capacity(c, setup, held.path)) & over;
  T saturated(0.0);
  if (any(small)) {
    Found<T> full{};
    find_place(full, c, setup, line, start, [&](const Path<T>& p, Demand<T>& d) {
      const T rest = numerics::max(p.flow - bypass_capacity(c, setup, p), T(0.0));
      d = demand_of(c, setup, breathing, p, rest);
      const T taken = swallowed(setup, p, d);
      return (rest - taken) / (p.flow + taken);
    });
    const T capacity = bypass_capacity(c, setup, full.path);
    vented = where(small, capacity, vented);
    engine_flow = where(small, full.path.flow - capacity, engine_flow);
    saturated = where(small, T(1.0), T(0.0));
    merge(held, small, full);
  }
  m.place = where(over, held.root.x, m.place);
  take(m.path, over, held.path);
  take(m.demand, over, held.demand);
  m.air_flow = where(over, engine_flow, m.air_flow);
  m.bypass_flow = where(over, vented, T(0.0));
  using base::Flag;
  using base::Status;
  m.flags += where(over, T(double(Flag::bypass_open)), T(0.0)) +
             where(over, saturated * T(double(Flag::bypass_saturated)), T(0.0));
  m.status = where(over & (held.root.above > T(0.0)), T(double(Status::beyond_choke)), m.status);
  m.status =
      where(over & (held.root.converged < T(1.0)), T(double(Status::not_converged)), m.status);
}

template <class T, class BreathingLine>
AIRCHAIN_INLINE Match<T> match_boosted(const Chain<T>& c, const Setup<T>& setup,
                                       BreathingLine& breathing) {
  using base::Flag;
  using base::Status;
  const auto& map = *c.compressor.map;
  auto line = map.table().line(setup.speed);
  Match<T> m;
  find_place(m, c, setup, line, T(0.5), imbalance(c, setup, breathing));
  const auto& root = m.root;
  const T flow_unit = c.compressor.flow_scale * setup.speed;
  m.left_flow = line.template one_at<compressor::CompressorMap::phi>(T(0.0)) * flow_unit;
  m.right_flow = line.template one_at<compressor::CompressorMap::phi>(T(1.0)) * flow_unit;
  m.place = root.x;
  m.air_flow = m.path.flow;
  m.bypass_flow = T(0.0);
  const auto left_end = map.data().left_end;
  const bool choke_known = slides(c);
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
  m.flags += where(m.place > T(1.0), T(double(Flag::on_choke_line)), T(0.0)) +
             where(setup.speed > T(1.0 + 1e-9), T(double(Flag::above_highest_speed_line)), T(0.0));
  m.place = numerics::min(m.place, T(1.0));
  m.status =
      where(setup.speed > T(kFarthestSpeed + 1e-9), T(double(Status::outside_map)), m.status);
  return m;
}

template <class T, class BreathingLine>
AIRCHAIN_INLINE Match<T> match_plain(const Chain<T>& c, const Setup<T>& setup,
                                     BreathingLine& breathing) {
  using base::Status;
  // Full cylinders at ambient density: no inlet can pass more than twice that.
  const T guess = setup.displaced_rate * setup.scoop.pressure /
                  (setup.gas.gas_constant * setup.entry.temperature);
  Match<T> m{};
  const auto residual = imbalance(c, setup, breathing);
  search(m, T(1e-6), T(2.0), T(0.85), T(0.6), [&](T x, Tried<T>& tried) AIRCHAIN_INLINE_LAMBDA {
    plain_path(setup, x * guess, tried.path);
    return numerics::Straightened<T>{residual(tried.path, tried.demand), T(1.0)};
  });
  const auto& root = m.root;
  m.place = m.left_flow = m.right_flow = T(0.0);
  m.air_flow = m.path.flow;
  m.bypass_flow = m.flags = T(0.0);
  const auto failed = (root.converged < T(1.0)) | (root.below + root.above > T(0.0));
  m.status = where(failed, T(double(Status::not_converged)), T(0.0));
  return m;
}

template <class T, class BreathingLine>
AIRCHAIN_INLINE Match<T> match(const Chain<T>& c, const Setup<T>& setup, BreathingLine& breathing) {
  return c.supercharged() ? match_boosted(c, setup, breathing) : match_plain(c, setup, breathing);
}

}  // namespace airchain::chain
