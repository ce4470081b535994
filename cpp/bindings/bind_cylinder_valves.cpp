#include "airchain/cylinder/camshaft.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Camshaft;
using cylinder::LiftCurve;
using cylinder::Lobe;

namespace {

std::shared_ptr<const LiftCurve> lift_curve_from(const py::tuple& arguments) {
  const py::handle source = arguments[0];
  if (py::isinstance<Lobe>(source)) return std::make_shared<const LiftCurve>(source.cast<Lobe>());
  if (!py::isinstance<py::sequence>(source) || py::len(source) != 2)
    refuse_type("LiftCurve", "source", "a Lobe or a pair of sequences, angle and lift", source);
  const auto pair = py::reinterpret_borrow<py::sequence>(source);
  return std::make_shared<const LiftCurve>(numbers_from("LiftCurve", "angle", pair[0]),
                                           numbers_from("LiftCurve", "lift", pair[1]));
}

py::tuple source_of(const LiftCurve& lift) {
  if (lift.lobe()) return py::make_tuple(*lift.lobe());
  return py::make_tuple(py::make_tuple(lift.points().x(), lift.points().y()));
}

py::dict events_of(const cylinder::ValveEvents& e) {
  py::dict events;
  events["intake_opens"] = e.intake_opens;
  events["intake_closes"] = e.intake_closes;
  events["exhaust_opens"] = e.exhaust_opens;
  events["exhaust_closes"] = e.exhaust_closes;
  events["overlap"] = e.overlap;
  return events;
}

void bind_lift_curve(py::module_& m) {
  auto curve =
      bind_shared<LiftCurve>(
          m, "LiftCurve",
          "Lift of a valve over crank angle from its peak; smooth, with continuous "
          "acceleration.\n\n"
          "    lift/lobe_lift = (1 - z)^3 (1 + 3 t z + 6 t^2 z^2),   z = (angle/half width)^2\n\n"
          "t and the width meet both durations of the lobe; lash is taken up smoothly. Or a cubic\n"
          "spline through measured points.",
          {{"source", "Lobe | tuple[numpy.typing.ArrayLike, numpy.typing.ArrayLike]",
            "A lobe, or measured crank angles [rad] and valve lifts [m] from seat to seat", ""}},
          lift_curve_from, source_of)
          .def("span_at", &LiftCurve::span_at, py::arg("lift"),
               "Opening and closing angle [rad] at a valve lift [m].")
          .def_property_readonly("opening", &LiftCurve::opening,
                                 "Angle at which the valve leaves its seat [rad].")
          .def_property_readonly("closing", &LiftCurve::closing,
                                 "Angle at which the valve is back on its seat [rad].")
          .def_property_readonly("highest", &LiftCurve::highest, "Highest valve lift [m].");
  elementwise_method<LiftCurve>(
      curve, "at", {"angle"}, [](const LiftCurve& lift, const double* x) { return lift.at(x[0]); },
      "Valve lift [m] at crank angles [rad] from the peak; 0 on the seat.");
}

}  // namespace

void bind_cylinder_valves(py::module_& m) {
  bind_station<Lobe>(m, "Lobe",
                     "One lobe and what moves the valve, in the trade's terms. Durations are crank "
                     "angles between\ntwo equal tappet lifts.",
                     {}, [](const Lobe& lobe) { cylinder::validate(lobe); });
  bind_lift_curve(m);
  auto intake = part("intake", &Camshaft::intake, "Lobe", "Intake lobe");
  auto exhaust = part("exhaust", &Camshaft::exhaust, "Lobe", "Exhaust lobe");
  intake.required = exhaust.required = true;
  bind_station<Camshaft>(m, "Camshaft",
                         "Intake and exhaust lobe on their shaft; top centre is that of gas "
                         "exchange.",
                         {intake, exhaust}, [](const Camshaft& c) { cylinder::validate(c); })
      .def_property_readonly("exhaust_centreline", &Camshaft::exhaust_centreline,
                             "Crank angle of the exhaust lobe's peak before top centre [rad].");
  m.def(
      "events_at_checking_lift",
      [](const Camshaft& c) { return events_of(cylinder::events_at_checking_lift(c)); },
      py::arg("camshaft"),
      "Crank angles [rad] at 0.050 in tappet lift: intake_opens before top centre, intake_closes "
      "after bottom\ncentre, exhaust_opens before bottom centre, exhaust_closes after top centre, "
      "overlap.");
  m.def(
      "events_at_seat_lift",
      [](const Camshaft& c) { return events_of(cylinder::events_at_seat_lift(c)); },
      py::arg("camshaft"), "The same at the seat lift of each lobe.");
  m.attr("CHECKING_LIFT") = cylinder::kCheckingLift;
  m.attr("SEAT_LIFT") = Lobe{}.seat_lift;
}

}  // namespace airchain::bindings
