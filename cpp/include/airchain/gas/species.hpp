#pragma once

#include "airchain/base/constants.hpp"

// Ideal-gas properties of the constituents of humid air.
namespace airchain::gas {

/// Temperatures between which the heat capacities are known [K].
inline constexpr double kLowestTemperature = 200.0;
inline constexpr double kHighestTemperature = 1000.0;

/// Heat capacity of a species over temperature, cp/R = a0 + a1 T + a2 T^2 + a3 T^3 + a4 T^4,
/// the low range (200 to 1000 K) of the NASA seven-coefficient polynomials
/// [McBride, Gordon and Reno 1993, NASA TM-4513].
struct Species {
  double molar_mass;  // kg/mol
  double a[5];

  constexpr double gas_constant() const { return base::kMolarGasConstant / molar_mass; }
};

inline constexpr Species kNitrogen{
    28.0134e-3, {3.53100528, -1.23660988e-04, -5.02999433e-07, 2.43530612e-09, -1.40881235e-12}};
inline constexpr Species kOxygen{
    31.9988e-3, {3.78245636, -2.99673416e-03, 9.84730201e-06, -9.68129509e-09, 3.24372837e-12}};
inline constexpr Species kArgon{39.948e-3, {2.5, 0.0, 0.0, 0.0, 0.0}};
inline constexpr Species kCarbonDioxide{
    44.0095e-3, {2.35677352, 8.98459677e-03, -7.12356269e-06, 2.45919022e-09, -1.43699548e-13}};
inline constexpr Species kWater{
    18.01528e-3, {4.19864056, -2.0364341e-03, 6.52040211e-06, -5.48797062e-09, 1.77197817e-12}};

/// Mole fractions of dry air [US Standard Atmosphere 1976, table 3; carbon dioxide raised to
/// 0.04 % at the expense of nitrogen, the other trace gases counted as argon].
inline constexpr double kNitrogenFraction = 0.780754;
inline constexpr double kOxygenFraction = 0.209476;
inline constexpr double kArgonFraction = 0.00937;
inline constexpr double kCarbonDioxideFraction = 0.0004;

constexpr Species make_dry_air() {
  const Species* parts[] = {&kNitrogen, &kOxygen, &kArgon, &kCarbonDioxide};
  const double fractions[] = {kNitrogenFraction, kOxygenFraction, kArgonFraction,
                              kCarbonDioxideFraction};
  Species air{0.0, {}};
  for (int i = 0; i < 4; ++i) {
    air.molar_mass += fractions[i] * parts[i]->molar_mass;
    for (int k = 0; k < 5; ++k) air.a[k] += fractions[i] * parts[i]->a[k];
  }
  return air;
}
inline constexpr Species kDryAir = make_dry_air();

/// Enthalpies are counted from this temperature [K], with every species a gas.
inline constexpr double kDatumTemperature = 298.15;
/// Enthalpy of vaporization of water at the datum [J/kg] [IAPWS-95, from memory].
inline constexpr double kWaterLatentHeat = 2.4417e6;
/// Heat capacity of liquid water near the datum [J/(kg K)].
inline constexpr double kLiquidWaterHeatCapacity = 4181.0;
/// Mass of vapour per mass of dry air at equal moles, about 0.622.
inline constexpr double kWaterToAirMassRatio = kWater.molar_mass / kDryAir.molar_mass;

}  // namespace airchain::gas
