#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"

namespace airchain::cooler {

/// What a tank holds at one instant.
struct TankState {
  double water_mass;         ///< [kg]
  double ice_mass;           ///< [kg]
  double water_temperature;  ///< [K]
};

/// Well-mixed tank of water with ice that feeds an air-to-water cooler.
///
///     m c dT/dt = heat - UA_ice (T - T_ice) - (melt water warmed)
///     dm_ice/dt = -UA_ice (T - T_ice)/h_if
///
/// Ice melts at a finite rate: UA_ice falls with the two-thirds power of the ice left (surface of
/// a shrinking shape). Bags of ice in a tank that is pumped round take some 20 kW/K, a block in
/// still water a tenth of it (common practice, no source). Left out: heat through the tank's walls,
/// pump work, stratification.
struct IceTank {
  static constexpr const char* kName = "IceTank";
  double water_mass{base::kRequired};
  double ice_mass{0.0};
  double water_temperature{base::kRequired};
  double ice_conductance{20e3};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("water_mass", &IceTank::water_mass, "kg", base::above_up_to(0.0, 1000.0),
              "water in tank, lines and core before the run"),
        field("ice_mass", &IceTank::ice_mass, "kg", base::between(0.0, 1000.0),
              "ice in the tank before the run"),
        field("water_temperature", &IceTank::water_temperature, "K",
              base::between(base::kZeroCelsius, 370.0), "water before the run"),
        field("ice_conductance", &IceTank::ice_conductance, "W/K", base::between(0.0, 1e6),
              "heat transfer coefficient times surface of the ice before the run")};
  }

  TankState start() const { return {water_mass, ice_mass, water_temperature}; }
  /// State after `duration` [s] while the cooler puts in `heat` [W]; the energy balance closes to
  /// rounding.
  ///
  ///     m_melted = UA dt x/(1 + UA dt/(m c))/h_if, at most the ice,   x = T - T_ice + Q dt/(m c)
  ///     UA = ice_conductance (ice left/ice at the start)^(2/3),   dt of at most 0.05 s
  TankState after(const TankState& state, double heat, double duration) const;
  /// Energy [J] against liquid water at 0 degC; h_if = 333.55 kJ/kg (handbooks, from memory).
  ///
  ///     E = m_water c (T - 273.15 K) - m_ice h_if
  static double energy(const TankState& state);
};

}  // namespace airchain::cooler
