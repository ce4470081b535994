#pragma once

#include "airchain/fuel/fuel.hpp"
#include "airchain/numerics/root.hpp"

// How far fuel evaporates into air, and how cold the charge is then. One balance of enthalpy, which
// counts the liquid from its heat of formation: its vapour at the datum is 0, the liquid there the
// latent heat less.
namespace airchain::fuel {

/// Pressure of a fuel's vapour over its liquid [Pa], by Clausius and Clapeyron with the latent heat
/// at the datum,
///
///     ln(p/p0) = M h_fg/R (1/T0 - 1/T)
///
/// Methanol within 5 % of its equation of state between 265 and 345 K, ethanol within 5 % between
/// 262 and 348 K. A gasoline counts as iso-octane: its light ends evaporate first, so this stands
/// for some 40 % evaporated [flash curves of gasolines, from memory], and says too little before.
template <class T>
AIRCHAIN_INLINE T saturation_pressure(const gas::FuelThermo<T>& fuel, T temperature) {
  const T slope = fuel.latent_heat / fuel.gas_constant;
  return fuel.vapour_pressure *
         numerics::exp(slope * (T(1.0 / gas::kDatumTemperature) - T(1.0) / temperature));
}

/// Temperature above which air at a pressure can hold a share of its moles as vapour.
template <class T>
AIRCHAIN_INLINE T saturation_temperature(const gas::FuelThermo<T>& fuel, T pressure) {
  constexpr double kHottest = 1e4;  // what never gets so high a vapour pressure is as good as that
  const T over = numerics::log(pressure / fuel.vapour_pressure);
  const T inverse = T(1.0 / gas::kDatumTemperature) - over * fuel.gas_constant / fuel.latent_heat;
  return T(1.0) / numerics::max(inverse, T(1.0 / kHottest));
}

/// Enthalpy that liquid fuel brings [J/kg dry air]; its vapour at the datum T0 counts 0.
///
///     h = F (c_l (T_fuel - T0) - h_fg),   F the fuel-air ratio by mass
template <class T>
AIRCHAIN_INLINE T liquid_enthalpy(const Injection<T>& injection, T fuel_air_ratio,
                                  const gas::FuelThermo<T>& thermo) {
  return fuel_air_ratio *
         (thermo.liquid_heat_capacity * (injection.fuel_temperature - T(gas::kDatumTemperature)) -
          thermo.latent_heat);
}

/// Partial pressure of a vapour at a ratio to dry air; `constant` is the gas constant of all else
/// per kg dry air.
template <class T>
AIRCHAIN_INLINE T partial_pressure(const gas::FuelThermo<T>& fuel, T vapour, T constant,
                                   T pressure) {
  const T own = vapour * fuel.gas_constant;
  return pressure * own / (constant + own);
}

/// A charge in which liquid and vapour of the fuel are at rest with each other.
template <class T>
struct Saturated {
  T temperature;
  T vapour;  ///< fuel vapour per dry air
};

/// The charge of a given enthalpy in which the air holds all the vapour it can:
///
///     v (R_fuel/R_air) = p_s(T)/(p - p_s(T)),   h_liquid(T) + v (h_vapour - h_liquid)(T) = h
///
/// `liquid` is the mixture with all of the fuel liquid, `coldest` a temperature at which more would
/// have evaporated than is held. Left out: films on walls that are warmer or colder than the air.
template <class T>
AIRCHAIN_INLINE Saturated<T> saturated(const gas::FuelThermo<T>& fuel,
                                       const gas::Mixture<T>& liquid, T enthalpy, T pressure,
                                       T coldest) {
  constexpr double kLeastAir = 1e-3;  // of the pressure, so that boiling fuel keeps a direction
  const auto needed = [&](T t) AIRCHAIN_INLINE_LAMBDA {
    const T takes =
        (fuel.vapour_heat_capacity - fuel.liquid_heat_capacity) * (t - T(gas::kDatumTemperature)) +
        fuel.latent_heat;
    return (enthalpy - liquid.enthalpy(t)) / takes;
  };
  const auto surplus = [&](T t) AIRCHAIN_INLINE_LAMBDA {
    const T own = saturation_pressure(fuel, t);
    const T air = numerics::max(pressure - own, T(kLeastAir) * pressure);
    const T held = liquid.gas_constant / fuel.gas_constant * own / air;
    const T wanted = needed(t);
    return (held - wanted) / (held + numerics::abs(wanted));
  };
  const T warmest = liquid.temperature_after(coldest, enthalpy - liquid.enthalpy(coldest));
  constexpr double kSlope = 0.05;  // some 8 % more vapour pressure a kelvin, and less is needed
  const auto root = numerics::bracketed_root<T>(
      surplus, coldest, warmest, coldest + T(0.2) * (warmest - coldest), T(kSlope), 1e-13, 1e-14);
  return {root.x, needed(root.x)};
}

/// The charge after fuel was added to a stream: enthalpy is kept, the vapour dilutes the air, and
/// no more evaporates than the air can hold. For results within gas::kLowestTemperature and
/// gas::kHighestTemperature; outside them heat capacities are extrapolated, which the chain flags
/// as `outside_gas_data`.
template <class T>
AIRCHAIN_INLINE gas::Stream<T> inject(const Injection<T>& injection, T fuel_air_ratio,
                                      const gas::FuelThermo<T>& thermo, gas::Stream<T> s) {
  const auto before = gas::mixture_of(s, thermo);
  const T brought = liquid_enthalpy(injection, fuel_air_ratio, thermo);
  const T total = before.enthalpy(s.temperature) + brought;
  const T carried = s.fuel_vapour, liquid = s.fuel_liquid;
  T vapour = fuel_air_ratio * injection.evaporated_fraction;
  s.fuel_vapour = carried + vapour;
  s.fuel_liquid = liquid + fuel_air_ratio - vapour;
  const auto after = gas::mixture_of(s, thermo);
  const T warm = s.temperature;
  s.temperature = after.temperature_after(warm, total - after.enthalpy(warm));
  const T own = partial_pressure(thermo, s.fuel_vapour,
                                 before.gas_constant - carried * thermo.gas_constant, s.pressure);
  const auto over = own > saturation_pressure(thermo, s.temperature);
  if (!numerics::any(over)) return s;
  const auto wet =
      gas::mixture_of(s.vapour, s.liquid_water, T(0.0), carried + liquid + fuel_air_ratio, thermo);
  const auto held = saturated(thermo, wet, total, s.pressure, s.temperature);
  s.fuel_liquid = numerics::where(over, s.fuel_vapour + s.fuel_liquid - held.vapour, s.fuel_liquid);
  s.fuel_vapour = numerics::where(over, held.vapour, s.fuel_vapour);
  s.temperature = numerics::where(over, held.temperature, s.temperature);
  return s;
}

/// The charge that air of a pressure [Pa], temperature [K] and humidity makes with its fuel. Throws
/// InputError outside 10 kPa to 1 MPa, 230 to 500 K, and humidity 0 to 0.1.
gas::Stream<double> charge_after_fuel(const Fuel<double>& liquid,
                                      const Injection<double>& injection, double pressure,
                                      double temperature, double humidity_ratio);

}  // namespace airchain::fuel
