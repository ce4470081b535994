#include "airchain/cylinder/breathing.hpp"
#include "airchain/cylinder/engine.hpp"
#include "airchain/cylinder/knock.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Breathing;
using cylinder::Engine;
using cylinder::Exhaust;

void bind_cylinder(py::module_& m) {
  const auto& octane = cylinder::kKnockOctane;
  m.attr("KNOCK_OCTANE") = py::make_tuple(octane.low, octane.high);
  m.attr("KNOCK_DOUBT") = cylinder::kKnockDoubt;
  bind_cylinder_table(m);
  bind_cylinder_burned(m);
  bind_cylinder_surface(m);
  bind_cylinder_crank(m);
  bind_cylinder_valves(m);
  bind_cylinder_port(m);
  bind_cylinder_combustion(m);
  using B = Breathing<double>;
  auto table = shared_part("table", &B::table, "BreathingTable",
                           "Volumetric efficiency at the reference temperature");
  auto surface = shared_part("surface", &B::surface, "BreathingSurface",
                             "What a crank-resolved cylinder says, instead of the table");
  auto together = shared_part("together", &B::together, "BreathingTable",
                              "Mean charge of all cylinders over that of the one whose cycles make "
                              "the breathing, over together_speed and pressure ratio");
  auto breathing = bind_station<B>(
      m, "Breathing",
      "How well the engine fills.\n\n"
      "    eta_v = scale table(engine speed, plenum/exhaust pressure) (T_charge/T_ref)^x\n\n"
      "The charge that stays in the cylinders a cycle over what fills the displacement at plenum\n"
      "pressure and charge temperature. Left out of a typed table: wave tuning moving with\n"
      "temperature, charge lost in the overlap. A surface knows both; the factor comes on top. "
      "One\n"
      "with neither belongs to a chain whose cylinder's cycle is run at every point.",
      {table, surface, together}, [](const B& b) {
        base::require_that(b.table == nullptr || b.surface == nullptr,
                           {.where = B::kName,
                            .field = "table",
                            .rule = "be one of the two",
                            .statement = "there are a table and a surface"});
        base::require_that(b.table == nullptr || b.together == nullptr,
                           {.where = B::kName,
                            .field = "together",
                            .rule = "stand beside a surface or cycles",
                            .statement = "a typed table is of all cylinders already"});
      });
  breathing.attr("TOGETHER_TEMPERATURE") = B::kTogetherTemperature;
  breathing.attr("together_speed") = py::staticmethod(py::cpp_function(
      [](const ArrayLike& speed, const ArrayLike& temperature) {
        return elementwise("Breathing", {{"engine_speed", speed}, {"temperature", temperature}},
                           [](const double* x) { return B::together_speed(x[0], x[1]); });
      },
      py::name("together_speed"), py::scope(breathing), py::arg("engine_speed"),
      py::arg("temperature"),
      "Engine speed [rad/s] at TOGETHER_TEMPERATURE [K] at which cylinders differ as they do at\n"
      "engine speeds [rad/s] and charge temperatures [K]."));
  auto engine =
      bind_station<Engine<double>>(m, "Engine",
                                   "The four-stroke engine's size and rubbing losses.\n\n"
                                   "    fmep = a + b p_max + c U + d U^2\n\n"
                                   "U is the mean piston speed; pumping comes apart.")
          .def("mean_piston_speed", &Engine<double>::mean_piston_speed, py::arg("engine_speed"),
               "Mean piston speed [m/s] at an engine speed [rad/s].")
          .def("displaced_rate", &Engine<double>::displaced_rate, py::arg("engine_speed"),
               "Displacement times cycles a second [m^3/s] at an engine speed [rad/s].");
  elementwise_method<Engine<double>>(
      engine, "friction_at", {"peak_pressure", "engine_speed"},
      [](const Engine<double>& e, const double* x) {
        return e.friction_pressure_at(x[0], e.mean_piston_speed(x[1]));
      },
      "Friction mean effective pressure [Pa] at peak cylinder pressures [Pa] and engine speeds "
      "[rad/s].");
  elementwise_method<Engine<double>>(
      engine, "pumping_pressure",
      {"exhaust_pressure", "plenum_pressure", "density", "engine_speed", "volumetric_efficiency"},
      [](const Engine<double>& e, const double* x) {
        return e.pumping_pressure(x[0], x[1], x[2], e.mean_piston_speed(x[3]), x[4]);
      },
      "Work lost in the gas exchange over displacement [Pa] where no cycles tell it: exhaust and "
      "plenum pressures [Pa], the density of dry air at plenum pressure and charge temperature "
      "[kg/m^3], engine speeds [rad/s], volumetric "
      "efficiency [dimensionless].");
  bind_station<Exhaust<double>>(m, "Exhaust",
                                "Tailpipe, silencer and primaries behind the valves.\n\n"
                                "    p^2 - p_ambient p = K R T W^2 / (2 A^2)");
}

}  // namespace airchain::bindings
