#include "airchain/cylinder/breathing.hpp"
#include "airchain/cylinder/combustion.hpp"
#include "airchain/cylinder/engine.hpp"
#include "airchain/cylinder/knock.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Breathing;
using cylinder::Combustion;
using cylinder::Engine;
using cylinder::Exhaust;

void bind_cylinder(py::module_& m) {
  const auto& octane = cylinder::kKnockOctane;
  m.attr("KNOCK_OCTANE") = py::make_tuple(octane.low, octane.high);
  m.attr("KNOCK_DOUBT") = cylinder::kKnockDoubt;
  namespace mean = cylinder::mean_value;
  const auto both = [](const mean::Doubt& d) { return py::make_tuple(d.usual, d.most); };
  m.attr("MEAN_VALUE_DOUBTS") = py::dict(py::arg("net_work") = both(mean::kNetWorkDoubt),
                                         py::arg("pumping") = both(mean::kPumpingDoubt),
                                         py::arg("wall_heat") = both(mean::kWallHeatDoubt));
  bind_cylinder_table(m);
  bind_cylinder_burned(m);
  bind_cylinder_surface(m);
  bind_cylinder_crank(m);
  bind_cylinder_valves(m);
  bind_cylinder_port(m);
  using B = Breathing<double>;
  auto table = shared_part("table", &B::table, "BreathingTable",
                           "Volumetric efficiency at the reference temperature");
  auto surface = shared_part("surface", &B::surface, "BreathingSurface",
                             "What a crank-resolved cylinder says, instead of the table");
  bind_station<B>(
      m, "Breathing",
      "How well the engine fills.\n\n"
      "    eta_v = scale table(engine speed, plenum/exhaust pressure) (T_charge/T_ref)^x\n\n"
      "The charge that stays in the cylinders a cycle over what fills the displacement at plenum\n"
      "pressure and charge temperature. Left out of a typed table: wave tuning moving with\n"
      "temperature, charge lost in the overlap. A surface knows both; the factor comes on top. "
      "One\n"
      "with neither belongs to a chain whose cylinder's cycle is run at every point.",
      {table, surface}, [](const B& b) {
        base::require_that(b.table == nullptr || b.surface == nullptr,
                           {.where = B::kName,
                            .field = "table",
                            .rule = "be one of the two",
                            .statement = "there are a table and a surface"});
      });
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
      "plenum pressures [Pa], the plenum's density [kg/m^3], engine speeds [rad/s], volumetric "
      "efficiency [dimensionless].");
  auto combustion =
      bind_station<Combustion<double>>(
          m, "Combustion",
          "Mean-value model of the closed cycle, for an engine whose "
          "breathing is typed. One with cams\n"
          "takes phasing, share of coolant and work scale from here, "
          "the rest from its cycles.\n\n"
          "    eta_i = quality (1 - r^-0.26) f (1 + p1 t + p2 t^2) "
          "exp(s u + d l)\n\n"
          "f of mixture, fuel and compression, t of lateness, u of speed, l of "
          "charge density: fitted\nto this project's cycle over 60 "
          "engines of 80 to 115 mm bore, compression 8 to 13, three\n"
          "fuels, 0.6 to 3 bar. Range: lambda 0.65 to 1.15, half "
          "burned 2 degrees before to 42 after top\ncentre. Left "
          "out: dilution, speed of burn, knock.")
          .def("phasing_factor", &Combustion<double>::phasing_factor, py::arg("phasing"),
               "Indicated work at a phasing [rad] over that at best phasing [dimensionless].");
  elementwise_method<Combustion<double>>(
      combustion, "phasing_at", {"plenum_pressure"},
      [](const Combustion<double>& c, const double* x) { return c.phasing_at(x[0]); },
      "Crank angle after top centre [rad] at which half the charge has burned, at plenum "
      "pressures [Pa].");
  const std::vector<const char*> state{"compression_ratio", "lambda_",      "oxygen_ratio",
                                       "density",           "piston_speed", "half_burned"};
  elementwise_method<Combustion<double>>(
      combustion, "indicated_efficiency", state,
      [](const Combustion<double>& c, const double* x) {
        return c.mean_value(x[0], x[1], x[2], x[3], x[4], x[5]).work;
      },
      "Work of compression and expansion over the fuel's heating value [dimensionless] where no "
      "cycles tell it: lambda, oxygen atoms per carbon atom of the fuel, density of dry air at "
      "plenum pressure and charge temperature [kg/m^3], mean piston speed [m/s], crank angle of "
      "half burned [rad].");
  elementwise_method<Combustion<double>>(
      combustion, "wall_heat", state,
      [](const Combustion<double>& c, const double* x) {
        return c.mean_value(x[0], x[1], x[2], x[3], x[4], x[5]).wall_heat;
      },
      "Heat to the cylinder walls over the fuel's heating value [dimensionless], likewise.");
  bind_station<Exhaust<double>>(m, "Exhaust",
                                "Tailpipe, silencer and primaries behind the valves.\n\n"
                                "    p^2 - p_ambient p = K R T W^2 / (2 A^2)");
}

}  // namespace airchain::bindings
