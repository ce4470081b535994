#pragma once

#include <string_view>

#include "airchain/chain/chain.hpp"
#include "airchain/compressor/similarity.hpp"
#include "airchain/fuel/evaporation.hpp"

namespace airchain::chain {

using numerics::any;
using numerics::sqrt;
using numerics::where;

/// Corrected speed over the map's highest up to which similarity is trusted.
inline constexpr double kFarthestSpeed = 1.1;

/// Plenum pressure up to which fuel is surely held as vapour above a temperature of `Setup`'s, so
/// that most charges need not ask [Pa].
inline constexpr double kSurelyHeldPressure = 400e3;

/// What stays the same at a point while the match looks for its flow. The constructor takes what
/// depends on neither engine speed nor drive; `set_speed` the rest, so that a pull shares the
/// first.
template <class T>
struct Setup {
  T fuel_air_ratio;           // per kg dry air
  T added_fuel_enthalpy;      // of the fuel that joins after the cooler [J/kg dry air]
  T fuel_vapour;              // that is to evaporate before the valves [kg/kg dry air]
  T surely_held_temperature;  // above it the air holds that much vapour
  gas::FuelThermo<T> thermo;
  gas::Stream<T> ambient;               // still air
  gas::Stream<T> scoop;                 // after the scoop
  gas::Stream<T> entry;                 // composition and temperature at the compressor inlet
  gas::Mixture<T> gas;                  // of `entry`
  gas::Mixture<T> charge;               // with all fuel in, without condensation
  gas::HeatingCurve<T> gas_heating;     // from the entry on
  gas::HeatingCurve<T> charge_heating;  // from the coolant on
  T charge_datum;                       // enthalpy of gas that heats the charge from there by 0
  T mass;                               // of everything at the entry over dry air
  T load_constant;                      // mass R of the entry [J/(K kg dry air)]
  T coolant;
  T indicated_efficiency;  // at best phasing, usual density and speed
  T wall_heat;             // over the fuel's heating value, likewise
  T combustion_efficiency;
  T burned_heat;  // fuel-air ratio times heating value that is set free
  T fuel_heat;    // the same of all the fuel [J/kg dry air]
  T charge_mass;  // dry air, vapour and all fuel over dry air
  T per_charge_mass;
  T inlet_resistance, discharge_resistance, cooler_resistance, charge_duct_resistance;
  T exhaust_resistance;
  T per_choked_load;  // of the throttle
  // With a compressor:
  T sound_speed_squared{0.0};  // gamma R T01 per kg of gas [J/kg]
  T per_design_speed{0.0};     // n over rotor speed [s/rad]
  T per_efficiency{1.0};       // one over the map's factor on efficiency
  T dry_flow_factor{0.0};      // dry-air flow over corrected flow and inlet pressure [1/Pa]
  // Of the operating point:
  T displaced_rate;                                         // [m^3/s]
  cylinder::AtSpeed<T> mean_value{T(0.0), T(0.0), T(0.0)};  // without cycles
  T speed{0.0};  // n: corrected speed over the map's design speed
  bool fuel_after_cooler;

  AIRCHAIN_INLINE explicit Setup(const Chain<T>& c) {
    set_gas(c);
    set_charge(c);
    combustion_efficiency = cylinder::combustion_efficiency(
        c.injection.lambda, c.fuel.hydrogen_ratio, c.fuel.oxygen_ratio, c.fuel.oxygen_demand(),
        c.fuel.lower_heating_value * c.fuel.mass_per_carbon());
    indicated_efficiency = c.combustion.best_indicated_efficiency(
        c.engine.compression_ratio, c.injection.lambda, c.fuel.oxygen_ratio);
    wall_heat = cylinder::usual_wall_heat(c.engine.compression_ratio, c.injection.lambda,
                                          c.fuel.oxygen_ratio);
    fuel_heat = fuel_air_ratio * c.fuel.lower_heating_value;
    burned_heat = fuel_heat * combustion_efficiency;
    inlet_resistance = c.inlet.resistance();
    discharge_resistance = c.discharge.resistance();
    cooler_resistance = c.cooler.resistance();
    charge_duct_resistance = c.charge_duct.resistance();
    exhaust_resistance = c.exhaust.resistance();
    per_choked_load = c.throttle.per_choked_load();
    if (c.supercharged()) set_compressor(c);
  }

  /// Whether the constructor looks at a station.
  static bool depends_on(std::string_view station) {
    return station != "operation" && station != "drive" && station != "breathing" &&
           station != "bypass";
  }

  /// n = omega i sqrt((gamma R T)_ref/(gamma R T01))/N_design, V' = V_d omega/(4 pi) [m^3/s].
  AIRCHAIN_INLINE void set_speed(const Chain<T>& c) {
    displaced_rate = c.engine.displaced_rate(c.operation.engine_speed);
    if (!c.breathing.tells_work())
      mean_value = cylinder::AtSpeed<T>::of(c.engine.mean_piston_speed(c.operation.engine_speed));
    if (c.supercharged())
      speed = c.operation.engine_speed * c.drive.speed_ratio() * per_design_speed;
  }

 private:
  /// F = 1/(lambda AFR) [kg/kg dry air]; `fuel::inject` where the fuel joins before the compressor.
  AIRCHAIN_INLINE void set_gas(const Chain<T>& c) {
    thermo = c.fuel.thermo();
    fuel_air_ratio = T(1.0) / (c.injection.lambda * c.fuel.stoichiometric_ratio());
    fuel_after_cooler = c.injection.place != fuel::InjectionPlace::before_compressor;
    ambient = c.ambient.air();
    scoop = c.scoop.at(ambient, gas::density(ambient, gas::mixture_of(ambient, thermo)));
    entry = scoop;
    if (!fuel_after_cooler) entry = fuel::inject(c.injection, fuel_air_ratio, thermo, entry);
    gas = gas::mixture_of(entry, thermo);
    gas_heating = gas.heating_from(entry.temperature);
    mass = entry.mass_ratio();
    load_constant = mass * gas.gas_constant;
    coolant = c.supercharged() ? c.cooler.coolant(c.ambient.temperature) : entry.temperature;
  }
  /// Where T_charge follows from h_charge(T) - h_charge(T_coolant) = h_gas - charge_datum.
  AIRCHAIN_INLINE void set_charge(const Chain<T>& c) {
    const T vapour = fuel_air_ratio * c.injection.evaporated_fraction;
    fuel_vapour = fuel_after_cooler ? vapour : entry.fuel_vapour;
    const T own = fuel::partial_pressure(thermo, numerics::max(vapour, T(1e-9)), gas.gas_constant,
                                         T(kSurelyHeldPressure));
    surely_held_temperature = fuel::saturation_temperature(thermo, own);
    charge = fuel_after_cooler
                 ? gas::mixture_of(entry.vapour, T(0.0), vapour, fuel_air_ratio - vapour, thermo)
                 : gas;
    charge_mass = fuel_after_cooler ? mass + fuel_air_ratio : mass;
    per_charge_mass = T(1.0) / charge_mass;
    added_fuel_enthalpy = fuel::liquid_enthalpy(c.injection, fuel_air_ratio, thermo);
    charge_heating = charge.heating_from(coolant);
    charge_datum = charge.enthalpy(coolant) - added_fuel_enthalpy;
  }
  /// a^2 = gamma R T01 [J/kg], n/N = sqrt(a_ref^2/a^2)/N_design, both of a kilogram of gas.
  AIRCHAIN_INLINE void set_compressor(const Chain<T>& c) {
    const auto& map = *c.compressor.map;
    const auto& reference = map.reference();
    const T gamma = gas.heat_capacity_ratio(entry.temperature);
    const T specific = gas.gas_constant / entry.gas_mass_ratio();
    sound_speed_squared = gamma * specific * entry.temperature;
    per_efficiency = T(1.0) / c.compressor.efficiency_scale;
    per_design_speed =
        sqrt(T(map.reference_sound_speed_squared()) / sound_speed_squared) / T(map.design_speed());
    dry_flow_factor = compressor::flow_factor(reference, specific, entry.temperature, gamma) /
                      entry.gas_mass_ratio();
  }
};

}  // namespace airchain::chain
