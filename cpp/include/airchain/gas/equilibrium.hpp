#pragma once

#include <array>

namespace airchain::gas {

/// What burned gas may hold in equilibrium. Argon takes no part.
enum class Molecule { CO2, CO, H2O, H2, O2, N2, OH, H, O, NO, N };
inline constexpr int kMolecules = 11;

/// Moles per kilogram of gas.
using Composition = std::array<double, kMolecules>;

inline double& of(Composition& c, Molecule m) { return c[static_cast<std::size_t>(m)]; }

/// Internal energy with heats of formation [J/kg] and gas constant [J/(kg K)], 1000 to 6000 K:
///
///     u = sum of n_i (H_i(T) - R_molar T),   R = R_molar sum of n_i
///
/// H_i of the NASA polynomials, as `Species`.
double formation_energy(const Composition& moles, double temperature);
double gas_constant(const Composition& moles);

/// Equilibrium of the atoms of a composition at a temperature [K] and density [kg/m^3]: partial
/// pressures follow those of CO, H2, O2 and N2 by their equilibrium constants,
///
///     p_i/p0 = product of (p_k/p0)^nu_ik exp(-(G_i - sum of nu_ik G_k)/(R_molar T)),   p0 = 1 bar,
///
/// and these from the balances of carbon, hydrogen, oxygen and nitrogen, by Newton's method in
/// their logarithms [method of Olikara and Borman 1975, SAE 750468]. `start` is where it begins.
/// Range 1200 to 4500 K.
Composition equilibrium(const Composition& atoms_of, double temperature, double density,
                        const Composition& start);

}  // namespace airchain::gas
