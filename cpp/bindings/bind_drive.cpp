#include "airchain/drive/drive.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

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

}  // namespace

void bind_drive(py::module_& m) {
  bind_drive_links(m);
  bind_station<Train>(
      m, "Drive",
      "The train from crank to impeller, reduced to what a match needs.\n\n"
      "    rotor speed = drive_ratio step_up crank speed, P_crank = P_rotor / efficiency",
      {part_by<Train>(
          "belts", "tuple[tuple[float, float, float, float], ...]",
          "Belts of the train as `reduce_drive` found them: belt speed over crank speed [m], power "
          "over rotor power, tension capacity at rest [N], capacity lost per belt speed squared "
          "[kg/m]",
          belts_of, set_belts)})
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
  bind_drive_loads(m);
  bind_drive_teeth(m);
}

}  // namespace airchain::bindings
