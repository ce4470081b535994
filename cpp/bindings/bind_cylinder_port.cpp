#include "airchain/cylinder/port.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::BenchConvention;
using cylinder::FlowBench;

void bind_cylinder_port(py::module_& m) {
  const Choices<BenchConvention> conventions{{"incompressible", BenchConvention::incompressible},
                                             {"compressible", BenchConvention::compressible}};
  bind_station<FlowBench>(
      m, "FlowBench", "One port on the flow bench: rising lifts, and what flows at a depression.",
      {array_part("lift", &FlowBench::lift, "m", "valve lifts, rising from row to row"),
       array_part("flow", &FlowBench::flow, "m^3/s", "volume flow at each lift"),
       choice_part("convention", &FlowBench::convention, conventions,
                   "What the flow means: incompressible (calibrated by sqrt(2 dp/rho), as most "
                   "benches are) or\n    compressible (true volume at the state upstream)")},
      [](const FlowBench& bench) { cylinder::validate(bench); });
  m.def(
      "effective_area",
      [](const FlowBench& bench, double valve_diameter, int valves) {
        return std::make_shared<numerics::Curve>(
            cylinder::effective_area(bench, valve_diameter, valves));
      },
      py::arg("bench"), py::arg("valve_diameter"), py::arg("valves") = 1,
      "Effective area [m^2] of a port over valve lift [m], as an isentropic nozzle's, for a valve "
      "diameter [m].");
}

}  // namespace airchain::bindings
