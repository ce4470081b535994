#include "airchain/cycle/cycle.hpp"
#include "airchain/cycle/spark.hpp"

#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cycle::ChargeRecipe;
using cycle::Runner;
using cycle::Setup;
using cycle::ValveArea;

namespace {

void bind_valve_area(py::module_& m) {
  bind_shared<ValveArea>(
      m, ValveArea::kName,
      "Effective area of a valve over crank angle; angle 0 is firing top centre.",
      {{"angle", "numpy.typing.ArrayLike", "Rising crank angles of one event [rad]", ""},
       {"area", "numpy.typing.ArrayLike", "Effective areas, 0 at both ends [m^2]", ""}},
      [](const py::tuple& a) {
        return std::make_shared<const ValveArea>(
            cycle::valve_area(numbers_from(ValveArea::kName, "angle", a[0]),
                              numbers_from(ValveArea::kName, "area", a[1])));
      },
      [](const ValveArea& v) { return py::make_tuple(v.area.x(), v.area.y()); })
      .def_property_readonly(
          "opening", [](const ValveArea& v) { return v.opening; }, "[rad]")
      .def_property_readonly(
          "closing", [](const ValveArea& v) { return v.closing; }, "[rad]")
      .def_property_readonly(
          "angle", [](const ValveArea& v) { return array_of(v.area.x()); }, "[rad]")
      .def_property_readonly(
          "area", [](const ValveArea& v) { return array_of(v.area.y()); }, "[m^2]");
  m.def("valve_area",
        py::overload_cast<const cylinder::LiftCurve&, double, const numerics::Curve&>(
            &cycle::valve_area),
        py::arg("lift"), py::arg("peak"), py::arg("bench"),
        "Effective area through the event of a lobe whose peak stands at a crank angle [rad] after "
        "firing top\ncentre; `bench` is made by `effective_area`. Raises InputError where the lift "
        "exceeds its last row.");
}

// Python holds what was mixed; the mixture follows from it.
Part mixture_part() {
  return needed(part_by<Setup>(
      "mixture", ChargeRecipe::kName, "Fresh charge",
      [](const Setup& s) { return py::cast(s.mixture.recipe); },
      [](Setup& s, py::handle value, const std::string& where) {
        if (!py::isinstance<ChargeRecipe>(value))
          refuse_type(where, "mixture", "ChargeMixture", value);
        s.mixture = cycle::charge_mixture(value.cast<const ChargeRecipe&>());
      }));
}

}  // namespace

void bind_cycle(py::module_& m) {
  bind_valve_area(m);
  bind_station<Runner>(
      m, Runner::kName,
      "A runner or primary; its near end is at the plenum or collector, its far end at the valve.",
      {needed(part("taper", &Runner::taper, "Pipe", "Dimensions, port included"))},
      [](const Runner& r) { cycle::validate(r); });
  const Choices<cycle::Phasing> phasings{{"half_burned", cycle::Phasing::half_burned},
                                         {"spark", cycle::Phasing::spark}};
  const Choices<cycle::Collector> collectors{{"follows", cycle::Collector::follows},
                                             {"held", cycle::Collector::held}};
  const Choices<cycle::BurnedGas> burned_gases{{"equilibrium", cycle::BurnedGas::equilibrium},
                                               {"frozen", cycle::BurnedGas::frozen}};
  bind_station<Setup>(
      m, Setup::kName,
      "One cylinder with its own runner and primary, over crank angle.\n\n"
      "Left out: blow-by, crevices, other cylinders' pulses in plenum and collector.",
      {needed(part("crank", &Setup::crank, "Crank", "Cylinder and slider-crank")),
       needed(part("intake_valve", &Setup::intake_valve, "ValveArea", "Of the intake")),
       needed(part("exhaust_valve", &Setup::exhaust_valve, "ValveArea", "Of the exhaust")),
       needed(part("intake", &Setup::intake, "Runner", "Runner between plenum and valve")),
       needed(part("exhaust", &Setup::exhaust, "Runner", "Primary between collector and valve")),
       choice_part("phasing", &Setup::phasing, phasings,
                   "What fixes the burn of a point: half_burned or spark"),
       choice_part("collector", &Setup::collector, collectors,
                   "Whether gas that comes back from behind the primary follows what leaves there "
                   "in temperature, or is held at the point's: follows or held"),
       choice_part("burned_gas", &Setup::burned_gas, burned_gases,
                   "What burned gas in the cylinder is: in equilibrium, or of one composition as "
                   "in the pipes: equilibrium or frozen"),
       part("burn", &Setup::burn, "Burn", "How the charge burns"),
       part("heat_loss", &Setup::heat_loss, "HeatLoss", "Heat to the walls"), mixture_part()},
      [](const Setup& s) { cycle::validate(s); });
  bind_station<cycle::Point<double>>(m, cycle::Point<double>::kName,
                                     "Operating point of one cylinder.");
  bind_station<cycle::SparkSearch>(m, cycle::SparkSearch::kName,
                                   "What is sought over the phasing of a point, and where.");
  bind_station<cycle::Controls>(m, cycle::Controls::kName, "How finely to step, and when to stop.");
}

}  // namespace airchain::bindings
