#pragma once

#include <array>

#include "airchain/chain/setup.hpp"

namespace airchain::chain {

/// The air from the scoop to the inlet valves at one assumed flow. Total pressures and
/// temperatures; what it carries is in Setup, but for the water that drops out.
template <class T>
struct Path {
  T flow;  ///< dry air through the compressor [kg/s]
  T corrected_flow;
  T work;  ///< of the compressor [J/kg of everything that flows]
  T compressor_inlet_pressure, compressor_outlet_pressure, compressor_outlet_temperature;
  T cooler_inlet_pressure, cooler_outlet_pressure, cooler_outlet_temperature;
  T effectiveness;
  T throttle_inlet_pressure, plenum_pressure, charge_temperature;
  T condensed;            ///< in the cooler [kg per kg dry air]
  T fuel_vapour;          ///< at the inlet valves [kg per kg dry air]
  T charge_gas_constant;  ///< at the inlet valves [J/(K kg dry air)]
  T lowest_duct_ratio;
  T throttle_load;  ///< over that which chokes
};

/// Load [m^4] at a dry-air flow: load = W^2 R T/p^2 of everything that flows; `constant` is mass R
/// per kg dry air.
template <class T>
AIRCHAIN_INLINE T load_of(T flow, T constant, T temperature, T pressure) {
  return numerics::square(flow / pressure) * (constant * temperature);
}

/// Ratios below this are never a solution: they are held there so that the search keeps its
/// direction, kept = max(ratio, 0.05).
inline constexpr double kLowestDuctRatio = 0.05;

template <class T>
AIRCHAIN_INLINE T held(T ratio, T& lowest) {
  const T kept = numerics::max(ratio, T(kLowestDuctRatio));
  lowest = numerics::min(lowest, kept);
  return kept;
}

/// Water that air of this state cannot hold as vapour [kg per kg dry air].
///
///     dw = max(w - 0.622 p_sat/(p - p_sat), 0),   p - p_sat of at least 1 Pa
template <class T>
AIRCHAIN_INLINE T excess_water(T pressure, T temperature, T vapour) {
  const T saturation = gas::saturation_pressure(temperature);
  const T room = numerics::max(pressure - saturation, T(1.0));
  return numerics::max(vapour - T(gas::kWaterToAirMassRatio) * saturation / room, T(0.0));
}

/// What flows between cooler and fuel once water has dropped out. Its latent heat goes to the
/// coolant.
template <class T>
AIRCHAIN_INLINE gas::Mixture<T> cooled_mixture(const Setup<T>& setup, T condensed) {
  const auto& e = setup.entry;
  return gas::mixture_of(e.vapour - condensed, e.liquid_water + condensed, e.fuel_vapour,
                         e.fuel_liquid, setup.thermo);
}

/// The charge where the typed share of the fuel has evaporated; where the air cannot hold so much,
/// the charge that is saturated. Lanes that hold it keep theirs to the bit.
template <class T>
AIRCHAIN_INLINE void hold_saturation(const Setup<T>& setup, const gas::Mixture<T>& air,
                                     T total_enthalpy, T pressure, Path<T>& p) {
  const auto doubtful =
      (p.charge_temperature < setup.surely_held_temperature) | (pressure > T(kSurelyHeldPressure));
  if (!any(doubtful)) return;
  const T own = fuel::partial_pressure(setup.thermo, p.fuel_vapour, air.gas_constant, pressure);
  const auto over = own > fuel::saturation_pressure(setup.thermo, p.charge_temperature);
  if (!any(over)) return;
  gas::Mixture<T> liquid = air;
  liquid.add_liquid_fuel(setup.fuel_air_ratio, setup.thermo);
  const auto held =
      fuel::saturated(setup.thermo, liquid, total_enthalpy, pressure, p.charge_temperature);
  p.fuel_vapour = where(over, held.vapour, p.fuel_vapour);
  p.charge_temperature = where(over, held.temperature, p.charge_temperature);
  p.charge_gas_constant = where(over, air.gas_constant + held.vapour * setup.thermo.gas_constant,
                                p.charge_gas_constant);
}

/// From the plenum's air at temperature `t` to the charge with its fuel. `Wet` is the path on which
/// water may have dropped out; `cooled` is its gas.
template <bool Wet, class T>
AIRCHAIN_INLINE void add_fuel(const Setup<T>& setup, const gas::Mixture<T>& cooled, T t,
                              Path<T>& p) {
  p.charge_temperature = t;
  p.charge_gas_constant = Wet ? cooled.gas_constant : setup.charge.gas_constant;
  p.fuel_vapour = setup.fuel_vapour;
  if (!setup.fuel_after_cooler) return;
  const T total = (Wet ? cooled : setup.gas).enthalpy(t) + setup.added_fuel_enthalpy;
  if constexpr (Wet) {
    const T vapour = setup.fuel_vapour;
    const auto burnable =
        gas::mixture_of(setup.entry.vapour - p.condensed, setup.entry.liquid_water + p.condensed,
                        vapour, setup.fuel_air_ratio - vapour, setup.thermo);
    p.charge_gas_constant = burnable.gas_constant;
    p.charge_temperature = burnable.temperature_after(t, total - burnable.enthalpy(t));
  } else {
    p.charge_temperature =
        setup.charge_heating.temperature_after(setup.gas.enthalpy(t) - setup.charge_datum);
  }
  hold_saturation(setup, Wet ? cooled : setup.gas, total, p.plenum_pressure, p);
}

/// From the cooler outlet (or the inlet duct without a compressor) to the inlet valves. `Wet` is
/// the path on which water may have dropped out.
///
///     p_throttle = p_cooler (1 - k load),   p_plenum = p_throttle r(load/choked load)
///     h_charge(T_charge) = h_gas(T_cooler) + h_fuel,   with fuel that joins after the cooler
template <bool Wet, class T>
AIRCHAIN_INLINE void to_the_valves(const Setup<T>& setup, Path<T>& p) {
  T constant = setup.load_constant;
  gas::Mixture<T> cooled;
  if constexpr (Wet) {
    cooled = cooled_mixture(setup, p.condensed);
    constant = setup.mass * cooled.gas_constant;
  }
  const T t = p.cooler_outlet_temperature;
  p.throttle_inlet_pressure =
      p.cooler_outlet_pressure *
      held(duct::Duct<T>::ratio_from_inlet(setup.charge_duct_resistance,
                                           load_of(p.flow, constant, t, p.cooler_outlet_pressure)),
           p.lowest_duct_ratio);
  p.throttle_load = load_of(p.flow, constant, t, p.throttle_inlet_pressure) * setup.per_choked_load;
  p.plenum_pressure =
      p.throttle_inlet_pressure * throttle::Throttle<T>::pressure_ratio(p.throttle_load);
  add_fuel<Wet>(setup, cooled, t, p);
}

/// Logarithm of the least pressure ratio of a compressor on its choke line: 0.05.
inline constexpr double kLeastLogRatio = -3.0;

/// The path at place `x` along the compressor's speed line; from 1 to 2 it slides down the choke
/// line. There the flow and the work stay those of the choke end while the pressure ratio falls
/// geometrically: a choked wheel keeps its incidence and slip, and all it loses is pressure. Left
/// out: that choke at low speed is set by the throat at rest, so that a slow compressor really
/// passes more.
///
///     W_c = flow_scale phi n,   p01 = p_entry r(W_c),   p02 = p01 exp(head_scale n^2 L)
///     work = head_scale/efficiency_scale n^2 w gamma R T01,   h(T02) = h(T01) + work
///     p falls by 1 - k load in duct and cooler,   T_out = T02 - e (T02 - T_coolant)
///
/// Gives the slope along the line of a quantity which rises like half the logarithm of this flow
/// over the engine's: from the map alone, losses taken as a share of the flow.
///
///     (1.2 phi'/phi - head_scale n^2 L')/2, at least 0.1;   ' = d/dx
template <bool Wet, class T, class Line>
AIRCHAIN_INLINE T boosted_path(const Chain<T>& c, const Setup<T>& setup, Line& line, T x,
                               Path<T>& p) {
  using duct::Duct;
  using Map = compressor::CompressorMap;
  std::array<T, 3> slope;
  const auto point = line.at(numerics::min(x, T(1.0)), slope);
  const T slid = numerics::max(x - T(1.0), T(0.0));
  const T n2 = setup.speed * setup.speed;
  const T inlet_temperature = setup.entry.temperature;
  p.corrected_flow = c.compressor.flow_scale * point[Map::phi] * setup.speed;
  p.lowest_duct_ratio = T(1.0);
  // The inlet duct in closed form: the load at the compressor inlet is given.
  const T per_pressure = p.corrected_flow * setup.dry_flow_factor;
  const T load = per_pressure * per_pressure * (setup.load_constant * inlet_temperature);
  p.compressor_inlet_pressure =
      setup.entry.pressure *
      held(Duct<T>::ratio_from_outlet(setup.inlet_resistance, load), p.lowest_duct_ratio);
  p.flow = per_pressure * p.compressor_inlet_pressure;
  const T head = c.compressor.head_scale * n2;
  const T log_ratio = head * point[Map::log_ratio];
  p.compressor_outlet_pressure = p.compressor_inlet_pressure *
                                 numerics::exp(log_ratio - slid * (log_ratio - T(kLeastLogRatio)));
  p.work = head * setup.per_efficiency * point[Map::work] * setup.sound_speed_squared;
  p.compressor_outlet_temperature = setup.gas_heating.temperature_after(p.work * setup.mass);

  const T constant = setup.load_constant;
  const T hot = p.compressor_outlet_temperature;
  p.cooler_inlet_pressure =
      p.compressor_outlet_pressure *
      held(Duct<T>::ratio_from_inlet(setup.discharge_resistance,
                                     load_of(p.flow, constant, hot, p.compressor_outlet_pressure)),
           p.lowest_duct_ratio);
  p.cooler_outlet_pressure =
      p.cooler_inlet_pressure *
      held(Duct<T>::ratio_from_inlet(setup.cooler_resistance,
                                     load_of(p.flow, constant, hot, p.cooler_inlet_pressure)),
           p.lowest_duct_ratio);
  p.effectiveness = c.cooler.effectiveness_at(p.flow * setup.mass);
  p.cooler_outlet_temperature = hot - p.effectiveness * (hot - setup.coolant);
  p.condensed =
      Wet ? excess_water(p.cooler_outlet_pressure, p.cooler_outlet_temperature, setup.entry.vapour)
          : T(0.0);
  to_the_valves<Wet>(setup, p);

  constexpr double kLosses = 1.2, kLeastRise = 0.1;
  const T along = T(kLosses) * slope[Map::phi] / point[Map::phi] - head * slope[Map::log_ratio];
  const T rise = numerics::max(T(0.5) * along, T(kLeastRise));
  return where(x > T(1.0), T(0.5) * (log_ratio - T(kLeastLogRatio)), rise);
}

/// The path of the naturally aspirated engine at a dry-air flow: p01 = p_entry (1 - k load).
template <class T>
AIRCHAIN_INLINE void plain_path(const Setup<T>& setup, T flow, Path<T>& p) {
  const T t = setup.entry.temperature;
  p.flow = flow;
  p.corrected_flow = p.work = p.effectiveness = p.condensed = T(0.0);
  p.lowest_duct_ratio = T(1.0);
  p.compressor_inlet_pressure =
      setup.entry.pressure *
      held(duct::Duct<T>::ratio_from_inlet(
               setup.inlet_resistance, load_of(flow, setup.load_constant, t, setup.entry.pressure)),
           p.lowest_duct_ratio);
  p.compressor_outlet_pressure = p.cooler_inlet_pressure = p.cooler_outlet_pressure =
      p.compressor_inlet_pressure;
  p.compressor_outlet_temperature = p.cooler_outlet_temperature = t;
  to_the_valves<false>(setup, p);
}

}  // namespace airchain::chain
