#include <cmath>

#include "airchain/cylinder/surface.hpp"
#include "arrays.hpp"
#include "bindings.hpp"

namespace airchain::bindings {

using cylinder::Surface;

namespace {

using SurfaceBurn = Surface::Burn<double>;
using AtBurn = double (*)(const Surface&, const double*, const SurfaceBurn&);

/// The burned charge at a state, and the pumping with its burn.
cylinder::BurnedCharge<double> charge_at(const Surface& s, const double* x, const SurfaceBurn& burn,
                                         double* pumping = nullptr) {
  double change;
  const auto charge = s.burned->charge_at(s.state(x[0], x[1], x[2], x[3], burn.lambda),
                                          s.departure(x[1], burn), change);
  if (pumping != nullptr) *pumping = change + s.pumping_at(x[0], x[1], s.like(x[2], burn.lambda));
  return charge;
}

void at_burn(const py::object& cls, const char* name, const char* words, AtBurn of) {
  const std::string doc =
      std::string(words) +
      " at engine speeds [rad/s], plenum over exhaust\npressures, charge temperatures [K] and "
      "exhaust pressures [Pa], with half of the charge burned at\ncrank angles after top centre "
      "[rad], at lambdas; NaN where the surface tells the filling alone.";
  def_elementwise(
      cls, name,
      {"engine_speed", "pressure_ratio", "temperature", "exhaust_pressure", "half_burned",
       "lambda_"},
      [of](py::handle self) -> Of {
        const auto& surface = self.cast<const Surface&>();
        return [&surface, of](const double* x) {
          return surface.burned ? of(surface, x, SurfaceBurn{x[4], x[5]}) : std::nan("");
        };
      },
      doc.c_str());
}

}  // namespace

void bind_cylinder_burned_look_ups(const py::object& cls) {
  at_burn(cls, "work_at", "Work of compression and expansion over the trapped fuel's heating value",
          [](const Surface& s, const double* x, const SurfaceBurn& b) {
            return charge_at(s, x, b).work;
          });
  at_burn(cls, "peak_pressure_at", "Peak pressure over plenum pressure",
          [](const Surface& s, const double* x, const SurfaceBurn& b) {
            const auto filled = Surface::Line<double>(s, x[0]).at(x[1], x[2], x[3], b);
            return charge_at(s, x, b).peak_pressure * filled.volumetric_efficiency;
          });
  at_burn(cls, "wall_heat_at", "Heat to the cylinder's walls over the trapped fuel's heating value",
          [](const Surface& s, const double* x, const SurfaceBurn& b) {
            return charge_at(s, x, b).wall_heat;
          });
  at_burn(cls, "burned_pumping_at", "Mean effective pressure lost over plenum pressure",
          [](const Surface& s, const double* x, const SurfaceBurn& b) {
            double pumping;
            charge_at(s, x, b, &pumping);
            return pumping;
          });
  at_burn(cls, "exhaust_temperature_at", "Mean temperature [K] of what leaves the primary",
          [](const Surface& s, const double* x, const SurfaceBurn& b) {
            return Surface::Line<double>(s, x[0]).exhaust_temperature(x[1], x[2], x[3], b);
          });
  at_burn(cls, "filled_at", "Volumetric efficiency",
          [](const Surface& s, const double* x, const SurfaceBurn& b) {
            return Surface::Line<double>(s, x[0]).at(x[1], x[2], x[3], b).volumetric_efficiency;
          });
}

}  // namespace airchain::bindings
