#include "airchain/cooler/cooler.hpp"

#include <algorithm>
#include <cmath>

namespace airchain::cooler {

namespace {

// Exact series for both streams unmixed:
//   e = 1/(C N) sum_k [1 - e^-N sum_{m<=k} N^m/m!] [1 - e^-CN sum_{m<=k} (CN)^m/m!]
double both_unmixed(double n, double c) {
  if (c == 0.0) return 1.0 - std::exp(-n);
  double term_hot = std::exp(-n);
  double term_cold = std::exp(-c * n);
  double rest_hot = 1.0 - term_hot;
  double rest_cold = 1.0 - term_cold;
  double sum = 0.0;
  for (int k = 1; k < 400; ++k) {
    const double product = rest_hot * rest_cold;
    sum += product;
    if (product < 1e-17 * sum) break;
    term_hot *= n / k;
    term_cold *= c * n / k;
    rest_hot -= term_hot;
    rest_cold -= term_cold;
  }
  return sum / (c * n);
}

double smaller_side_mixed(double n, double c) {
  if (c == 0.0) return 1.0 - std::exp(-n);
  return 1.0 - std::exp(-(1.0 - std::exp(-c * n)) / c);
}

double larger_side_mixed(double n, double c) {
  if (c == 0.0) return 1.0 - std::exp(-n);
  return (1.0 - std::exp(-c * (1.0 - std::exp(-n)))) / c;
}

double counter(double n, double c) {
  if (std::abs(1.0 - c) < 1e-9) return n / (1.0 + n);
  const double e = std::exp(-n * (1.0 - c));
  return (1.0 - e) / (1.0 - c * e);
}

}  // namespace

double effectiveness(FlowArrangement arrangement, double n, double c, bool charge_is_smaller) {
  base::require("Cooler", "transfer_units", n, "1", base::between(0.0, 20.0));
  base::require("Cooler", "capacity_ratio", c, "1", base::between(0.0, 1.0));
  if (n == 0.0) return 0.0;
  switch (arrangement) {
    case FlowArrangement::counterflow:
      return counter(n, c);
    case FlowArrangement::parallel:
      return (1.0 - std::exp(-n * (1.0 + c))) / (1.0 + c);
    case FlowArrangement::crossflow_unmixed:
      return both_unmixed(n, c);
    case FlowArrangement::crossflow_charge_mixed:
      return charge_is_smaller ? smaller_side_mixed(n, c) : larger_side_mixed(n, c);
    case FlowArrangement::crossflow_coolant_mixed:
      return charge_is_smaller ? larger_side_mixed(n, c) : smaller_side_mixed(n, c);
  }
  base::refuse({.where = "Cooler",
                .field = "flow_arrangement",
                .rule = "be one of the listed ones",
                .statement = "flow_arrangement is unknown"});
}

std::shared_ptr<const numerics::Curve> effectiveness_curve(
    FlowArrangement arrangement, double conductance, double reference_flow, double flow_exponent,
    double coolant_capacity_rate, double most_flow) {
  base::require("Cooler", "conductance", conductance, "W/K", base::above_up_to(0.0, 1e6));
  base::require("Cooler", "reference_flow", reference_flow, "kg/s", base::above_up_to(0.0, 20.0));
  base::require("Cooler", "flow_exponent", flow_exponent, "1", base::between(0.0, 1.0));
  base::require("Cooler", "coolant_capacity_rate", coolant_capacity_rate, "W/K",
                base::above_up_to(0.0, 1e7));
  base::require("Cooler", "most_flow", most_flow, "kg/s", base::above_up_to(0.0, 20.0));
  // Heat capacity of the charge taken at 350 K, dry: within 1 % from 250 to 450 K.
  constexpr double kChargeHeatCapacity = 1009.0;
  std::vector<double> flows, values;
  constexpr int kNodes = 97;
  for (int i = 0; i < kNodes; ++i) {
    // Denser at small flows, where the curve bends most.
    const double flow = most_flow * std::pow(double(i + 1) / kNodes, 2.0);
    const double charge_rate = flow * kChargeHeatCapacity;
    const double smaller = std::min(charge_rate, coolant_capacity_rate);
    const double larger = std::max(charge_rate, coolant_capacity_rate);
    const double ua = conductance * std::pow(flow / reference_flow, flow_exponent);
    const double on_smaller = effectiveness(arrangement, std::min(ua / smaller, 20.0),
                                            smaller / larger, charge_rate <= coolant_capacity_rate);
    flows.push_back(flow);
    values.push_back(on_smaller * smaller / charge_rate);
  }
  return std::make_shared<const numerics::Curve>(std::move(flows), std::move(values), "Cooler",
                                                 "mass_flow", "effectiveness");
}

std::shared_ptr<const numerics::Curve> measured_effectiveness(std::vector<double> mass_flow,
                                                              std::vector<double> values) {
  for (double flow : mass_flow)
    base::require("Cooler", "mass_flow", flow, "kg/s", base::above_up_to(0.0, 20.0));
  for (double value : values)
    base::require("Cooler", "effectiveness", value, "1", base::between(0.0, 1.0),
                  "a cooler cannot take the charge below its coolant");
  return std::make_shared<const numerics::Curve>(std::move(mass_flow), std::move(values), "Cooler",
                                                 "mass_flow", "effectiveness");
}

std::shared_ptr<const numerics::Curve> constant_shape() {
  return std::make_shared<const numerics::Curve>(1.0);
}

}  // namespace airchain::cooler
