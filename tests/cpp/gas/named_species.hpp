#pragma once

#include "airchain/gas/mixture.hpp"

namespace airchain::test {

struct NamedSpecies {
  const char* name;  // as in nasa_polynomials.csv
  const gas::Species* species;
};

inline const NamedSpecies kNamedSpecies[] = {{"N2", &gas::kNitrogen}, {"O2", &gas::kOxygen},
                                             {"Ar", &gas::kArgon},    {"CO2", &gas::kCarbonDioxide},
                                             {"H2O", &gas::kWater},   {"CO", &gas::kCarbonMonoxide},
                                             {"H2", &gas::kHydrogen}};

}  // namespace airchain::test
