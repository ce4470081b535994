#pragma once

#include "airchain/cylinder/combustion.hpp"
#include "airchain/fuel/fuel.hpp"
#include "airchain/gas/charge.hpp"

namespace airchain::cycle {

/// Fresh charge and what it burns to, per kilogram of fresh charge (air, vapour and all fuel).
struct ChargeMixture {
  gas::GasClass fresh, burned;
  double heat = 0.0;           ///< released by complete use of the oxygen or fuel [J/kg]
  double fuel_fraction = 0.0;  ///< mass of fuel, vapour and droplets
  double air_fraction = 0.0;   ///< mass of dry air
  double lambda = 1.0;
};

/// Humid air with fuel, part of it vapour, the rest droplets of no volume that burn with the
/// vapour. The whole charge is alike from the plenum to the cylinder: left out are where along the
/// runner the fuel joins, films on walls, and evaporation after the valve (the droplets' latent
/// heat is paid when they burn).
ChargeMixture charge_mixture(const fuel::Fuel<double>& fuel, double lambda,
                             double evaporated_fraction, double vapour);

}  // namespace airchain::cycle
