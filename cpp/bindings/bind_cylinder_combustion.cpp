#include "airchain/cylinder/combustion.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::AtSpeed;
using cylinder::Combustion;

void bind_cylinder_combustion(py::module_& m) {
  namespace mean = cylinder::mean_value;
  const auto told = [](const mean::Doubt& d) { return py::make_tuple(d.half, d.usual, d.most); };
  m.attr("MEAN_VALUE_DOUBTS") =
      py::dict(py::arg("net_work") = told(mean::kNetWorkDoubt),
               py::arg("pumping") = told(mean::kPumpingDoubt),
               py::arg("wall_heat") = told(mean::kWallHeatDoubt),
               py::arg("peak_pressure") = told(mean::kPeakDoubt),
               py::arg("exhaust_temperature") = told(mean::kExhaustDoubt));
  auto combustion =
      bind_station<Combustion<double>>(
          m, "Combustion",
          "Mean-value model of the closed cycle, for an engine whose breathing is typed. One with "
          "cams\n"
          "takes phasing, share of coolant and work scale from here, the rest from its cycles.\n\n"
          "    eta_i = quality (1 - r^-0.26) f (1 + p1 t + p2 t^2) (1 + s u + d l)\n\n"
          "f of mixture, fuel and compression, t of lateness, u of speed, l of charge density: "
          "fitted\n"
          "to this project's cycle over 60 engines of 80 to 115 mm bore, compression 8 to 13, "
          "three\n"
          "fuels, 0.6 to 3 bar. Of the states of 24 other such engines half are within, 95 in "
          "100 are\n"
          "within, and the worst is off\n\n"
          "    net work             1.1 %   3.5 %    9 %\n"
          "    wall heat            4.7 %    12 %   22 %\n"
          "    peak pressure        1.6 %   4.5 %   18 %\n"
          "    pumping             0.45 %   3.1 %  7.5 %  of gross work\n"
          "    exhaust temperature   20 K    60 K  125 K\n\n"
          "Range: lambda 0.65 to 1.15, half burned 2 degrees before to 42 after top centre. Left "
          "out:\n"
          "dilution, speed of burn, knock.")
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
  elementwise_method<Combustion<double>>(
      combustion, "exhaust_rise", {"density", "piston_speed", "heat", "charge_temperature"},
      [](const Combustion<double>&, const double* x) {
        return AtSpeed<double>::of(x[1]).exhaust_rise(cylinder::log_density(x[0]), x[2], x[3]);
      },
      "By how much the exhaust is hotter than the charge [K], likewise: heat that leaves the "
      "cylinder with its gas [J/kg], charge temperature [K].");
  elementwise_method<Combustion<double>>(
      combustion, "peak_pressure",
      {"compression_ratio", "plenum_pressure", "exhaust_pressure", "volumetric_efficiency",
       "half_burned", "heat"},
      [](const Combustion<double>&, const double* x) {
        return cylinder::peak_pressure_estimate(x[0], x[1], x[2], x[3], x[4], x[5]);
      },
      "Peak pressure of the mean cycle [Pa], likewise: pressures of plenum and exhaust [Pa], heat "
      "set free over displacement [J/m^3].");
}

}  // namespace airchain::bindings
