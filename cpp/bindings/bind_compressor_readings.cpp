#include "airchain/compressor/similarity.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using namespace compressor;

void bind_compressor_readings(py::module_& m) {
  const std::vector<const char*> reading{"inlet_pressure", "inlet_temperature", "outlet_pressure",
                                         "outlet_temperature", "humidity_ratio"};
  const auto of_reading = [](double (*measured)(const Reading&)) -> Of {
    return [measured](const double* x) { return measured({x[0], x[1], x[2], x[3], x[4]}); };
  };
  elementwise_function(
      m, "measured_efficiency", reading, of_reading(&measured_efficiency),
      "Isentropic efficiency [dimensionless] from total pressures [Pa] and temperatures [K] "
      "before and behind a compressor; NaN where the air was not heated.");
  elementwise_function(m, "measured_work", reading, of_reading(&measured_work),
                       "Rise of stagnation enthalpy [J/kg dry air] from the same readings.");
  m.def(
      "corrected_flow",
      [](const ReferenceState& reference, const ArrayLike& flow, const ArrayLike& pressure,
         const ArrayLike& temperature, const ArrayLike& humidity_ratio) {
        return elementwise("corrected_flow",
                           {{"air_flow", flow},
                            {"pressure", pressure},
                            {"temperature", temperature},
                            {"humidity_ratio", humidity_ratio}},
                           [&reference](const double* x) {
                             return corrected_flow(reference, x[0], x[1], x[2], x[3]);
                           });
      },
      py::arg("reference"), py::arg("air_flow"), py::arg("pressure"), py::arg("temperature"),
      py::arg("humidity_ratio"),
      "Corrected flow [kg/s] at a map's reference state from flows of dry air [kg/s], total "
      "pressures [Pa] and temperatures [K].");
  m.def(
      "corrected_speed",
      [](const ReferenceState& reference, const ArrayLike& speed, const ArrayLike& temperature,
         const ArrayLike& humidity_ratio) {
        return elementwise(
            "corrected_speed",
            {{"speed", speed}, {"temperature", temperature}, {"humidity_ratio", humidity_ratio}},
            [&reference](const double* x) { return corrected_speed(reference, x[0], x[1], x[2]); });
      },
      py::arg("reference"), py::arg("speed"), py::arg("temperature"), py::arg("humidity_ratio"),
      "Corrected speed [rad/s] at a map's reference state from speeds [rad/s] and total "
      "temperatures [K].");
}

}  // namespace airchain::bindings
