#include "airchain/cylinder/breathing.hpp"
#include "airchain/cylinder/burn.hpp"
#include "airchain/cylinder/combustion.hpp"
#include "airchain/cylinder/crank.hpp"
#include "airchain/cylinder/engine.hpp"
#include "airchain/cylinder/head_joint.hpp"
#include "airchain/cylinder/heat_loss.hpp"
#include "airchain/cylinder/knock.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Breathing;
using cylinder::Burn;
using cylinder::Combustion;
using cylinder::Crank;
using cylinder::Engine;
using cylinder::Exhaust;
using cylinder::HeatLoss;
using BreathingTable = numerics::Table<1>;

namespace {

/// Rows over engine speed, columns over pressure ratio.
std::vector<double> table_values(const BreathingTable& table) {
  std::vector<double> values;
  for (std::size_t iu = 0; iu < table.u().size(); ++iu)
    for (std::size_t iv = 0; iv < table.v().size(); ++iv) values.push_back(table.node(0, iu, iv));
  return values;
}

std::shared_ptr<const BreathingTable> table_from(const py::object& speeds, const py::object& ratios,
                                                 const py::object& values) {
  const std::string where = Breathing<double>::kName;
  auto u = numbers_from(where, "engine_speed", speeds);
  auto v = numbers_from(where, "pressure_ratio", ratios);
  const auto array = py::array_t<double, py::array::c_style | py::array::forcecast>::ensure(values);
  if (!array) throw py::error_already_set();
  base::require_that(array.ndim() == 2 && array.shape(0) == static_cast<py::ssize_t>(u.size()) &&
                         array.shape(1) == static_cast<py::ssize_t>(v.size()),
                     where, "values of the table",
                     "one row per engine speed and one column per pressure ratio");
  return cylinder::breathing_table(std::move(u), std::move(v),
                                   {array.data(), array.data() + array.size()});
}

py::array_t<double> table_array(const BreathingTable& table) {
  const auto values = table_values(table);
  return py::array_t<double>({table.u().size(), table.v().size()}, values.data());
}

void bind_breathing_table(py::module_& m) {
  auto table = bind_shared<BreathingTable>(
      m, "BreathingTable",
      "Volumetric efficiency over engine speed and plenum over exhaust pressure.",
      {{"engine_speed", "numpy.typing.ArrayLike", "Rising [rad/s]", ""},
       {"pressure_ratio", "numpy.typing.ArrayLike",
        "Plenum over exhaust pressure, rising; one value when it does not matter [dimensionless]",
        ""},
       {"values", "numpy.typing.ArrayLike",
        "One row per engine speed, one column per pressure ratio [dimensionless]; 0.1 to 1.6", ""}},
      [](const py::tuple& a) { return table_from(a[0], a[1], a[2]); },
      [](const BreathingTable& t) {
        return py::make_tuple(t.u(), t.v(), table_array(t).attr("tolist")());
      });
  table
      .def_property_readonly(
          "engine_speed", [](const BreathingTable& t) { return array_of(t.u()); }, "[rad/s]")
      .def_property_readonly(
          "pressure_ratio", [](const BreathingTable& t) { return array_of(t.v()); },
          "Plenum over exhaust pressure [dimensionless].")
      .def_property_readonly("values", &table_array, "Rows over engine speed [dimensionless].")
      .def(
          "at",
          [](const BreathingTable& t, const py::array_t<double>& speed,
             const py::array_t<double>& ratio) {
            return py::vectorize([&t](double u, double v) { return t.at(u, v)[0]; })(speed, ratio);
          },
          py::arg("engine_speed"), py::arg("pressure_ratio"),
          "Volumetric efficiency [dimensionless] at engine speeds [rad/s] and pressure ratios; "
          "outside the table the value at its edge.");
  m.def(
      "breathing_table",
      [](const py::object& u, const py::object& v, const py::object& values) {
        return std::const_pointer_cast<BreathingTable>(table_from(u, v, values));
      },
      py::arg("engine_speed"), py::arg("pressure_ratio"), py::arg("values"),
      "A table of volumetric efficiency [dimensionless]: one row per engine speed [rad/s], one "
      "column per plenum over exhaust pressure.");
}

void bind_head_joint(py::module_& m) {
  using cylinder::HeadJoint;
  bind_station<HeadJoint>(
      m, "HeadJoint",
      "What the fasteners of one cylinder clamp against what the gas lifts.\n\n"
      "    clamp = torque / (nut_factor diameter), lift = p_peak pi/4 sealing_diameter^2\n\n"
      "Left out: unlike growth by heat, settling of the gasket, bending of the head.",
      {}, [](const HeadJoint& joint) { cylinder::validate(joint); })
      .def_property_readonly("fastener_clamp", &HeadJoint::fastener_clamp, "Of one fastener [N].")
      .def_property_readonly("holding_force", &HeadJoint::holding_force,
                             "Least clamp around one cylinder [N], less what the gasket needs.")
      .def("lifting_force", &HeadJoint::lifting_force, py::arg("peak_pressure"),
           "Of the gas at a peak pressure [Pa], on one cylinder [N].");
}

void bind_closed_cycle(py::module_& m) {
  bind_station<Crank>(m, "Crank",
                      "One cylinder on a slider-crank; angle 0 is top centre.\n\n"
                      "    s = a cos t + sqrt(l^2 - a^2 sin^2 t),   V = V_c + pi/4 B^2 (l + a - s)",
                      {}, [](const Crank& c) { cylinder::validate(c); })
      .def_property_readonly("displacement", &Crank::displacement, "Swept volume [m^3].")
      .def_property_readonly("clearance_volume", &Crank::clearance_volume,
                             "Volume at top centre [m^3].")
      .def(
          "volume",
          [](const Crank& c, const py::array_t<double>& angle) {
            return py::vectorize([&c](double a) { return c.at(a).volume; })(angle);
          },
          py::arg("angle"), "Volume [m^3] at crank angles [rad].");
  bind_station<Burn>(m, "Burn",
                     "How the trapped charge burns: Wiebe's function of the crank angle.\n\n"
                     "    x = (1 - exp(-a y^(m+1)))/(1 - exp(-a)),   y = (angle - start)/duration\n"
                     "    duration = duration_ref (n/n_ref)^x (1 + 3.5 (1/lambda - 1.1)^2)\n"
                     "               (1 + 2 residual)");
  bind_station<HeatLoss>(m, "HeatLoss",
                         "Heat from the gas to the walls of a cylinder, after Woschni.\n\n"
                         "    h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8");
}

}  // namespace

void bind_cylinder(py::module_& m) {
  const auto& octane = cylinder::kKnockOctane;
  m.attr("KNOCK_OCTANE") = py::make_tuple(octane.low, octane.high);
  bind_head_joint(m);
  bind_breathing_table(m);
  bind_surface(m);
  bind_closed_cycle(m);
  bind_valves(m);
  using B = Breathing<double>;
  auto table = shared_part<B>("table", &B::table, "BreathingTable",
                              "Volumetric efficiency at the reference temperature");
  auto surface = shared_part<B>("surface", &B::surface, "BreathingSurface",
                                "What a crank-resolved cylinder says, instead of the table");
  bind_station<B>(
      m, "Breathing",
      "How well the engine fills.\n\n"
      "    eta_v = scale table(engine speed, plenum/exhaust pressure) (T_charge/T_ref)^x\n\n"
      "The charge that stays in the cylinders a cycle over what fills the displacement at plenum\n"
      "pressure and charge temperature. Left out of a typed table: wave tuning moving with\n"
      "temperature, charge lost in the overlap. A surface knows both; the factor comes on top.",
      {table, surface}, [](const B& b) {
        base::require_that(b.table != nullptr || b.surface != nullptr,
                           {.where = B::kName,
                            .field = "table",
                            .rule = "be a BreathingTable or BreathingSurface",
                            .statement = "table = None, surface = None"});
        base::require_that(b.table == nullptr || b.surface == nullptr,
                           {.where = B::kName,
                            .field = "table",
                            .rule = "be one of the two",
                            .statement = "there are a table and a surface"});
      });
  bind_station<Engine<double>>(m, "Engine",
                               "The four-stroke engine's size and rubbing losses.\n\n"
                               "    fmep = a + b p_max + c U + d U^2\n\n"
                               "U is the mean piston speed; pumping comes apart.")
      .def("mean_piston_speed", &Engine<double>::mean_piston_speed, py::arg("engine_speed"),
           "Mean piston speed [m/s] at an engine speed [rad/s].")
      .def("displaced_rate", &Engine<double>::displaced_rate, py::arg("engine_speed"),
           "Displacement times cycles a second [m^3/s] at an engine speed [rad/s].")
      .def(
          "friction_at",
          [](const Engine<double>& e, const py::array_t<double>& peak,
             const py::array_t<double>& speed) {
            return py::vectorize([&e](double p, double w) {
              return e.friction_pressure_at(p, e.mean_piston_speed(w));
            })(peak, speed);
          },
          py::arg("peak_pressure"), py::arg("engine_speed"),
          "Friction mean effective pressure [Pa] at peak cylinder pressures [Pa] and engine speeds "
          "[rad/s].");
  bind_station<Combustion<double>>(
      m, "Combustion",
      "Mean-value model of the closed cycle.\n\n"
      "    eta_i = quality (1 - r^-0.26) w(phi)/phi (1 - k (theta50 - best)^2), phi = 1/lambda\n\n"
      "Range: lambda 0.6 to 1.2, phasing within 20 degrees of best. Left out: dilution, speed of\n"
      "burn, knock.")
      .def(
          "phasing_at",
          [](const Combustion<double>& c, const py::array_t<double>& pressure) {
            return py::vectorize([&c](double p) { return c.phasing_at(p); })(pressure);
          },
          py::arg("plenum_pressure"),
          "Crank angle after top centre [rad] at which half the charge has burned, at plenum "
          "pressures [Pa].")
      .def("phasing_factor", &Combustion<double>::phasing_factor, py::arg("phasing"),
           "Indicated work at a phasing [rad] over that at best phasing [dimensionless].");
  bind_station<Exhaust<double>>(m, "Exhaust",
                                "Tailpipe, silencer and primaries behind the valves.\n\n"
                                "    p^2 - p_ambient p = K R T W^2 / (2 A^2)");
}

}  // namespace airchain::bindings
