#pragma once

#include <string>
#include <vector>

#include "airchain/chain/chain.hpp"

namespace airchain::chain {

/// The air at one station. Pressure and temperature are total; contents are per kg of dry air.
/// NaN where a point has no answer, and for the contents of the exhaust, which are burned.
struct StationState {
  std::string name;
  double pressure;      ///< absolute [Pa]
  double temperature;   ///< [K]
  double density;       ///< of the gas, at total state [kg/m^3]
  double dry_air_flow;  ///< [kg/s]
  double mass_flow;     ///< of everything: air, water and fuel [kg/s]
  double vapour;        ///< water vapour [kg per kg dry air]
  double liquid_water;  ///< [kg per kg dry air]
  double fuel_vapour;   ///< [kg per kg dry air]
  double fuel_liquid;   ///< [kg per kg dry air]
};

/// One point of a chain, told station by station from the open air to behind the exhaust valves;
/// without a compressor those from its inlet to the cooler are left out. An open bypass vents
/// between plenum and charge: the plenum still has the whole flow.
///
/// Throws InputError as `validate` does, and for an operation out of range.
std::vector<StationState> station_states(const Chain<double>& chain);

}  // namespace airchain::chain
