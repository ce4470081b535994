#include "airchain/cycle/mixture.hpp"

namespace airchain::cycle {

ChargeMixture charge_mixture(const ChargeRecipe& recipe) {
  base::require_fields(recipe.fuel);
  base::require_fields(recipe);
  const auto& [fuel, lambda, evaporated_fraction, vapour, diameter] = recipe;
  const double ratio = 1.0 / (lambda * fuel.stoichiometric_ratio());  // fuel per dry air
  const double total = 1.0 + vapour + ratio;
  ChargeMixture m;
  m.recipe = recipe;
  m.air_fraction = 1.0 / total;
  m.fuel_fraction = ratio / total;
  const double evaporated = evaporated_fraction * m.fuel_fraction;
  m.fresh.add(m.air_fraction, gas::kDryAir);
  m.fresh.add(vapour / total, gas::kWater);
  const double vapour_constant = base::kMolarGasConstant / fuel.vapour_molar_mass;
  m.evaporated = m.fresh;
  m.fresh.add_fuel_vapour(evaporated, vapour_constant, fuel.vapour_heat_capacity,
                          fuel.oxygen_ratio);
  m.fresh.add_liquid(m.fuel_fraction - evaporated, fuel.liquid_heat_capacity);
  m.evaporated.add_fuel_vapour(m.fuel_fraction, vapour_constant, fuel.vapour_heat_capacity,
                               fuel.oxygen_ratio);
  m.latent_heat = (m.fuel_fraction - evaporated) * fuel.latent_heat;

  const auto made =
      cylinder::products_of(lambda, fuel.hydrogen_ratio, fuel.oxygen_ratio, fuel.oxygen_demand());
  const double carbon = m.fuel_fraction / fuel.mass_per_carbon();  // mol
  const double air = m.air_fraction / gas::kDryAir.molar_mass;     // mol
  const auto add = [&](double moles, const gas::Species& s) {
    m.burned.add(moles * s.molar_mass, s);
  };
  add(carbon * made.carbon_dioxide + air * gas::kCarbonDioxideFraction, gas::kCarbonDioxide);
  add(carbon * made.carbon_monoxide, gas::kCarbonMonoxide);
  add(carbon * made.water + vapour / total / gas::kWater.molar_mass, gas::kWater);
  add(carbon * made.hydrogen, gas::kHydrogen);
  add(carbon * made.oxygen, gas::kOxygen);
  add(air * gas::kNitrogenFraction, gas::kNitrogen);
  add(air * gas::kArgonFraction, gas::kArgon);

  const double used = cylinder::combustion_efficiency(
      lambda, fuel.hydrogen_ratio, fuel.oxygen_ratio, fuel.oxygen_demand(),
      fuel.lower_heating_value * fuel.mass_per_carbon());
  m.heat = m.fuel_fraction * fuel.lower_heating_value * used + evaporated * fuel.latent_heat;
  return m;
}

}  // namespace airchain::cycle
