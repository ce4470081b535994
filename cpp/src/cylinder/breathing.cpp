#include "airchain/cylinder/breathing.hpp"

#include <algorithm>

namespace airchain::cylinder {

std::shared_ptr<const numerics::Table<1>> breathing_table(std::vector<double> engine_speed,
                                                          std::vector<double> pressure_ratio,
                                                          const std::vector<double>& values) {
  std::vector<std::array<double, 1>> cells;
  for (double value : values) {
    base::require("Breathing", "volumetric_efficiency", value, "1",
                  base::between(0.1, kMostFilling), "give a fraction, such as 0.95");
    cells.push_back({value});
  }
  for (double ratio : pressure_ratio)
    base::require("Breathing", "pressure_ratio", ratio, "1", base::between(0.05, 10.0));
  return std::make_shared<const numerics::Table<1>>(
      std::move(engine_speed), std::move(pressure_ratio), std::move(cells),
      numerics::Slopes::monotone, "Breathing", "engine_speed", "pressure_ratio");
}

double highest(const numerics::Table<1>& table) {
  double most = table.node(0, 0, 0);
  for (std::size_t iu = 0; iu < table.u().size(); ++iu)
    for (std::size_t iv = 0; iv < table.v().size(); ++iv)
      most = std::max(most, table.node(0, iu, iv));
  return most;
}

}  // namespace airchain::cylinder
