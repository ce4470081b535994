#include "airchain/fuel/supply.hpp"

#include <cmath>

#include "airchain/fuel/fuel.hpp"

namespace airchain::fuel {

namespace {

using Values = std::vector<std::array<double, 1>>;

/// One quantity over two axes; `values[iu * nv + iv]`.
std::shared_ptr<const numerics::Table<1>> table_of(std::vector<double> u, std::vector<double> v,
                                                   const std::vector<double>& values,
                                                   const char* where, const char* v_name) {
  Values cells;
  for (double value : values) cells.push_back({value});
  return std::make_shared<const numerics::Table<1>>(std::move(u), std::move(v), std::move(cells),
                                                    numerics::Slopes::monotone, where, "voltage",
                                                    v_name);
}

/// The value at (iu, iv) less that one step back along an axis, for all that have one.
template <class Check>
void for_each_step(const numerics::Table<1>& table, bool along_u, Check&& check) {
  for (std::size_t iu = along_u ? 1 : 0; iu < table.u().size(); ++iu)
    for (std::size_t iv = along_u ? 0 : 1; iv < table.v().size(); ++iv)
      check(table.node(0, iu, iv) - table.node(0, iu - along_u, iv - !along_u));
}

constexpr double kMostDeadTime = 0.01;  // s

}  // namespace

std::shared_ptr<const DeadTimeTable> dead_time_table(std::vector<double> voltage,
                                                     std::vector<double> pressure_difference,
                                                     const std::vector<double>& values) {
  const char* const where = Injector<double>::kName;
  for (double value : values)
    base::require(where, "dead_time", value, "s", base::between(0.0, kMostDeadTime));
  auto table = table_of(std::move(voltage), std::move(pressure_difference), values, where,
                        "pressure_difference");
  for_each_step(*table, true, [&](double step) {
    base::require_that(step <= 0.0, {.where = where,
                                     .field = "dead_time",
                                     .rule = "fall with voltage, or stay",
                                     .hint = "one row for each voltage",
                                     .statement = "dead_time grows with voltage"});
  });
  return table;
}

std::shared_ptr<const PumpCurves> pump_curves(std::vector<double> voltage,
                                              std::vector<double> pressure,
                                              const std::vector<double>& values) {
  const char* const where = Pump<double>::kName;
  base::require_that(pressure.size() >= 2, {.where = where,
                                            .field = "curves",
                                            .rule = "be two or more",
                                            .statement = "pressure of the curves has one value"});
  for (double value : values) base::require(where, "flow", value, "m^3/s", base::between(0.0, 0.1));
  auto table = table_of(std::move(voltage), std::move(pressure), values, where, "pressure");
  for_each_step(*table, false, [&](double step) {
    base::require_that(step <= 0.0, {.where = where,
                                     .field = "curves",
                                     .rule = "fall with pressure, or stay",
                                     .statement = "flow grows with pressure"});
  });
  for_each_step(*table, true, [&](double step) {
    base::require_that(step >= 0.0, {.where = where,
                                     .field = "curves",
                                     .rule = "grow with voltage, or stay",
                                     .statement = "flow falls with voltage"});
  });
  return table;
}

void validate(const Injector<double>& injector) {
  base::require_that(injector.dead_time != nullptr, {.where = Injector<double>::kName,
                                                     .field = "dead_time",
                                                     .value = "None",
                                                     .rule = "be a DeadTimeTable"});
}

void validate(const Pump<double>& pump) {
  base::require_that(
      pump.curves != nullptr,
      {.where = Pump<double>::kName, .field = "curves", .value = "None", .rule = "be PumpCurves"});
}

void validate(const Supply<double>& supply) {
  base::require_fields(supply.injector);
  base::require_fields(supply.pump);
  base::require_fields(supply.supply_line);
  base::require_fields(supply.return_line);
  validate(supply.injector);
  validate(supply.pump);
}

std::vector<SupplyPoint<double>> points(const Supply<double>& supply,
                                        const std::vector<FuelNeed<double>>& needs) {
  std::vector<SupplyPoint<double>> found;
  found.reserve(needs.size());
  const base::Range positive = base::above_up_to(0.0, 1e9);
  for (const auto& need : needs) {
    base::require(Supply<double>::kName, "engine_speed", need.engine_speed, "rad/s", positive);
    // The chain tells a point without an answer as NaN; that is passed on.
    if (!std::isnan(need.fuel_flow))
      base::require(Supply<double>::kName, "fuel_flow", need.fuel_flow, "kg/s", positive);
    found.push_back(at(supply, need));
  }
  return found;
}

double generic_viscosity(const std::string& fuel) {
  // Alcohols: CRC Handbook, 25 degC, from memory. Gasolines: typical, common practice, no source.
  // E85: volumes' mean of the logarithms [Grunberg and Nissan 1949, without interaction].
  static const std::pair<const char*, double> known[] = {{"gasoline_regular", 0.50e-3},
                                                         {"gasoline_premium", 0.52e-3},
                                                         {"race_gasoline_leaded", 0.54e-3},
                                                         {"ethanol", 1.074e-3},
                                                         {"methanol", 0.544e-3},
                                                         {"e85", 0.958e-3}};
  generic_fuel(fuel);
  for (const auto& [name, viscosity] : known)
    if (fuel == name) return viscosity;
  base::refuse({.where = "Fuel",
                .field = "name",
                .value = "\"" + fuel + "\"",
                .rule = "have a viscosity",
                .hint = "give one"});
}

}  // namespace airchain::fuel
