#include "airchain/drive/drive.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using drive::GearPair;
using drive::LinkLoad;
using drive::PulleyPair;
using drive::StepUp;

void bind_drive_links(py::module_& m) {
  const auto valid = [](const auto& link) { drive::validate(drive::Link(link)); };
  bind_station<GearPair>(
      m, "GearPair",
      "Two spur or helical gears in external mesh; they reverse the sense of rotation.", {}, valid)
      .def_property_readonly("ratio", &GearPair::ratio, "Speed out over speed in [dimensionless].")
      .def_property_readonly("centre_distance", &GearPair::centre_distance,
                             "Between the shafts [m]; 0 when the module is not known.")
      .def("flipped", &GearPair::flipped, "The same two gears changed over: the reciprocal ratio.");
  bind_station<StepUp>(m, "StepUp", "A step-up inside the compressor's case.", {}, valid)
      .def_property_readonly("ratio", &StepUp::ratio, "Speed out over speed in [dimensionless].");
  bind_station<PulleyPair>(
      m, "PulleyPair",
      "Two pulleys and a belt. A ribbed belt holds by friction and slips; a toothed one does not\n"
      "slip but jumps or shears at its rated tension.\n\n"
      "    ribbed: tension_capacity = 2 T0 (e^(mu theta) - 1)/(e^(mu theta) + 1)",
      {}, valid)
      .def_property_readonly("ratio", &PulleyPair::ratio,
                             "Speed out over speed in [dimensionless].")
      .def_property_readonly("wrap_angle", &PulleyPair::wrap_angle,
                             "On the smaller pulley [rad]; half a turn when the centre distance is "
                             "not known.")
      .def_property_readonly("tension_capacity", &PulleyPair::tension_capacity,
                             "Effective tension it can carry at rest [N]; infinite when nothing "
                             "was given.")
      .def_property_readonly("belt_length", &PulleyPair::belt_length,
                             "Of the open belt around both pulleys [m]; NaN when the centre "
                             "distance is not known.");
}

void bind_drive_loads(py::module_& m) {
  using L = LinkLoad;
  bind_value<L>(
      m, "LinkLoad", "What one link of the train sees at a running point.",
      {number_part("speed_in", &L::speed_in, "rad/s", "of the shaft on the crank's side"),
       number_part("speed_out", &L::speed_out, "rad/s", "of the shaft on the impeller's side"),
       number_part("torque_in", &L::torque_in, "N m", "on the crank's side"),
       number_part("torque_out", &L::torque_out, "N m", "on the impeller's side"),
       number_part("power_in", &L::power_in, "W", "on the crank's side"),
       number_part("power_loss", &L::power_loss, "W", "lost in the link"),
       number_part("pitch_line_speed", &L::pitch_line_speed, "m/s",
                   "of gears at the pitch circle, of belts; NaN if unknown"),
       number_part("effective_tension", &L::effective_tension, "N",
                   "of belts tight less slack side, of gears the tangential tooth force"),
       number_part("tension_capacity", &L::tension_capacity, "N",
                   "what a belt can carry here; infinite when not given"),
       number_part("shaft_load", &L::shaft_load, "N",
                   "of belts the sum of both sides on the shaft; NaN when unknown")});
  m.def("drive_loads", &drive::loads, py::arg("links"), py::arg("crank_speed"),
        py::arg("rotor_torque"),
        "Loads of every link, crank first, when the impeller takes a torque [N m] at a crank speed "
        "[rad/s].");
}

}  // namespace airchain::bindings
