#include "airchain/cylinder/burn.hpp"
#include "airchain/cylinder/crank.hpp"
#include "airchain/cylinder/head_joint.hpp"
#include "airchain/cylinder/heat_loss.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Burn;
using cylinder::Crank;
using cylinder::HeatLoss;

namespace {

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

}  // namespace

void bind_cylinder_crank(py::module_& m) {
  bind_head_joint(m);
  auto crank =
      bind_station<Crank>(
          m, "Crank",
          "One cylinder on a slider-crank; angle 0 is top centre.\n\n"
          "    s = a cos t + sqrt(l^2 - a^2 sin^2 t),   V = V_c + pi/4 B^2 (l + a - s)",
          {}, [](const Crank& c) { cylinder::validate(c); })
          .def_property_readonly("displacement", &Crank::displacement, "Swept volume [m^3].")
          .def_property_readonly("clearance_volume", &Crank::clearance_volume,
                                 "Volume at top centre [m^3].");
  elementwise_method<Crank>(
      crank, "volume", {"angle"}, [](const Crank& c, const double* x) { return c.at(x[0]).volume; },
      "Volume [m^3] at crank angles [rad].");
  bind_station<Burn>(m, "Burn",
                     "How the trapped charge burns: Wiebe's function of the crank angle.\n\n"
                     "    x = (1 - exp(-a y^(m+1)))/(1 - exp(-a)),   y = (angle - start)/duration\n"
                     "    duration = duration_ref (n/n_ref)^x (1 + 3.5 (1/lambda - 1.1)^2)\n"
                     "               (1 + 2 residual)");
  bind_station<HeatLoss>(m, "HeatLoss",
                         "Heat from the gas to the walls of a cylinder, after Woschni.\n\n"
                         "    h = 3.26 B^-0.2 p^0.8 T^-0.55 w^0.8");
}

}  // namespace airchain::bindings
