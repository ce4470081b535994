#include "airchain/cooler/ice_tank.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/base/constants.hpp"
#include "airchain/gas/species.hpp"

namespace airchain::cooler {

namespace {
constexpr double kHeatOfFusion = 333.55e3;  // [J/kg] of ice at 0 degC (handbook value, from memory)
constexpr double kHeatCapacity = gas::kLiquidWaterHeatCapacity;
}  // namespace

double IceTank::energy(const TankState& s) {
  return s.water_mass * kHeatCapacity * (s.water_temperature - base::kZeroCelsius) -
         s.ice_mass * kHeatOfFusion;
}

TankState IceTank::after(const TankState& state, double heat, double duration) const {
  base::require(kName, "duration", duration, "s", base::between(0.0, 3600.0));
  base::require(kName, "heat", heat, "W", base::between(-1e7, 1e7));
  // Steps of at most 0.05 s, melting taken implicitly in the water temperature; the energy of the
  // mixture is then the sum of what came in, whatever the step.
  const int steps = std::max(1, static_cast<int>(std::ceil(duration / 0.05)));
  const double dt = duration / steps;
  TankState s = state;
  for (int i = 0; i < steps; ++i) {
    const double total = energy(s) + heat * dt;
    const double share = ice_mass > 0.0 ? s.ice_mass / ice_mass : 0.0;
    const double surface = ice_conductance * std::cbrt(share * share);
    const double capacity = s.water_mass * kHeatCapacity;
    const double warm = s.water_temperature - base::kZeroCelsius + heat * dt / capacity;
    const double melt_heat = surface * dt * warm / (1.0 + surface * dt / capacity);
    const double melted = std::clamp(melt_heat / kHeatOfFusion, 0.0, s.ice_mass);
    s.ice_mass -= melted;
    s.water_mass += melted;
    s.water_temperature =
        base::kZeroCelsius + (total + s.ice_mass * kHeatOfFusion) / (s.water_mass * kHeatCapacity);
  }
  return s;
}

}  // namespace airchain::cooler
