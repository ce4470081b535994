#pragma once

#include "airchain/cylinder/combustion.hpp"
#include "airchain/fuel/fuel.hpp"
#include "airchain/gas/charge.hpp"

namespace airchain::cycle {

/// What is mixed.
struct ChargeRecipe {
  static constexpr const char* kName = "ChargeMixture";
  fuel::Fuel<double> fuel;
  double lambda = base::kRequired;
  double evaporated_fraction = base::kRequired;
  double vapour = 0.0;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("lambda", &ChargeRecipe::lambda, "1", between(0.6, 1.5),
              "air over the air that burns the fuel completely"),
        field("evaporated_fraction", &ChargeRecipe::evaporated_fraction, "1", between(0.0, 1.0),
              "share of the fuel that is vapour in the runner"),
        field("vapour", &ChargeRecipe::vapour, "kg/kg", between(0.0, 0.1), "water per dry air")};
  }
};

/// Fresh charge and what it burns to, per kilogram of fresh charge (air, vapour and all fuel).
struct ChargeMixture {
  ChargeRecipe recipe;
  gas::GasClass fresh, burned;
  double heat = 0.0;           ///< released by complete use of the oxygen or fuel [J/kg]
  double fuel_fraction = 0.0;  ///< mass of fuel, vapour and droplets
  double air_fraction = 0.0;   ///< mass of dry air
};

/// Humid air with fuel, part of it vapour, the rest droplets of no volume that burn with the
/// vapour. The whole charge is alike from the plenum to the cylinder: left out are where along the
/// runner the fuel joins, films on walls, and evaporation after the valve (the droplets' latent
/// heat is paid when they burn).
///
///     F = 1/(lambda AFR),   fuel = F/(1 + w + F),   air = 1/(1 + w + F)
///     heat = fuel (LHV eta_c + evaporated_fraction h_fg),   eta_c of `combustion_efficiency`
ChargeMixture charge_mixture(const ChargeRecipe& recipe);

}  // namespace airchain::cycle
