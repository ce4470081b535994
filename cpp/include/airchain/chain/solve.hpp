#pragma once

#include "airchain/chain/closing_check.hpp"

namespace airchain::chain {

/// What stands at the stations; densities by `gas::density`.
///
///     boost = p_plenum - p_ambient,   Q_cooler = W (h(T_in) - h(T_out)), dropped water in h(T_out)
template <class T>
AIRCHAIN_INLINE void tell_stations(const Chain<T>& c, const Setup<T>& setup, const Path<T>& p,
                                   Result<T>& r) {
  const auto& entry = setup.entry;
  r.scoop_pressure = setup.scoop.pressure;
  r.scoop_temperature = setup.scoop.temperature;
  r.compressor_inlet_pressure = p.compressor_inlet_pressure;
  r.compressor_inlet_temperature = entry.temperature;
  r.compressor_inlet_density = gas::density(p.compressor_inlet_pressure, entry.temperature,
                                            entry.gas_mass_ratio(), setup.gas.gas_constant);
  r.compressor_outlet_pressure = p.compressor_outlet_pressure;
  r.compressor_outlet_temperature = p.compressor_outlet_temperature;
  r.cooler_inlet_pressure = p.cooler_inlet_pressure;
  r.cooler_inlet_temperature = p.compressor_outlet_temperature;
  r.cooler_outlet_pressure = p.cooler_outlet_pressure;
  r.cooler_outlet_temperature = p.cooler_outlet_temperature;
  r.throttle_inlet_pressure = p.throttle_inlet_pressure;
  r.throttle_inlet_temperature = p.cooler_outlet_temperature;
  r.plenum_pressure = p.plenum_pressure;
  const bool fuelled = c.injection.place == fuel::InjectionPlace::plenum;
  r.plenum_temperature = fuelled ? p.charge_temperature : p.cooler_outlet_temperature;
  const auto cooled = cooled_mixture(setup, p.condensed);
  T plenum_gas = entry.gas_mass_ratio() - p.condensed;
  if (fuelled) plenum_gas += p.fuel_vapour;
  r.plenum_density = gas::density(p.plenum_pressure, r.plenum_temperature, plenum_gas,
                                  fuelled ? p.charge_gas_constant : cooled.gas_constant);
  r.charge_pressure = p.plenum_pressure;
  r.charge_temperature = p.charge_temperature;
  r.fuel_evaporated = p.fuel_vapour / setup.fuel_air_ratio;
  r.boost = p.plenum_pressure - setup.ambient.pressure;
  r.humidity_ratio = entry.vapour - p.condensed;
  r.condensed_water = p.flow * p.condensed;
  r.cooler_effectiveness = p.effectiveness;
  r.coolant_temperature = c.cooler.coolant(c.ambient.temperature);
  r.cooler_heat = p.flow * (setup.gas.enthalpy(p.compressor_outlet_temperature) -
                            cooled.enthalpy(p.cooler_outlet_temperature));
}

/// Compressor and drive, M the torque of drag, eff of the drive, alpha and omega_c of the crank:
///
///     P_c = W work,   P_drive = (P_c + M omega)/eff,   P_acc = J i^2 alpha omega_c/eff
///     eta = isentropic_rise(T01, ln PR)/(work m),   surge margin = 1 - W_left/W
///     choke margin = W_right/W - 1,   speed margin = limit/omega - 1
///     belt margin = (F_capacity - mass_term v^2) v/P_belt - 1
template <class T>
void tell_compressor(const Chain<T>& c, const Setup<T>& setup, const Match<T>& m, Result<T>& r) {
  const auto& map = *c.compressor.map;
  const auto& p = m.path;
  const T mass = setup.mass;
  r.compressor_flow = p.flow * mass;
  r.corrected_flow = p.corrected_flow;
  r.rotor_speed = c.operation.engine_speed * c.drive.speed_ratio();
  r.corrected_speed = setup.speed * T(map.design_speed());
  r.tip_speed = r.rotor_speed * T(0.5 * map.data().tip_diameter);
  r.pressure_ratio = p.compressor_outlet_pressure / p.compressor_inlet_pressure;
  const T log_ratio = numerics::log(r.pressure_ratio);
  r.isentropic_efficiency =
      setup.gas.isentropic_rise(setup.entry.temperature, log_ratio) / (p.work * mass);
  r.map_place = m.place;
  r.compressor_power = r.compressor_flow * p.work;
  r.drive_power = (r.compressor_power + c.drive.drag_torque * r.rotor_speed) / c.drive.efficiency;
  r.acceleration_power = c.drive.inertia * c.drive.speed_ratio() * c.drive.speed_ratio() *
                         c.operation.engine_acceleration * c.operation.engine_speed /
                         c.drive.efficiency;
  const T unknown(__builtin_nan(""));
  r.surge_margin = map.data().left_end == compressor::LeftEnd::last_point
                       ? unknown
                       : T(1.0) - m.left_flow / r.corrected_flow;
  r.choke_margin = map.data().right_end == compressor::RightEnd::choke
                       ? m.right_flow / r.corrected_flow - T(1.0)
                       : unknown;
  T limit = c.drive.rotor_speed_limit;
  if (map.data().speed_limit > 0.0) limit = numerics::min(limit, T(map.data().speed_limit));
  const auto over_speed = r.rotor_speed > limit;
  const auto over_tip = r.tip_speed > c.compressor.tip_speed_limit;
  if (map.data().tip_diameter > 0.0)
    limit = numerics::min(limit, c.compressor.tip_speed_limit * T(2.0 / map.data().tip_diameter));
  r.speed_margin = limit / r.rotor_speed - T(1.0);
  r.belt_margin = T(base::kInfinity);
  for (const auto& belt : c.drive.belts) {
    const T speed = belt.speed_per_crank_speed * c.operation.engine_speed;
    const T power =
        belt.power_per_rotor_power * ((r.drive_power + r.acceleration_power) * c.drive.efficiency);
    const auto there = power > T(0.0);
    const T margin =
        (belt.capacity - belt.mass_term * speed * speed) * speed / where(there, power, T(1.0)) -
        T(1.0);
    r.belt_margin = where(there, numerics::min(r.belt_margin, margin), r.belt_margin);
  }
  using base::Flag;
  r.flags += flag_if<T>(over_speed, Flag::over_speed_limit) +
             flag_if<T>(over_tip, Flag::over_tip_speed_limit) +
             flag_if<T>(r.belt_margin < T(0.0), Flag::over_belt_capacity) +
             flag_if<T>(r.condensed_water > T(0.0), Flag::condensing);
}

template <class T>
void tell_no_compressor(const Setup<T>& setup, const Match<T>& m, Result<T>& r) {
  const T unknown(__builtin_nan(""));
  r.compressor_flow = m.path.flow * setup.mass;
  r.pressure_ratio = T(1.0);
  r.corrected_flow = r.rotor_speed = r.corrected_speed = r.tip_speed = unknown;
  r.isentropic_efficiency = r.map_place = r.surge_margin = r.choke_margin = unknown;
  r.compressor_power = r.drive_power = r.acceleration_power = T(0.0);
  r.speed_margin = r.belt_margin = T(base::kInfinity);
}

/// What the engine gives, V' the displaced rate:
///
///     P_fuel = W F LHV,   imep = trapping P_fuel eta_i/V',   bmep = P/V',   torque = P/omega
///     imep, p_peak and P_wall by the cycles where they tell them, imep times work_scale
///     P = (imep - pmep - fmep) V' - P_drive - P_acc,   filling = W R_air T_ambient/(V' p_ambient)
///     P_unburned = P_fuel (1 - eta_c trapping),   P_coolant = trapping P_fuel eta_c coolant_share
///     brake_specific_fuel = W_fuel/P,   air_per_power = W/P
template <class T>
void tell_engine(const Chain<T>& c, const Setup<T>& setup, const Demand<T>& d, const Match<T>& m,
                 Result<T>& r) {
  const T rate = setup.displaced_rate;
  const T piston_speed = c.engine.mean_piston_speed(c.operation.engine_speed);
  r.exhaust_pressure = d.exhaust_pressure;
  r.exhaust_temperature = d.exhaust_temperature;
  r.air_flow = m.air_flow;
  const bool at_plenum = c.injection.place == fuel::InjectionPlace::plenum;
  r.bypass_flow = m.bypass_flow * (at_plenum ? setup.charge_mass : setup.mass);
  r.volumetric_efficiency = d.volumetric_efficiency;
  r.trapping = d.trapping;
  r.filling = m.air_flow * T(gas::kDryAir.gas_constant()) * setup.ambient.temperature /
              (rate * setup.ambient.pressure);
  // Fuel that joins before the compressor is lost with vented charge.
  const T fuelled = setup.fuel_after_cooler ? m.air_flow : m.path.flow;
  r.fuel_flow = fuelled * setup.fuel_air_ratio;
  r.fuel_power = m.air_flow * setup.fuel_heat;
  const T trapped_power = r.fuel_power * d.trapping;
  r.unburned_power = r.fuel_power * (T(1.0) - setup.combustion_efficiency * d.trapping);
  r.coolant_power = trapped_power * setup.combustion_efficiency * c.combustion.coolant_share;
  const T half_burned = c.combustion.phasing_at(r.plenum_pressure);
  r.pumping_pressure =
      c.breathing.tells_pumping()
          ? c.breathing.pumping_pressure(c.operation.engine_speed, d.pressure_ratio,
                                         r.charge_temperature, r.plenum_pressure,
                                         c.injection.lambda)
          : c.engine.pumping_pressure(d.exhaust_pressure, r.plenum_pressure, charge_density(m.path),
                                      piston_speed, d.volumetric_efficiency);
  if (c.breathing.tells_work()) {
    T pumping_change;
    const auto burned = c.breathing.burned_charge(
        c.operation.engine_speed, d.pressure_ratio, r.charge_temperature, d.exhaust_pressure,
        {half_burned, c.injection.lambda}, pumping_change);
    r.pumping_pressure += r.plenum_pressure * pumping_change;
    r.indicated_pressure = trapped_power * burned.work * c.combustion.work_scale / rate;
    r.peak_pressure = r.plenum_pressure * d.volumetric_efficiency * burned.peak_pressure;
    r.wall_heat_flow = trapped_power * burned.wall_heat;
  } else {
    r.indicated_pressure = trapped_power * d.indicated_efficiency / rate;
    r.peak_pressure = cylinder::peak_pressure_estimate(
        c.engine.compression_ratio, r.plenum_pressure, d.exhaust_pressure, d.volumetric_efficiency,
        half_burned, trapped_power * setup.combustion_efficiency / rate);
    r.wall_heat_flow = trapped_power * d.wall_heat;
  }
  r.friction_pressure = c.engine.friction_pressure_at(r.peak_pressure, piston_speed);
  const T taken = r.drive_power + r.acceleration_power;
  r.power = (r.indicated_pressure - r.pumping_pressure - r.friction_pressure) * rate - taken;
  r.brake_pressure = r.power / rate;
  r.torque = r.power / c.operation.engine_speed;
  const auto drives = r.power > T(0.0);
  const T unknown(__builtin_nan(""));
  r.brake_specific_fuel = where(drives, r.fuel_flow / r.power, unknown);
  r.air_per_power = where(drives, r.air_flow / r.power, unknown);
}

/// One operating point: matched and possible, with every column, or NaN with its status.
template <class T>
AIRCHAIN_INLINE Result<T> solve(const Chain<T>& c, const Setup<T>& setup) {
  using base::Flag;
  typename cylinder::Breathing<T>::Line breathing(c.breathing, c.operation.engine_speed);
  Match<T> m = match(c, setup, breathing);
  const Demand<T>& d = m.demand;
  Result<T> r;
  r.flags = m.flags;
  tell_stations(c, setup, m.path, r);
  if (c.supercharged())
    tell_compressor(c, setup, m, r);
  else
    tell_no_compressor(setup, m, r);
  tell_engine(c, setup, d, m, r);
  const auto known = c.breathing.inside(c.operation.engine_speed, d.pressure_ratio,
                                        m.path.charge_temperature, d.exhaust_pressure);
  r.flags +=
      flag_if<T>(!known, Flag::outside_breathing_table) +
      flag_if<T>(c.operation.engine_speed > c.engine.speed_limit * T(1.0 + 1e-12),
                 Flag::over_engine_speed_limit) +
      flag_if<T>(m.path.lowest_duct_ratio < T(duct::kLowestTrustedRatio), Flag::large_duct_loss) +
      flag_if<T>((setup.entry.temperature < T(gas::kLowestTemperature)) |
                     (m.path.charge_temperature < T(gas::kLowestTemperature)) |
                     (m.path.compressor_outlet_temperature > T(gas::kHighestTemperature)),
                 Flag::outside_gas_data) +
      flag_if<T>(m.path.throttle_load > T(1.0), Flag::throttle_choked) +
      flag_if<T>(r.fuel_evaporated < c.injection.evaporated_fraction * T(1.0 - 1e-9),
                 Flag::fuel_saturated);
  close(c, setup, m, r);
  const auto unsolved = m.status > T(0.0);
  if (any(unsolved)) {
    constexpr auto kColumns = Result<T>::columns();
    std::apply(
        [&](const auto&... col) {
          ((r.*(col.member) = where(unsolved, T(__builtin_nan("")), r.*(col.member))), ...);
        },
        kColumns);
  }
  r.engine_speed = c.operation.engine_speed;
  r.status = m.status;
  r.flags = where(unsolved, m.flags, r.flags);
  return r;
}

/// The same of a validated chain on its own.
template <class T>
Result<T> solve(const Chain<T>& c) {
  Setup<T> setup(c);
  setup.set_speed(c);
  return solve(c, setup);
}

// The whole chain in plain numbers is compiled once, in src/chain/solve.cpp.
extern template Result<double> solve(const Chain<double>& c);

}  // namespace airchain::chain
