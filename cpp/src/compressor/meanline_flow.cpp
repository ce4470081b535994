#include "airchain/compressor/meanline_flow.hpp"

#include <limits>

namespace airchain::compressor {

GasState moving(const PerfectGas& gas, double total_temperature, double total_pressure,
                double speed) {
  const double temperature = total_temperature - 0.5 * speed * speed / gas.heat_capacity();
  const double pressure = total_pressure * gas.pressure_ratio(temperature / total_temperature);
  return {total_temperature, total_pressure, temperature, pressure,
          pressure / (gas.gas_constant * temperature)};
}

double through_flow_velocity(const PerfectGas& gas, double total_temperature, double total_pressure,
                             double tangential, double mass_flow, double area) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  // Swirl as a lower total temperature: what is left to accelerate through the area.
  const double start = total_temperature - 0.5 * tangential * tangential / gas.heat_capacity();
  if (!(start > 0.0)) return kNan;
  const double pressure = total_pressure * gas.pressure_ratio(start / total_temperature);
  const double density = pressure / (gas.gas_constant * start);
  if (!(mass_flow < choked_mass_flow(gas, start, pressure, area))) return kNan;
  // The flow per area rises and bends down up to sonic speed, so Newton from the left never
  // overshoots.
  const double exponent = 1.0 / (gas.gamma - 1.0);
  double c = mass_flow / (density * area);
  for (int i = 0; i < 100; ++i) {
    const double t = start - 0.5 * c * c / gas.heat_capacity();
    const double flow = density * std::pow(t / start, exponent) * area * c;
    const double slope = flow / c * (1.0 - c * c / (gas.gamma * gas.gas_constant * t));
    if (!(slope > 0.0)) break;
    const double step = (mass_flow - flow) / slope;
    c += step;
    if (std::fabs(step) <= 1e-13 * c) break;
  }
  return c;
}

double choked_mass_flow(const PerfectGas& gas, double total_temperature, double total_pressure,
                        double area) {
  const double g = gas.gamma;
  return area * total_pressure * std::sqrt(g / (gas.gas_constant * total_temperature)) *
         std::pow(2.0 / (g + 1.0), 0.5 * (g + 1.0) / (g - 1.0));
}

}  // namespace airchain::compressor
