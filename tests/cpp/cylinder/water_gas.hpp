#pragma once

#include <algorithm>
#include <map>
#include <string>

namespace airchain::cylinder {

/// Moles of the products of CHy + lambda (1 + y/4) air per carbon atom, lambda at most 1, by
/// bisection on the water-gas balance [CO][H2O] = 3.5 [CO2][H2] and the balances of the atoms.
inline std::map<std::string, double> water_gas_products(double lambda, double hydrogen_ratio) {
  const double oxygen_atoms = 2.0 * lambda * (1.0 + 0.25 * hydrogen_ratio);
  const auto products = [&](double carbon_dioxide) {
    const double water = oxygen_atoms - 1.0 - carbon_dioxide;  // CO + 2 CO2 + H2O holds the oxygen
    return std::map<std::string, double>{{"CO2", carbon_dioxide},
                                         {"CO", 1.0 - carbon_dioxide},
                                         {"H2O", water},
                                         {"H2", 0.5 * hydrogen_ratio - water},
                                         {"N2", 0.5 * oxygen_atoms * 0.790524 / 0.209476}};
  };
  double low = std::max(0.0, oxygen_atoms - 1.0 - 0.5 * hydrogen_ratio);
  double high = std::min(1.0, oxygen_atoms - 1.0);
  for (int i = 0; i < 200; ++i) {
    const auto p = products(0.5 * (low + high));
    const bool more = p.at("CO") * p.at("H2O") > 3.5 * p.at("CO2") * p.at("H2");
    (more ? low : high) = p.at("CO2");
  }
  return products(0.5 * (low + high));
}

}  // namespace airchain::cylinder
