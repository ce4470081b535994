#pragma once

#include "airchain/chain/setup.hpp"

namespace airchain::chain {

/// The air from the scoop to the inlet valves at one assumed flow.
template <class T>
struct Path {
  gas::Stream<T> compressor_inlet, compressor_outlet, cooler_inlet, cooler_outlet, throttle_inlet,
      plenum, charge;
  gas::Mixture<T> cooled;    // between cooler and fuel
  gas::Mixture<T> burnable;  // at the inlet valves
  T flow;                    // dry air through the compressor [kg/s]
  T effectiveness;
  T corrected_flow;
  T work;  // of the compressor [J/kg of everything that flows]
  T lowest_duct_ratio;
  T throttle_load;  // flow parameter at the throttle
};

/// W sqrt(R T) / p of a stream [m^2].
template <class T>
AIRCHAIN_INLINE T flow_parameter(const gas::Stream<T>& s, const gas::Mixture<T>& m) {
  const T mass = s.mass_ratio();
  return s.dry_air_flow * sqrt(mass * m.gas_constant * s.temperature) / s.pressure;
}

/// Loses pressure in one duct-like station. Ratios below 5 % are never a solution: they are held
/// there so that the search keeps its direction.
template <class T>
AIRCHAIN_INLINE gas::Stream<T> after_loss(gas::Stream<T> s, T ratio, T& lowest) {
  const T held = numerics::max(ratio, T(0.05));
  lowest = numerics::min(lowest, held);
  s.pressure = s.pressure * held;
  return s;
}

/// Water that air of this state cannot hold as vapour [kg per kg dry air].
template <class T>
AIRCHAIN_INLINE T excess_water(const gas::Stream<T>& s) {
  const T saturation = gas::saturation_pressure(s.temperature);
  const T room = numerics::max(s.pressure - saturation, T(1.0));
  return numerics::max(s.vapour - T(gas::kWaterToAirMassRatio) * saturation / room, T(0.0));
}

/// Liquid water out of saturated charge; latent heat goes to the coolant.
template <class T>
AIRCHAIN_INLINE void condense(gas::Stream<T>& s) {
  const T drops = excess_water(s);
  s.vapour -= drops;
  s.liquid_water += drops;
}

/// From the compressor outlet (or the inlet duct without one) to the inlet valves.
template <class T>
void downstream(const Chain<T>& c, const Setup<T>& setup, Path<T>& p) {
  p.cooled = setup.gas;
  p.burnable = setup.charge;
  if (c.supercharged()) {
    p.cooler_inlet = after_loss(
        p.compressor_outlet,
        c.discharge.pressure_ratio_from_inlet(flow_parameter(p.compressor_outlet, setup.gas)),
        p.lowest_duct_ratio);
    p.cooler_outlet = after_loss(p.cooler_inlet,
                                 c.cooler.pressure_ratio(flow_parameter(p.cooler_inlet, setup.gas)),
                                 p.lowest_duct_ratio);
    p.effectiveness = c.cooler.effectiveness_at(p.cooler_inlet.mass_flow());
    p.cooler_outlet.temperature =
        p.cooler_inlet.temperature - p.effectiveness * (p.cooler_inlet.temperature - setup.coolant);
    if (setup.condenses) {
      condense(p.cooler_outlet);
      p.cooled = gas::mixture_of(p.cooler_outlet, setup.thermo);
    }
  } else {
    p.cooler_outlet = p.cooler_inlet = p.compressor_outlet;
    p.effectiveness = T(0.0);
  }
  p.throttle_inlet =
      after_loss(p.cooler_outlet,
                 c.charge_duct.pressure_ratio_from_inlet(flow_parameter(p.cooler_outlet, p.cooled)),
                 p.lowest_duct_ratio);
  p.throttle_load = flow_parameter(p.throttle_inlet, p.cooled);
  p.plenum = p.throttle_inlet;
  p.plenum.pressure *= c.throttle.pressure_ratio(p.throttle_load);
  p.charge = p.plenum;
  if (setup.fuel_after_cooler) {
    const T vapour = setup.fuel_air_ratio * c.injection.evaporated_fraction;
    p.charge.fuel_vapour = vapour;
    p.charge.fuel_liquid = setup.fuel_air_ratio - vapour;
    if (setup.condenses) p.burnable = gas::mixture_of(p.charge, setup.thermo);
    const T t = p.plenum.temperature;
    p.charge.temperature = p.burnable.temperature_after(
        t, p.cooled.enthalpy(t) + setup.added_fuel_enthalpy - p.burnable.enthalpy(t));
  } else {
    p.burnable = p.cooled;
  }
  if (c.injection.place == fuel::InjectionPlace::plenum) p.plenum = p.charge;
}

/// The path at place `x` along the compressor's speed line.
template <class T, class Line>
Path<T> boosted_path(const Chain<T>& c, const Setup<T>& setup, const Line& line, T x) {
  Path<T> p;
  const auto point = line.at(x);
  const T n2 = setup.speed * setup.speed;
  p.corrected_flow = c.compressor.flow_scale * point[compressor::CompressorMap::phi] * setup.speed;
  p.lowest_duct_ratio = T(1.0);
  // The inlet duct in closed form: the flow parameter at the compressor inlet is given.
  const T gas_flow_per_pressure = p.corrected_flow * setup.flow_factor;
  const T mass = setup.entry.mass_ratio();
  const T per_dry = gas_flow_per_pressure / setup.entry.gas_mass_ratio();
  const T parameter = per_dry * sqrt(mass * setup.gas.gas_constant * setup.entry.temperature);
  p.compressor_inlet =
      after_loss(setup.entry, c.inlet.pressure_ratio_from_outlet(parameter), p.lowest_duct_ratio);
  p.flow = per_dry * p.compressor_inlet.pressure;
  p.compressor_inlet.dry_air_flow = p.flow;
  p.compressor_outlet = p.compressor_inlet;
  p.compressor_outlet.pressure *=
      numerics::exp(c.compressor.head_scale * point[compressor::CompressorMap::log_ratio] * n2);
  p.work = c.compressor.head_scale / c.compressor.efficiency_scale *
           point[compressor::CompressorMap::work] * n2 * setup.sound_speed_squared;
  p.compressor_outlet.temperature =
      setup.gas.temperature_after(setup.entry.temperature, p.work * mass);
  downstream(c, setup, p);
  return p;
}

/// The path of the naturally aspirated engine at a dry-air flow.
template <class T>
Path<T> plain_path(const Chain<T>& c, const Setup<T>& setup, T flow) {
  Path<T> p;
  p.flow = flow;
  p.lowest_duct_ratio = T(1.0);
  p.corrected_flow = p.work = T(0.0);
  gas::Stream<T> s = setup.entry;
  s.dry_air_flow = flow;
  p.compressor_inlet = after_loss(
      s, c.inlet.pressure_ratio_from_inlet(flow_parameter(s, setup.gas)), p.lowest_duct_ratio);
  p.compressor_outlet = p.compressor_inlet;
  downstream(c, setup, p);
  return p;
}

}  // namespace airchain::chain
