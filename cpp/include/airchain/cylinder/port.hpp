#pragma once

#include <vector>

#include "airchain/base/constants.hpp"
#include "airchain/base/field.hpp"
#include "airchain/numerics/curve.hpp"

namespace airchain::cylinder {

/// What a flow bench's litres mean.
enum class BenchConvention {
  compressible,    ///< air drawn in, as volume at the state upstream
  incompressible,  ///< calibrated by Bernoulli's sqrt(2 dp/rho), as 146 ft^3/min per in^2 at 28
                   ///< inH2O
};

/// One port on the flow bench: rising lifts, what flows at a depression.
struct FlowBench {
  static constexpr const char* kName = "FlowBench";
  std::vector<double> lift;  ///< [m]
  std::vector<double> flow;  ///< [m^3/s]
  double depression = base::kRequired;
  double pressure = base::kStandardAtmosphere;
  double temperature = 293.15;
  BenchConvention convention = BenchConvention::incompressible;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("depression", &FlowBench::depression, "Pa", between(200.0, 20e3),
              "pressure difference across the port; 28 inH2O is 6974 Pa"),
        field("pressure", &FlowBench::pressure, "Pa", between(60e3, 120e3),
              "of the room, absolute"),
        field("temperature", &FlowBench::temperature, "K", between(250.0, 330.0), "of the room")};
  }
};

/// Checks the numbers, and that there are as many flows as lifts, in range and with rising lifts.
void validate(const FlowBench& bench);

/// Effective area of a port over valve lift: what an isentropic nozzle would need for the flow.
///
/// The same area serves both directions. Left out: that a port flows some 5 to 15 % worse
/// backwards, and that its coefficient moves with the pressure ratio (common practice).
/// Throws InputError for a bench that is refused, or an area above that of the valve's curtain or
/// seat bore of `valve_diameter` (their discharge coefficient would exceed 1).
///
///     A = Q area_per_flow,   at most valves pi d lift and valves pi/4 d^2
numerics::Curve effective_area(const FlowBench& bench, double valve_diameter, int valves);

/// Flow area per volume flow on a bench [m^2 per m^3/s], psi as `gas::nozzle_flow_function`.
///
///     incompressible: A/Q = 1/sqrt(2 dp/rho),   rho = p/(R T)                          [Bernoulli]
///     compressible:   A/Q = 1/(sqrt(R T) psi(1 - dp/p)),   gamma = 1.4
double area_per_flow(const FlowBench& bench);

}  // namespace airchain::cylinder
