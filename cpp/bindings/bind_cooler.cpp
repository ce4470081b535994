#include "airchain/cooler/cooler.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cooler::FlowArrangement;
using numerics::Curve;
using Core = cooler::Cooler<double>;

namespace {

const Choices<FlowArrangement>& arrangements() {
  static const Choices<FlowArrangement> known{
      {"counterflow", FlowArrangement::counterflow},
      {"parallel", FlowArrangement::parallel},
      {"crossflow_unmixed", FlowArrangement::crossflow_unmixed},
      {"crossflow_charge_mixed", FlowArrangement::crossflow_charge_mixed},
      {"crossflow_coolant_mixed", FlowArrangement::crossflow_coolant_mixed}};
  return known;
}

FlowArrangement arrangement_from(const py::str& text) {
  return choice_from(arrangements(), "Cooler", "arrangement", text);
}

/// None stands for the shape that is 1 at every flow.
Part shape_part() {
  auto shape = shared_part("shape", &Core::shape, "Curve | None",
                           "Effectiveness against charge flow [kg/s], before the factor; None when "
                           "it does not vary");
  return part_by<Core>(
      shape.name, shape.type, shape.words,
      [given = shape.get](const Core& c) -> py::object {
        return c.shape->constant() ? py::none() : given(&c);
      },
      [given = shape.set](Core& c, py::handle value, const std::string& where) {
        given(&c, value, where);
        if (!c.shape) c.shape = cooler::constant_shape();
      });
}

void check_shape(const Core& c) {
  for (double end : {c.shape->lowest(), c.shape->highest()})
    base::require(Core::kName, "shape", end, "1", base::between(0.0, 1.0));
}

}  // namespace

void bind_cooler(py::module_& m) {
  bind_station<Core>(
      m, "Cooler",
      "Charge cooler: effectiveness on the charge side, pressure loss as of a duct.\n\n"
      "    T_out = T_in - e (T_in - T_coolant), e = effectiveness shape(mass flow)\n\n"
      "Left out: heat stored in the core, change of the curve with inlet temperature.",
      {shape_part(), part("ambient_cooled", &Core::ambient_cooled, "bool",
                          "True when ambient air cools it, False for a coolant of its own")},
      &check_shape)
      .def("coolant", &Core::coolant, py::arg("ambient_temperature"),
           "Temperature [K] of the coolant as it enters, at an ambient temperature [K].");
  bind_cooler_tank(m);

  m.def(
      "effectiveness",
      [](const py::str& arrangement, double transfer_units, double capacity_ratio, bool smaller) {
        return cooler::effectiveness(arrangement_from(arrangement), transfer_units, capacity_ratio,
                                     smaller);
      },
      py::arg("arrangement"), py::arg("transfer_units"), py::arg("capacity_ratio"),
      py::arg("charge_is_smaller") = true,
      "Effectiveness [dimensionless] from transfer units (0 to 20) and capacity-rate ratio (0 to "
      "1). Arrangements: counterflow, parallel, crossflow_unmixed, crossflow_charge_mixed, "
      "crossflow_coolant_mixed.");
  m.def(
      "effectiveness_curve",
      [](const py::str& arrangement, double conductance, double reference_flow, double exponent,
         double coolant_capacity_rate, double most_flow) {
        return std::const_pointer_cast<Curve>(
            cooler::effectiveness_curve(arrangement_from(arrangement), conductance, reference_flow,
                                        exponent, coolant_capacity_rate, most_flow));
      },
      py::arg("arrangement"), py::arg("conductance"), py::arg("reference_flow"),
      py::arg("flow_exponent"), py::arg("coolant_capacity_rate"), py::arg("most_flow"),
      "Curve of charge-side effectiveness against charge mass flow up to most_flow [kg/s] from a "
      "conductance UA [W/K] at reference_flow [kg/s] that varies with flow to flow_exponent, and "
      "the coolant's capacity rate [W/K].");
  m.def(
      "measured_effectiveness",
      [](const ArrayLike& mass_flow, const ArrayLike& effectiveness) {
        return std::const_pointer_cast<Curve>(
            cooler::measured_effectiveness(numbers_from("Cooler", "mass_flow", mass_flow),
                                           numbers_from("Cooler", "effectiveness", effectiveness)));
      },
      py::arg("mass_flow"), py::arg("effectiveness"),
      "Curve through measured effectivenesses [dimensionless] at charge mass flows [kg/s].");
}

}  // namespace airchain::bindings
