#include "airchain/drive/drive.hpp"

#include "airchain/drive/gear_teeth.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using drive::GearPair;
using drive::GearStress;
using drive::GearTeeth;
using drive::LinkLoad;
using drive::PulleyPair;
using drive::StepUp;
using Train = drive::Drive<double>;
using Belt = drive::BeltLoad<double>;

namespace {

bool unused(const Belt& belt) {
  return belt.speed_per_crank_speed == 0.0 && belt.power_per_rotor_power == 0.0;
}

py::object belts_of(const Train& train) {
  py::list found;
  for (const Belt& b : train.belts)
    if (!unused(b))
      found.append(py::make_tuple(b.speed_per_crank_speed, b.power_per_rotor_power, b.capacity,
                                  b.mass_term));
  return py::tuple(found);
}

void set_belts(Train& train, py::handle value, const std::string& where) {
  const char* const type = "a tuple of at most two tuples of four numbers";
  if (!py::isinstance<py::sequence>(value) || py::len(value) > drive::kMostBelts)
    refuse_type(where, "belts", type, value);
  for (Belt& belt : train.belts) belt = {};
  Belt* belt = train.belts;
  for (py::handle item : value) {
    const auto numbers = numbers_from(where, "belts", item);
    if (numbers.size() != 4) refuse_type(where, "belts", type, item);
    for (double number : numbers)
      base::require(where, "belts", number, "1", base::between(0.0, base::kInfinity));
    *belt++ = {numbers[0], numbers[1], numbers[2], numbers[3]};
  }
}

void bind_links(py::module_& m) {
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

void bind_teeth(py::module_& m) {
  bind_station<GearTeeth>(
      m, "GearTeeth",
      "What the teeth of a gear pair are made of and how well they are cut and mounted.\n\n"
      "    bending s = F Ko Kv Ks KH / (b m J), contact s = Ze sqrt(F Ko Kv Ks KH / (d1 b I))\n\n"
      "[AGMA 2001-D04 as in Shigley, ch. 14]. Left out: helix, profile shift, thin rims, "
      "scuffing,\n"
      "wear.")
      .def_property_readonly("fastest_pitch_line", &GearTeeth::fastest_pitch_line,
                             "Pitch-line speed up to which this quality is rated [m/s].")
      .def("dynamic_factor", &GearTeeth::dynamic_factor, py::arg("pitch_line_speed"),
           "Real over nominal tooth force at a pitch-line speed [m/s].")
      .def("flipped", &GearTeeth::flipped, "The same teeth with the gears changed over.");
  using S = GearStress;
  bind_value<S>(
      m, "GearStress", "Stresses of a mesh, and what its load could grow to.",
      {number_part("dynamic_factor", &S::dynamic_factor, "1", "real over nominal tooth force"),
       number_part("driving_bending", &S::driving_bending, "Pa", "at the driving gear's root"),
       number_part("driven_bending", &S::driven_bending, "Pa", "at the driven gear's root"),
       number_part("contact", &S::contact, "Pa", "at the flanks"),
       number_part("bending_capacity", &S::bending_capacity, "1",
                   "load that the weaker root carries over the load"),
       number_part("contact_capacity", &S::contact_capacity, "1",
                   "load that the flanks carry over the load")});
  m.def("lewis_form_factor", &drive::lewis_form_factor, py::arg("teeth"),
        "Form factor [dimensionless] of a full-depth tooth of 20 degrees loaded at its tip.");
  m.def("gear_stress", &drive::stress, py::arg("pair"), py::arg("teeth"),
        py::arg("pitch_line_speed"), py::arg("tangential_force"),
        "Stresses of a pair at a pitch-line speed [m/s] and tangential force [N].");
}

void bind_loads(py::module_& m) {
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

}  // namespace

void bind_drive(py::module_& m) {
  bind_links(m);
  bind_station<Train>(
      m, "Drive",
      "The train from crank to impeller, reduced to what a match needs.\n\n"
      "    rotor speed = drive_ratio step_up crank speed, P_crank = P_rotor / efficiency",
      {{"belts", "tuple[tuple[float, float, float, float], ...]",
        "Belts of the train as `reduce_drive` found them: belt speed over crank speed [m], power "
        "over rotor power, tension capacity at rest [N], capacity lost per belt speed squared "
        "[kg/m]",
        belts_of, set_belts}})
      .def_property_readonly("speed_ratio", &Train::speed_ratio,
                             "Impeller speed over crank speed [dimensionless].");
  m.def("reduce_drive", &drive::reduce, py::arg("links"), py::arg_v("rest", Train{}, "Drive()"),
        "The drive of an ordered train of links, crank first; what the links do not say is taken "
        "from rest.");
  m.def("drive_rotation", &drive::rotation, py::arg("links"),
        "+1 when the impeller turns with the crank, -1 when against it.");
  m.def("reflected_inertia", &drive::reflected_inertia, py::arg("rotor_inertia"),
        py::arg("speed_ratio"),
        "Inertia [kg m^2] that a rotor of an inertia [kg m^2] adds at the crank.");
  bind_loads(m);
  bind_teeth(m);
}

}  // namespace airchain::bindings
