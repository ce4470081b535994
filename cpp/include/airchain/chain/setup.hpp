#pragma once

#include "airchain/chain/chain.hpp"
#include "airchain/compressor/similarity.hpp"

namespace airchain::chain {

using numerics::any;
using numerics::sqrt;
using numerics::where;

/// What stays the same at a point while the match looks for its flow.
template <class T>
struct Setup {
  T fuel_air_ratio;       // per kg dry air
  T added_fuel_enthalpy;  // of the fuel that joins after the cooler [J/kg dry air]
  gas::FuelThermo<T> thermo;
  gas::Stream<T> ambient;      // still air
  gas::Stream<T> scoop;        // after the scoop
  gas::Stream<T> entry;        // composition and temperature at the compressor inlet
  gas::Mixture<T> gas;         // of `entry`
  gas::Mixture<T> charge;      // with all fuel in, without condensation
  T sound_speed_squared{0.0};  // gamma R T01 per kg of gas [J/kg]
  T speed{0.0};                // n: corrected speed over the map's design speed
  T flow_factor{0.0};          // gas flow over corrected flow and inlet pressure [1/Pa]
  T coolant;
  T combustion_efficiency;
  T indicated_efficiency;  // at best phasing
  T displaced_rate;        // [m^3/s]
  bool fuel_after_cooler;
  bool condenses = false;  // whether water may drop out in the cooler of any lane

  AIRCHAIN_INLINE explicit Setup(const Chain<T>& c) {
    thermo = c.fuel.thermo();
    fuel_air_ratio = T(1.0) / (c.injection.lambda * c.fuel.stoichiometric_ratio());
    fuel_after_cooler = c.injection.place != fuel::InjectionPlace::before_compressor;
    ambient = c.ambient.air();
    const auto humid = gas::mixture_of(ambient, thermo);
    scoop = c.scoop.at(ambient, gas::density(ambient, humid));
    entry = scoop;
    if (!fuel_after_cooler) entry = fuel::inject(c.injection, fuel_air_ratio, thermo, entry);
    gas = gas::mixture_of(entry, thermo);
    const T vapour = fuel_air_ratio * c.injection.evaporated_fraction;
    charge = fuel_after_cooler
                 ? gas::mixture_of(entry.vapour, T(0.0), vapour, fuel_air_ratio - vapour, thermo)
                 : gas;
    added_fuel_enthalpy =
        fuel_air_ratio *
        (thermo.liquid_heat_capacity * (c.injection.fuel_temperature - T(gas::kDatumTemperature)) -
         thermo.latent_heat);
    combustion_efficiency = cylinder::combustion_efficiency(
        c.injection.lambda, c.fuel.hydrogen_ratio, c.fuel.oxygen_ratio, c.fuel.oxygen_demand(),
        c.fuel.lower_heating_value * c.fuel.mass_per_carbon());
    coolant = c.cooler.coolant(c.ambient.temperature);
    indicated_efficiency =
        c.combustion.best_indicated_efficiency(c.engine.compression_ratio, c.injection.lambda);
    displaced_rate = c.engine.displaced_rate(c.operation.engine_speed);
    if (c.supercharged()) set_compressor(c);
  }

 private:
  AIRCHAIN_INLINE void set_compressor(const Chain<T>& c) {
    const auto& map = *c.compressor.map;
    const auto& reference = map.reference();
    const T gamma = gas.heat_capacity_ratio(entry.temperature);
    const T specific = gas.gas_constant / entry.gas_mass_ratio();
    sound_speed_squared = gamma * specific * entry.temperature;
    const T rotor = c.operation.engine_speed * c.drive.speed_ratio();
    const T reference_sound(map.reference_sound_speed_squared());
    speed = rotor / T(map.design_speed()) * sqrt(reference_sound / sound_speed_squared);
    flow_factor = compressor::flow_factor(reference, specific, entry.temperature, gamma);
  }
};

}  // namespace airchain::chain
