#include "airchain/duct/duct.hpp"

#include <algorithm>
#include <cmath>

namespace airchain::duct {

Duct<double> from_pressure_drop(double pressure_drop, double mass_flow, double density) {
  base::require("Duct", "pressure_drop", pressure_drop, "Pa", base::above_up_to(0.0, 5e4));
  base::require("Duct", "mass_flow", mass_flow, "kg/s", base::above_up_to(0.0, 20.0));
  base::require("Duct", "density", density, "kg/m^3", base::above_up_to(0.0, 20.0));
  Duct<double> duct;
  const double area = mass_flow / std::sqrt(2.0 * density * pressure_drop);
  duct.area = std::max(area, base::kLeastFlowArea);
  duct.loss_coefficient = (duct.area / area) * (duct.area / area);
  return duct;
}

Duct<double> in_series(const std::vector<Duct<double>>& ducts) {
  Duct<double> sum;
  if (ducts.empty()) return sum;
  sum.area = ducts.front().area;
  for (const auto& duct : ducts) {
    base::require_fields(duct);
    sum.loss_coefficient += duct.loss_coefficient * (sum.area * sum.area) / (duct.area * duct.area);
  }
  return sum;
}

}  // namespace airchain::duct
