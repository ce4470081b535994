#include "airchain/cylinder/surface.hpp"

#include "airchain/base/guards.hpp"

namespace airchain::cylinder {

namespace {

constexpr const char* kWhere = "Surface";

void check(const char* name, const std::vector<double>& values, const char* unit, double low,
           double high) {
  for (double value : values) base::require(kWhere, name, value, unit, base::between(low, high));
}

void check_values(const char* name, const std::vector<double>& values, std::size_t wanted,
                  double low, double high) {
  const std::string count = std::to_string(values.size()) + " values";
  base::require_that(values.size() == wanted,
                     {.where = kWhere,
                      .field = name,
                      .value = count,
                      .rule = "be " + std::to_string(wanted) + ", one for every node",
                      .statement = std::string(name) + " has " + count});
  check(name, values, "1", low, high);
}

void check_nodes(const SurfaceNodes& n) {
  check("wave_speed", n.wave_speed, "rad/s", 1.0, 5000.0);
  check("pressure_ratio", n.pressure_ratio, "1", 0.05, 10.0);
  check("temperature", n.temperature, "K", 230.0, 450.0);
  // A polynomial through many nodes swings between them.
  const std::string temperatures = std::to_string(n.temperature.size()) + " temperatures";
  base::require_that(n.temperature.size() <= 8, {.where = kWhere,
                                                 .field = "temperature",
                                                 .value = temperatures,
                                                 .rule = "be 8 at most",
                                                 .statement = temperatures});
  const auto& exhaust = n.exhaust_pressure;
  check("exhaust_pressure", {exhaust.begin(), exhaust.end()}, "Pa", 30e3, 600e3);
  const std::string middle = base::quantity_text(exhaust[1], "Pa");
  base::require_that(exhaust[0] <= exhaust[1] && exhaust[1] <= exhaust[2],
                     {.where = kWhere,
                      .field = "exhaust_pressure",
                      .value = middle,
                      .rule = "be between the lowest and the highest",
                      .indices = {{"value", 2}},
                      .statement = "exhaust_pressure[1] = " + middle});
  const std::size_t wanted = n.wave_speed.size() * n.pressure_ratio.size() * n.temperature.size();
  check_values("volumetric_efficiency", n.volumetric_efficiency, wanted, 0.1, 1.6);
  check_values("trapping", n.trapping, wanted, 0.2, 1.0);
  check_values("pumping", n.pumping, wanted, -2.0, 20.0);
  check_values("pressure_effect", n.pressure_effect, wanted, -1.0, 1.0);
}

}  // namespace

std::shared_ptr<const Surface> breathing_surface(const SurfaceNodes& n,
                                                 std::shared_ptr<const Burned> burned) {
  check_nodes(n);
  std::vector<std::array<double, 3>> filling;
  std::vector<std::array<double, 1>> pumping;
  for (std::size_t i = 0; i < n.volumetric_efficiency.size(); ++i) {
    filling.push_back({n.volumetric_efficiency[i], n.trapping[i], n.pressure_effect[i]});
    pumping.push_back({n.pumping[i]});
  }
  const std::array<std::string, 3> names{"wave_speed", "pressure_ratio", "temperature"};
  const auto& [lowest, own, highest] = n.exhaust_pressure;
  return std::make_shared<const Surface>(
      Surface{{n.wave_speed, n.pressure_ratio, n.temperature, std::move(filling), kWhere, names},
              {n.wave_speed, n.pressure_ratio, n.temperature, std::move(pumping), kWhere, names},
              lowest,
              own,
              highest,
              std::move(burned)});
}

}  // namespace airchain::cylinder
