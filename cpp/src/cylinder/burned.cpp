#include "airchain/cylinder/burned.hpp"

#include <algorithm>
#include <initializer_list>
#include <utility>

#include "airchain/base/guards.hpp"

namespace airchain::cylinder {

namespace {

constexpr const char* kWhere = "BurnedSurface";
using Values = std::vector<double>;

void check_count(const char* name, const Values& values, std::size_t wanted) {
  const std::string count = std::to_string(values.size()) + " values";
  base::require_that(values.size() == wanted, {.where = kWhere,
                                               .field = name,
                                               .value = count,
                                               .rule = "be " + std::to_string(wanted),
                                               .statement = std::string(name) + " has " + count});
}

void check(const char* name, const Values& values, const char* unit, double low, double high) {
  for (double value : values) base::require(kWhere, name, value, unit, base::between(low, high));
}

void check_nodes(const BurnedNodes& n, std::size_t fine, std::size_t coarse) {
  check_count("work", n.work, fine);
  check_count("exhaust_temperature", n.exhaust_temperature, fine);
  check_count("peak_pressure", n.peak_pressure, fine);
  check_count("wall_heat", n.wall_heat, fine);
  check_count("responses", n.responses, kAnswers * kCauses * coarse);
  check_count("shapes", n.shapes, kAnswers * kShapeNumbers);
  check("wave_speed", n.wave_speed, "rad/s", 1.0, 5000.0);
  check("work", n.work, "1", 0.0, 1.0);
  check("exhaust_temperature", n.exhaust_temperature, "K", 250.0, 3000.0);
  check("peak_pressure", n.peak_pressure, "1", 1.0, 1000.0);
  check("wall_heat", n.wall_heat, "1", 0.0, 1.0);
  check("responses", n.responses, "1", -50.0, 50.0);
  check("shapes", n.shapes, "1", -1e4, 1e4);
  base::require(kWhere, "own", n.own[3], "1", base::between(0.5, 1.5), "the fourth is lambda");
  for (std::size_t i = 4; i < 7; ++i)
    base::require(kWhere, "own", n.own[i], "1", base::between(-10.0, 10.0),
                  "the fifth to seventh are of the speed of sound");
  base::require(kWhere, "own", n.own[7], "1", base::between(0.0, 0.3), "the last is unevenness");
}

template <std::size_t F>
std::vector<std::array<double, F>> side_by_side(const std::array<const double*, F>& columns,
                                                std::size_t count) {
  std::vector<std::array<double, F>> nodes(count);
  for (std::size_t i = 0; i < count; ++i)
    for (std::size_t f = 0; f < F; ++f) nodes[i][f] = columns[f][i];
  return nodes;
}

/// Responses side by side, as many from each of these causes of an answer on.
template <std::size_t F>
std::vector<std::array<double, F>> responses_of(
    const BurnedNodes& n, std::size_t count,
    std::initializer_list<std::pair<std::size_t, std::size_t>> firsts) {
  std::array<const double*, F> columns;
  auto column = columns.begin();
  for (const auto& [answer, cause] : firsts)
    for (std::size_t f = 0; f < F / firsts.size(); ++f)
      *column++ = n.responses.data() + (answer * kCauses + cause + f) * count;
  return side_by_side(columns, count);
}

Shape shape_from(const double* numbers) {
  Shape s;
  const auto fill = [&](auto& part) {
    for (double& number : part) number = *numbers++;
  };
  fill(s.phasing);
  fill(s.rich);
  fill(s.lean);
  fill(s.cross);
  return s;
}

}  // namespace

std::shared_ptr<const Burned> burned_surface(const BurnedNodes& n) {
  const std::size_t fine = n.wave_speed.size() * n.pressure_ratio.size() * n.temperature.size();
  const std::size_t coarse =
      n.coarse_speed.size() * n.coarse_ratio.size() * n.coarse_temperature.size();
  check_nodes(n, fine, coarse);
  const std::array<std::string, 3> names{"wave_speed", "pressure_ratio", "temperature"};
  const std::array<std::string, 3> coarse_names{"coarse_speed", "coarse_ratio",
                                                "coarse_temperature"};
  const auto on_nodes = [&](auto values) {
    constexpr int kFields = int(std::tuple_size_v<typename decltype(values)::value_type>);
    return numerics::Block<kFields>(n.wave_speed, n.pressure_ratio, n.temperature,
                                    std::move(values), kWhere, names);
  };
  const auto on_coarse = [&](auto values) {
    constexpr int kFields = int(std::tuple_size_v<typename decltype(values)::value_type>);
    return numerics::Block<kFields>(n.coarse_speed, n.coarse_ratio, n.coarse_temperature,
                                    std::move(values), kWhere, coarse_names);
  };
  const auto& [phasing, retard, latest, lambda, first, second, third, unevenness] = n.own;
  const Parcels parcels(unevenness);
  const double lean = parcels.lean(lambda), rich = parcels.rich(lambda, lean);
  auto burned = std::make_shared<Burned>(Burned{
      on_nodes(side_by_side<1>({n.exhaust_temperature.data()}, fine)),
      on_nodes(side_by_side<3>({n.work.data(), n.peak_pressure.data(), n.wall_heat.data()}, fine)),
      on_coarse(responses_of<10>(n, coarse, {{kFilling, kPhasing}, {kTrapping, kPhasing}})),
      on_coarse(responses_of<5>(n, coarse, {{kExhaust, kPressure}})),
      on_coarse(responses_of<24>(n, coarse, {{kWork, kPressure}})),
      {},
      {phasing, retard, latest, lambda, {first, second, third}, parcels, rich, lean},
      n});
  for (std::size_t i = 0; i < kAnswers; ++i) {
    using Departure = Burned::Departure<double>;
    Shape& s = burned->shapes[i] = shape_from(n.shapes.data() + i * kShapeNumbers);
    s.own = Departure::horner(s.rich, 4, rich) + Departure::horner(s.lean, 2, lean);
  }
  return burned;
}

}  // namespace airchain::cylinder
