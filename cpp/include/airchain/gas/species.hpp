#pragma once

#include "airchain/base/constants.hpp"

// Ideal-gas properties of the constituents of humid air.
namespace airchain::gas {

/// Temperatures between which the heat capacities are known [K].
inline constexpr double kLowestTemperature = 200.0;
inline constexpr double kHighestTemperature = 1000.0;

/// Heat capacity of a species over temperature, cp/R = a0 + a1 T + a2 T^2 + a3 T^3 + a4 T^4,
/// the NASA seven-coefficient polynomials [McBride, Gordon and Reno 1993, NASA TM-4513]: low range
/// 200 to 1000 K, high range 1000 to 6000 K.
struct Species {
  double molar_mass;  // kg/mol
  double a[5];
  double high[5];

  /// R = R_molar/M [J/(kg K)].
  constexpr double gas_constant() const { return base::kMolarGasConstant / molar_mass; }
};

inline constexpr Species kNitrogen{
    28.0134e-3,
    {3.53100528, -1.23660988e-04, -5.02999433e-07, 2.43530612e-09, -1.40881235e-12},
    {2.95257626, 1.39690057e-03, -4.92631691e-07, 7.86010367e-11, -4.60755321e-15}};
inline constexpr Species kOxygen{
    31.9988e-3,
    {3.78245636, -2.99673416e-03, 9.84730201e-06, -9.68129509e-09, 3.24372837e-12},
    {3.66096083, 6.56365523e-04, -1.41149485e-07, 2.05797658e-11, -1.29913248e-15}};
inline constexpr Species kArgon{39.948e-3, {2.5, 0.0, 0.0, 0.0, 0.0}, {2.5, 0.0, 0.0, 0.0, 0.0}};
inline constexpr Species kCarbonDioxide{
    44.0095e-3,
    {2.35677352, 8.98459677e-03, -7.12356269e-06, 2.45919022e-09, -1.43699548e-13},
    {4.63659493, 2.74131991e-03, -9.95828531e-07, 1.60373011e-10, -9.16103468e-15}};
inline constexpr Species kWater{
    18.01528e-3,
    {4.19864056, -2.0364341e-03, 6.52040211e-06, -5.48797062e-09, 1.77197817e-12},
    {2.67703787, 2.97318329e-03, -7.7376969e-07, 9.44336689e-11, -4.26900959e-15}};
inline constexpr Species kCarbonMonoxide{
    28.0101e-3,
    {3.57953347, -6.1035368e-04, 1.01681433e-06, 9.07005884e-10, -9.04424499e-13},
    {3.04848583, 1.35172818e-03, -4.85794075e-07, 7.88536486e-11, -4.69807489e-15}};
inline constexpr Species kHydrogen{
    2.01588e-3,
    {2.34433112, 7.98052075e-03, -1.9478151e-05, 2.01572094e-08, -7.37611761e-12},
    {2.93286579, 8.26607967e-04, -1.46402335e-07, 1.54100359e-11, -6.88804432e-16}};

// Vapours of fuels, from the same source.
inline constexpr Species kEthanol{
    46.06844e-3,
    {4.85868178, -3.7400674e-03, 6.95550267e-05, -8.86541147e-08, 3.5168443e-11},
    {6.5628977, 1.52034264e-02, -5.38922247e-06, 8.62150224e-10, -5.12824683e-14}};
inline constexpr Species kMethanol{
    32.04186e-3,
    {5.71539582, -1.52309129e-02, 6.52441155e-05, -7.10806889e-08, 2.61352698e-11},
    {3.60134486, 1.02430954e-02, -3.59985517e-06, 5.72505986e-10, -3.3911764e-14}};
inline constexpr Species kIsoOctane{
    114.22852e-3,
    {0.815737338, 7.32643959e-02, 1.78300688e-05, -6.9358962e-08, 3.21629382e-11},
    {15.9899273, 5.5318479e-02, -1.95267072e-05, 3.11779172e-09, -1.85312577e-13}};
inline constexpr Species kToluene{
    92.13842e-3,
    {1.611914, 2.11188902e-02, 8.53221453e-05, -1.32566876e-07, 5.59406109e-11},
    {12.939475, 2.66921558e-02, -9.68420108e-06, 1.5739214e-09, -9.46670482e-14}};

/// Mole fractions of dry air [US Standard Atmosphere 1976, table 3; carbon dioxide raised to
/// 0.04 % at the expense of nitrogen, the other trace gases counted as argon].
inline constexpr double kNitrogenFraction = 0.780754;
inline constexpr double kOxygenFraction = 0.209476;
inline constexpr double kArgonFraction = 0.00937;
inline constexpr double kCarbonDioxideFraction = 0.0004;

/// Ideal mixture by mole fractions x: M = sum of x_i M_i, a_k = sum of x_i a_k,i.
constexpr Species make_dry_air() {
  const Species* parts[] = {&kNitrogen, &kOxygen, &kArgon, &kCarbonDioxide};
  const double fractions[] = {kNitrogenFraction, kOxygenFraction, kArgonFraction,
                              kCarbonDioxideFraction};
  Species air{0.0, {}, {}};
  for (int i = 0; i < 4; ++i) {
    air.molar_mass += fractions[i] * parts[i]->molar_mass;
    for (int k = 0; k < 5; ++k) {
      air.a[k] += fractions[i] * parts[i]->a[k];
      air.high[k] += fractions[i] * parts[i]->high[k];
    }
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
