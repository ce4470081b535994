#pragma once

#include "airchain/cylinder/combustion.hpp"
#include "airchain/fuel/fuel.hpp"
#include "airchain/gas/charge.hpp"
#include "airchain/gas/dissociation.hpp"

namespace airchain::cycle {

/// What is mixed.
struct ChargeRecipe {
  static constexpr const char* kName = "ChargeMixture";
  fuel::Fuel<double> fuel;
  double lambda = base::kRequired;
  double evaporated_fraction = base::kRequired;
  double vapour = 0.0;
  double droplet_diameter = 20e-6;
  double unevenness = 0.04;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("lambda", &ChargeRecipe::lambda, "1", between(0.6, 1.5),
              "air over the air that burns the fuel completely"),
        field("evaporated_fraction", &ChargeRecipe::evaporated_fraction, "1", between(0.0, 1.0),
              "share of the fuel that is vapour in the runner"),
        field("vapour", &ChargeRecipe::vapour, "kg/kg", between(0.0, 0.1), "water per dry air"),
        field("droplet_diameter", &ChargeRecipe::droplet_diameter, "m", between(1e-6, 500e-6),
              "of the liquid fuel in the cylinder as the inlet closes; 10 to 50 um behind a port "
              "injector's inlet valve, from memory"),
        field(
            "unevenness", &ChargeRecipe::unevenness, "1", between(0.0, 0.15),
            "standard deviation of the fuel-air ratio within the burning charge, over its mean; "
            "0.02 to 0.06 measured beside spark plugs [Heywood 1988, section 9.4.2, from memory]; "
            "0 for an even one")};
  }
};

/// Fresh charge and what it burns to, per kilogram of fresh charge (air, vapour and all fuel).
struct ChargeMixture {
  ChargeRecipe recipe;
  gas::GasClass fresh, burned;
  gas::GasClass evaporated;        ///< the fresh charge once its droplets are vapour
  gas::Dissociation dissociation;  ///< of the burned gas, above its fixed composition
  double heat = 0.0;               ///< released by complete use of the oxygen or fuel [J/kg]
  double fuel_fraction = 0.0;      ///< mass of fuel, vapour and droplets
  double air_fraction = 0.0;       ///< mass of dry air
  double latent_heat = 0.0;  ///< that the droplets take as they evaporate, at the datum [J/kg]
};

/// Humid air with fuel, part of it vapour, the rest droplets of no volume that evaporate in the
/// closed cylinder (`Droplets`) or, with their latent heat, as they burn. Enthalpies count from one
/// datum, so that heat released and latent heat together are that of the liquid fuel. The whole
/// charge is alike from the plenum to the inlet's closing: left out are where along the runner the
/// fuel joins, films on walls, and evaporation while the inlet is open.
///
/// An uneven charge is parcels of equal air (`cylinder::kParcels`), their fuel spread as a normal
/// distribution. Each burns by itself and is by itself in equilibrium: oxygen of the lean ones does
/// not reach the carbon monoxide of the rich ones.
///
///     F = 1/(lambda AFR),   fuel = F/(1 + w + F),   air = 1/(1 + w + F)
///     F_i = F (1 + unevenness s_i),   s_i of `cylinder::kParcelSteps`
///     heat = fuel (LHV eta_c + evaporated_fraction h_fg),   eta_c of `combustion_efficiency`
ChargeMixture charge_mixture(const ChargeRecipe& recipe);

}  // namespace airchain::cycle
