#include "airchain/cycle/mixture.hpp"

#include <vector>

#include "airchain/cylinder/parcels.hpp"

namespace airchain::cycle {

namespace {

/// What fuel of so many moles of carbon burns to with its air and water, without dissociation
/// [mol].
gas::Composition burned_of(const fuel::Fuel<double>& fuel, double lambda, double carbon, double air,
                           double water) {
  using gas::Molecule, gas::of;
  const auto made =
      cylinder::products_of(lambda, fuel.hydrogen_ratio, fuel.oxygen_ratio, fuel.oxygen_demand());
  gas::Composition c{};
  of(c, Molecule::CO2) = carbon * made.carbon_dioxide + air * gas::kCarbonDioxideFraction;
  of(c, Molecule::CO) = carbon * made.carbon_monoxide;
  of(c, Molecule::H2O) = carbon * made.water + water;
  of(c, Molecule::H2) = carbon * made.hydrogen;
  of(c, Molecule::O2) = carbon * made.oxygen;
  of(c, Molecule::N2) = air * gas::kNitrogenFraction;
  return c;
}

}  // namespace

ChargeMixture charge_mixture(const ChargeRecipe& recipe) {
  base::require_fields(recipe.fuel);
  base::require_fields(recipe);
  const auto& [fuel, lambda, evaporated_fraction, vapour, diameter, unevenness] = recipe;
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

  const double carbon = m.fuel_fraction / fuel.mass_per_carbon();  // mol
  const double air = m.air_fraction / gas::kDryAir.molar_mass;     // mol
  const double water = vapour / total / gas::kWater.molar_mass;    // mol
  const int count = unevenness > 0.0 ? cylinder::kParcels : 1;
  std::vector<gas::Parcel> parcels;
  gas::Composition burned{};
  double used = 0.0;
  for (int i = 0; i < count; ++i) {
    const double fuelled = count == 1 ? 1.0 : 1.0 + unevenness * cylinder::kParcelSteps[i];
    const double own = lambda / fuelled;
    auto made = burned_of(fuel, own, carbon * fuelled, air, water);
    const double mass = 1.0 + m.fuel_fraction * (fuelled - 1.0);
    for (std::size_t k = 0; k < made.size(); ++k) {
      burned[k] += made[k] / count;
      made[k] /= mass;
    }
    parcels.push_back({mass / count, made});
    used += fuelled / count *
            cylinder::combustion_efficiency(own, fuel.hydrogen_ratio, fuel.oxygen_ratio,
                                            fuel.oxygen_demand(),
                                            fuel.lower_heating_value * fuel.mass_per_carbon());
  }
  const auto add = [&](gas::Molecule k, const gas::Species& s) {
    m.burned.add(gas::of(burned, k) * s.molar_mass, s);
  };
  add(gas::Molecule::CO2, gas::kCarbonDioxide);
  add(gas::Molecule::CO, gas::kCarbonMonoxide);
  add(gas::Molecule::H2O, gas::kWater);
  add(gas::Molecule::H2, gas::kHydrogen);
  add(gas::Molecule::O2, gas::kOxygen);
  add(gas::Molecule::N2, gas::kNitrogen);
  m.burned.add(air * gas::kArgonFraction * gas::kArgon.molar_mass, gas::kArgon);
  m.dissociation = gas::Dissociation(parcels);
  m.heat = m.fuel_fraction * fuel.lower_heating_value * used + evaporated * fuel.latent_heat;
  return m;
}

}  // namespace airchain::cycle
