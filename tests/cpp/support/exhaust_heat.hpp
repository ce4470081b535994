#pragma once

#include "airchain/chain/solve.hpp"

namespace airchain::test {

/// Heat that leaves the cylinders with their gas [W], from the exhaust's temperature: what is left
/// of it behind ports and primary is told by the mean-value cylinder's share.
inline double heat_of_exhaust(const chain::Chain<double>& c, const chain::Result<double>& r) {
  const chain::Setup<double> setup(c);
  const auto law =
      cylinder::AtSpeed<double>::of(c.engine.mean_piston_speed(c.operation.engine_speed));
  const double l = cylinder::log_density(r.charge_pressure /
                                         (gas::kDryAir.gas_constant() * r.charge_temperature));
  // What was lost in the overlap burned in no cylinder, and cools what comes from them.
  const double left =
      cylinder::kExhaustHeatCapacity * (r.exhaust_temperature - r.charge_temperature) / r.trapping;
  double heat = left;
  for (int i = 0; i < 200; ++i) heat = left / law.kept(l, heat, r.charge_temperature);
  return heat * setup.charge_mass * r.air_flow * r.trapping;
}

}  // namespace airchain::test
