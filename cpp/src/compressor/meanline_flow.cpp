#include "airchain/compressor/meanline_flow.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace airchain::compressor {
namespace {

/// Flow through an area by its velocity c:
///
///     W = rho0 A (T/T0)^(1/(gamma - 1)) c,   T = start - c^2/(2 cp)
class ThroughFlow {
 public:
  ThroughFlow(const PerfectGas& gas, double total_temperature, double start, double density_area,
              double wanted)
      : gamma_(gas.gamma),
        gas_constant_(gas.gas_constant),
        exponent_(1.0 / (gas.gamma - 1.0)),
        per_heat_capacity_(1.0 / gas.heat_capacity()),
        per_temperature_(1.0 / total_temperature),
        start_(start),
        density_area_(density_area),
        wanted_(wanted) {}

  /// From a density that falls a little.
  double rough_velocity() const {
    const double c = wanted_ / density_area_;
    return c * (1.0 + 0.5 * c * c / (gamma_ * gas_constant_ * start_));
  }

  /// Third-order steps from a guess [Halley]; 0 where they do not settle well below sonic speed.
  double subsonic_root(double guess) const {
    constexpr double kMostSquare = 0.9;
    double c = guess;
    for (int i = 0; i < 6; ++i) {
      const auto [newton, square] = at(c);
      if (!(square < kMostSquare && c > 0.0)) return 0.0;
      const double subsonic = 1.0 - square;
      const double bend =
          -square / c * (1.0 + (2.0 + (gamma_ - 1.0) * square) / subsonic);  // W''/W'
      const double step = newton / std::max(1.0 + 0.5 * newton * bend, 0.5);
      c += step;
      // The error that is left is below the third power of the step over `subsonic`.
      if (std::fabs(step) <= 1e-4 * subsonic * c) return c;
    }
    return 0.0;
  }

  /// Newton from the left: the flow rises and bends down up to sonic speed, so it never overshoots.
  double root_near_choke(double c) const {
    for (int i = 0; i < 100; ++i) {
      const auto [newton, square] = at(c);
      if (!(square < 1.0)) break;
      c += newton;
      if (std::fabs(newton) <= 1e-13 * c) break;
    }
    return c;
  }

 private:
  struct Step {
    double newton;        ///< step to the wanted flow
    double mach_squared;  ///< at the velocity before it
  };

  Step at(double c) const {
    const double t = start_ - 0.5 * c * c * per_heat_capacity_;
    const double flow = density_area_ * std::pow(t * per_temperature_, exponent_) * c;
    const double square = c * c / (gamma_ * gas_constant_ * t);
    return {(wanted_ - flow) * c / (flow * (1.0 - square)), square};
  }

  double gamma_;
  double gas_constant_;
  double exponent_;
  double per_heat_capacity_;
  double per_temperature_;
  double start_;
  double density_area_;
  double wanted_;
};

}  // namespace

GasState moving(const PerfectGas& gas, double total_temperature, double total_pressure,
                double speed) {
  const double temperature = total_temperature - 0.5 * speed * speed / gas.heat_capacity();
  const double pressure = total_pressure * gas.pressure_ratio(temperature / total_temperature);
  return {total_temperature, total_pressure, temperature, pressure,
          pressure / (gas.gas_constant * temperature)};
}

double through_flow_velocity(const PerfectGas& gas, double total_temperature, double total_pressure,
                             double tangential, double mass_flow, double area, double guess) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  // Swirl as a lower total temperature: what is left to accelerate through the area.
  const double start = total_temperature - 0.5 * tangential * tangential / gas.heat_capacity();
  if (!(start > 0.0)) return kNan;
  const double density = total_pressure / (gas.gas_constant * total_temperature);
  const ThroughFlow flow(gas, total_temperature, start, density * area, mass_flow);
  const double quick = flow.subsonic_root(guess > 0.0 ? guess : flow.rough_velocity());
  if (quick > 0.0) return quick;
  const double pressure = total_pressure * gas.pressure_ratio(start / total_temperature);
  if (!(mass_flow < choked_mass_flow(gas, start, pressure, area))) return kNan;
  return flow.root_near_choke(mass_flow * gas.gas_constant * start / (pressure * area));
}

double choked_mass_flow(const PerfectGas& gas, double total_temperature, double total_pressure,
                        double area) {
  const double g = gas.gamma;
  return area * total_pressure * std::sqrt(g / (gas.gas_constant * total_temperature)) *
         std::pow(2.0 / (g + 1.0), 0.5 * (g + 1.0) / (g - 1.0));
}

}  // namespace airchain::compressor
