#include "airchain/cylinder/surface.hpp"

#include <cmath>

#include "airchain/base/guards.hpp"

namespace airchain::cylinder {

namespace {

constexpr const char* kWhere = "Surface";

Surface::Table table_of(const std::vector<double>& speed, const std::vector<double>& ratio,
                        const std::vector<double>& values, const char* name, double low,
                        double high) {
  constexpr std::size_t kEach = Surface::kTemperatures;
  const std::size_t wanted = speed.size() * ratio.size() * kEach;
  base::require_that(values.size() == wanted, kWhere,
                     name + (" has " + std::to_string(values.size())) + " values",
                     std::to_string(wanted) + ", one for every node");
  std::vector<std::array<double, kEach>> cells(speed.size() * ratio.size());
  for (std::size_t i = 0; i < values.size(); ++i) {
    base::require(kWhere, name, values[i], "1", base::between(low, high));
    cells[i / kEach][i % kEach] = values[i];
  }
  return {speed,  ratio,          std::move(cells), numerics::Slopes::smooth,
          kWhere, "engine_speed", "pressure_ratio"};
}

void check_temperatures(const std::vector<double>& t) {
  base::require_that(t.size() == Surface::kTemperatures, kWhere,
                     std::to_string(t.size()) + " temperatures",
                     std::to_string(Surface::kTemperatures));
  for (double value : t)
    base::require(kWhere, "temperature", value, "K", base::between(230.0, 450.0));
  const double step = t[1] - t[0];
  for (std::size_t i = 1; i < t.size(); ++i)
    base::require_that(step > 1.0 && std::abs(t[i] - t[i - 1] - step) < 1e-9 * t[i], kWhere,
                       "temperature = " + base::number_text(t[i]) + " K",
                       "evenly spaced and rising by more than 1 K");
}

}  // namespace

std::shared_ptr<const Surface> breathing_surface(const std::vector<double>& engine_speed,
                                                 const std::vector<double>& pressure_ratio,
                                                 const std::vector<double>& temperature,
                                                 const std::vector<double>& volumetric_efficiency,
                                                 const std::vector<double>& trapping,
                                                 const std::vector<double>& pumping) {
  check_temperatures(temperature);
  for (double ratio : pressure_ratio)
    base::require(kWhere, "pressure_ratio", ratio, "1", base::between(0.05, 10.0));
  const auto table = [&](const std::vector<double>& values, const char* name, double low,
                         double high) {
    return table_of(engine_speed, pressure_ratio, values, name, low, high);
  };
  return std::make_shared<const Surface>(
      Surface{temperature[0], temperature[1] - temperature[0],
              table(volumetric_efficiency, "volumetric_efficiency", 0.1, 1.6),
              table(trapping, "trapping", 0.2, 1.0), table(pumping, "pumping", -2.0, 20.0)});
}

}  // namespace airchain::cylinder
