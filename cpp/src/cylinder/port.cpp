#include "airchain/cylinder/port.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/gas/nozzle.hpp"
#include "airchain/gas/species.hpp"

namespace airchain::cylinder {

double area_per_flow(const FlowBench& bench) {
  constexpr double kGamma = 1.4;
  const double r = gas::kDryAir.gas_constant();
  if (bench.convention == BenchConvention::incompressible) {
    const double density = bench.pressure / (r * bench.temperature);
    return 1.0 / std::sqrt(2.0 * bench.depression / density);
  }
  const double ratio = 1.0 - bench.depression / bench.pressure;
  return 1.0 / (std::sqrt(r * bench.temperature) * gas::nozzle_flow_function(ratio, kGamma));
}

void validate(const FlowBench& bench) {
  const char* where = FlowBench::kName;
  base::require_fields(bench);
  base::require_that(bench.lift.size() == bench.flow.size() && bench.lift.size() >= 2, where,
                     std::to_string(bench.lift.size()) + " lifts and " +
                         std::to_string(bench.flow.size()) + " flows",
                     "as many flows as lifts, at least 2");
  for (std::size_t i = 0; i < bench.lift.size(); ++i) {
    const double lift = bench.lift[i];
    base::require(where, "lift", lift, "m", base::between(0.0, 0.05));
    base::require(where, "flow", bench.flow[i], "m^3/s", base::between(0.0, 2.0));
    base::require_that(i == 0 || lift > bench.lift[i - 1], {.where = where,
                                                            .field = "lift",
                                                            .value = base::quantity_text(lift, "m"),
                                                            .rule = "be rising from row to row"});
  }
}

numerics::Curve effective_area(const FlowBench& bench, double valve_diameter, int valves) {
  const char* where = FlowBench::kName;
  validate(bench);
  base::require(where, "valve_diameter", valve_diameter, "m", base::between(0.005, 0.1));
  base::require(where, "valves", valves, "1", base::between(1.0, 4.0));
  std::vector<double> lift{0.0}, area{0.0};
  const double seat = 0.25 * base::kPi * valve_diameter * valve_diameter * valves;
  for (std::size_t i = 0; i < bench.lift.size(); ++i) {
    const double l = bench.lift[i];
    if (l == 0.0) continue;
    const double a = bench.flow[i] * area_per_flow(bench);
    const double most = std::min(base::kPi * valve_diameter * l * valves, seat);
    base::require_that(
        a > 0.0 && a <= most,
        {.where = where,
         .field = "effective area",
         .value = base::quantity_text(a, "m^2") + " at lift " + base::quantity_text(l, "m"),
         .rule = "be above 0 and at most the valve's " + base::quantity_text(most, "m^2"),
         .hint = "check the valve diameter, the depression and the units of flow"});
    lift.push_back(l);
    area.push_back(a);
  }
  return numerics::Curve(std::move(lift), std::move(area), where, "lift", "flow");
}

}  // namespace airchain::cylinder
