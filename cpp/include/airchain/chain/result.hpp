#pragma once

#include <tuple>

namespace airchain::chain {

/// One number of a result: its name, SI unit and meaning.
template <class Owner, class T>
struct Column {
  const char* name;
  T Owner::*member;
  const char* unit;
  const char* words;
};
template <class Owner, class T>
constexpr Column<Owner, T> column(const char* name, T Owner::*member, const char* unit,
                                  const char* words) {
  return {name, member, unit, words};
}

/// Everything a matched point tells. Pressures and temperatures of stations are total, absolute.
template <class T>
struct Result {
  T status, flags;
  T engine_speed;
  T scoop_pressure, scoop_temperature;
  T compressor_inlet_pressure, compressor_inlet_temperature, compressor_inlet_density;
  T compressor_outlet_pressure, compressor_outlet_temperature;
  T cooler_inlet_pressure, cooler_inlet_temperature;
  T cooler_outlet_pressure, cooler_outlet_temperature;
  T throttle_inlet_pressure, throttle_inlet_temperature;
  T plenum_pressure, plenum_temperature, plenum_density;
  T charge_pressure, charge_temperature, fuel_evaporated;
  T exhaust_pressure, exhaust_temperature;
  T boost, humidity_ratio, condensed_water;
  T air_flow, compressor_flow, corrected_flow, bypass_flow, fuel_flow;
  T rotor_speed, corrected_speed, tip_speed, pressure_ratio, isentropic_efficiency, map_place;
  T surge_margin, choke_margin, speed_margin;
  T compressor_power, drive_power, acceleration_power, belt_margin;
  T cooler_effectiveness, cooler_heat, coolant_temperature;
  T volumetric_efficiency, trapping, filling;
  T indicated_pressure, pumping_pressure, friction_pressure, brake_pressure, peak_pressure;
  T torque, power, brake_specific_fuel, air_per_power;
  T fuel_power, unburned_power, coolant_power, wall_heat_flow;

  static constexpr auto columns() {
    using R = Result;
    return std::tuple{
        column("status", &R::status, "1", "whether the point was solved, or why not"),
        column("flags", &R::flags, "1", "limits and cautions, bits of one number"),
        column("engine_speed", &R::engine_speed, "rad/s", "crank speed"),
        column("scoop_pressure", &R::scoop_pressure, "Pa", "after the scoop"),
        column("scoop_temperature", &R::scoop_temperature, "K", "after the scoop"),
        column("compressor_inlet_pressure", &R::compressor_inlet_pressure, "Pa",
               "after filter and inlet duct"),
        column("compressor_inlet_temperature", &R::compressor_inlet_temperature, "K",
               "after filter and inlet duct, and fuel where it is injected there"),
        column("compressor_inlet_density", &R::compressor_inlet_density, "kg/m^3",
               "after filter and inlet duct"),
        column("compressor_outlet_pressure", &R::compressor_outlet_pressure, "Pa",
               "at the compressor outlet"),
        column("compressor_outlet_temperature", &R::compressor_outlet_temperature, "K",
               "at the compressor outlet"),
        column("cooler_inlet_pressure", &R::cooler_inlet_pressure, "Pa",
               "after the discharge duct"),
        column("cooler_inlet_temperature", &R::cooler_inlet_temperature, "K",
               "after the discharge duct"),
        column("cooler_outlet_pressure", &R::cooler_outlet_pressure, "Pa", "after the cooler"),
        column("cooler_outlet_temperature", &R::cooler_outlet_temperature, "K", "after the cooler"),
        column("throttle_inlet_pressure", &R::throttle_inlet_pressure, "Pa",
               "after the charge duct"),
        column("throttle_inlet_temperature", &R::throttle_inlet_temperature, "K",
               "after the charge duct"),
        column("plenum_pressure", &R::plenum_pressure, "Pa", "in the plenum"),
        column("plenum_temperature", &R::plenum_temperature, "K", "in the plenum"),
        column("plenum_density", &R::plenum_density, "kg/m^3", "in the plenum"),
        column("charge_pressure", &R::charge_pressure, "Pa", "at the inlet valves"),
        column("charge_temperature", &R::charge_temperature, "K",
               "at the inlet valves, fuel evaporated as far as it does"),
        column("fuel_evaporated", &R::fuel_evaporated, "1",
               "share of the fuel that is vapour at the inlet valves"),
        column("exhaust_pressure", &R::exhaust_pressure, "Pa", "mean behind the exhaust valves"),
        column("exhaust_temperature", &R::exhaust_temperature, "K",
               "mean of what leaves the primaries where cycles tell it; behind the exhaust valves "
               "where breathing is typed"),
        column("boost", &R::boost, "Pa", "plenum less ambient pressure"),
        column("humidity_ratio", &R::humidity_ratio, "1",
               "water vapour per dry air that reaches the plenum"),
        column("condensed_water", &R::condensed_water, "kg/s", "that drops out in the cooler"),
        column("air_flow", &R::air_flow, "kg/s", "dry air into the engine"),
        column("compressor_flow", &R::compressor_flow, "kg/s",
               "all that passes the compressor; into the engine without one"),
        column("corrected_flow", &R::corrected_flow, "kg/s", "at the map's reference state"),
        column("bypass_flow", &R::bypass_flow, "kg/s", "vented at the plenum"),
        column("fuel_flow", &R::fuel_flow, "kg/s", "fuel demand of the engine"),
        column("rotor_speed", &R::rotor_speed, "rad/s", "of the impeller"),
        column("corrected_speed", &R::corrected_speed, "rad/s", "at the map's reference state"),
        column("tip_speed", &R::tip_speed, "m/s", "of the impeller's rim"),
        column("pressure_ratio", &R::pressure_ratio, "1", "of the compressor, total to total"),
        column("isentropic_efficiency", &R::isentropic_efficiency, "1",
               "of the compressor, total to total"),
        column("map_place", &R::map_place, "1", "0 at the left end of the speed line, 1 at choke"),
        column(
            "surge_margin", &R::surge_margin, "1",
            "1 - surge flow / flow at this speed; an estimate where flagged, NaN where not known"),
        column("choke_margin", &R::choke_margin, "1",
               "choke flow / flow - 1 at this speed; NaN where choke is not known"),
        column("speed_margin", &R::speed_margin, "1",
               "nearest of the speed limits over rotor speed, less 1; infinite without limits"),
        column("compressor_power", &R::compressor_power, "W", "into the gas"),
        column("drive_power", &R::drive_power, "W", "taken from the crank, speed held"),
        column("acceleration_power", &R::acceleration_power, "W",
               "taken from the crank through the drive to speed up the rotor"),
        column("belt_margin", &R::belt_margin, "1",
               "belt capacity over effective tension, less 1; infinite without a belt"),
        column("cooler_effectiveness", &R::cooler_effectiveness, "1", "charge side"),
        column("cooler_heat", &R::cooler_heat, "W", "from the charge to the coolant"),
        column("coolant_temperature", &R::coolant_temperature, "K", "as it enters the cooler"),
        column("volumetric_efficiency", &R::volumetric_efficiency, "1",
               "charge over displacement at plenum pressure and charge temperature"),
        column("trapping", &R::trapping, "1",
               "charge that stays in the cylinders over charge drawn; 1 where breathing is typed"),
        column("filling", &R::filling, "1",
               "dry air over displacement filled with dry air at ambient state"),
        column("indicated_pressure", &R::indicated_pressure, "Pa",
               "mean effective, of compression and expansion"),
        column("pumping_pressure", &R::pumping_pressure, "Pa",
               "mean effective, lost; negative when boost drives the piston"),
        column("friction_pressure", &R::friction_pressure, "Pa", "mean effective, lost"),
        column("brake_pressure", &R::brake_pressure, "Pa", "mean effective, at the crank"),
        column("peak_pressure", &R::peak_pressure, "Pa",
               "of the mean cycle; an estimate where breathing is typed; single cycles peak 25 to "
               "30 % "
               "higher"),
        column("torque", &R::torque, "N m", "at the crank after drive and acceleration"),
        column("power", &R::power, "W", "at the crank after drive and acceleration"),
        column("brake_specific_fuel", &R::brake_specific_fuel, "kg/J", "fuel per work"),
        column("air_per_power", &R::air_per_power, "kg/J", "dry air per work, net of the drive"),
        column("fuel_power", &R::fuel_power, "W", "heating value that enters"),
        column("unburned_power", &R::unburned_power, "W",
               "heating value that leaves unburned for want of air"),
        column("coolant_power", &R::coolant_power, "W",
               "of the whole engine to coolant and oil, a typed share of the heat released: "
               "cylinder walls, exhaust ports and rubbing; a radiator is sized by it"),
        column("wall_heat_flow", &R::wall_heat_flow, "W",
               "from the burning gas to the walls of the cylinders, by their cycles, or by a law "
               "fitted to such where breathing is typed; a part of `coolant_power`")};
  }
};

}  // namespace airchain::chain
