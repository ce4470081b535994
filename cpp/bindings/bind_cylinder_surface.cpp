#include "bindings.hpp"
#include "fields.hpp"
#include "surface_nodes.hpp"

namespace airchain::bindings {

using cylinder::Surface;
using cylinder::SurfaceNodes;

namespace {

constexpr const char* kName = "BreathingSurface";

std::vector<double> values_from(const char* name, py::handle values, const SurfaceNodes& nodes) {
  return numbers_of_shape(
      kName, name, values,
      {nodes.wave_speed.size(), nodes.pressure_ratio.size(), nodes.temperature.size()},
      "be one value per wave speed, pressure ratio and temperature");
}

std::shared_ptr<const Surface> surface_from(const py::tuple& a) {
  SurfaceNodes n;
  n.wave_speed = numbers_from(kName, "wave_speed", a[0]);
  n.pressure_ratio = numbers_from(kName, "pressure_ratio", a[1]);
  n.temperature = numbers_from(kName, "temperature", a[2]);
  const auto exhaust = numbers_from(kName, "exhaust_pressure", a[3]);
  base::require_that(exhaust.size() == 3,
                     {.where = kName,
                      .field = "exhaust_pressure",
                      .rule = "be three: the lowest, that of the nodes, the highest"});
  std::copy(exhaust.begin(), exhaust.end(), n.exhaust_pressure.begin());
  n.volumetric_efficiency = values_from("volumetric_efficiency", a[4], n);
  n.trapping = values_from("trapping", a[5], n);
  n.pumping = values_from("pumping", a[6], n);
  n.pressure_effect = values_from("pressure_effect", a[7], n);
  std::shared_ptr<const cylinder::Burned> burned;
  if (!a[8].is_none()) {
    base::require_that(py::isinstance<cylinder::Burned>(a[8]),
                       {.where = kName,
                        .field = "burned",
                        .rule = "be a BurnedSurface or None",
                        .statement = "burned is something else"});
    burned = a[8].cast<std::shared_ptr<cylinder::Burned>>();
  }
  return cylinder::breathing_surface(n, std::move(burned));
}

py::tuple state_of(const Surface& s) {
  const SurfaceNodes n = nodes_of(s);
  const auto listed = [&](const std::vector<double>& values) {
    return array_over_axes(n, values).attr("tolist")();
  };
  return py::make_tuple(n.wave_speed, n.pressure_ratio, n.temperature, n.exhaust_pressure,
                        listed(n.volumetric_efficiency), listed(n.trapping), listed(n.pumping),
                        listed(n.pressure_effect),
                        std::const_pointer_cast<cylinder::Burned>(s.burned));
}

}  // namespace

void bind_cylinder_surface(py::module_& m) {
  const std::string row = "numpy.typing.ArrayLike";
  auto surface = bind_shared<Surface>(
      m, kName,
      "What a crank-resolved cylinder says of its filling over speed, plenum over exhaust\n"
      "pressure, charge temperature and exhaust pressure.\n\n"
      "    wave speed = N / (1 + x + x^2/2),   x = a s,   s = 2 (T - T0)/(T + T0),   T0 = 330 K",
      {{"wave_speed", row, "Rising [rad/s]", ""},
       {"pressure_ratio", row, "Plenum over exhaust pressure, rising [dimensionless]", ""},
       {"temperature", row, "Of the charge, rising, 8 at most [K]", ""},
       {"exhaust_pressure", row, "Three: lowest, that of the nodes, highest [Pa]", ""},
       {"volumetric_efficiency", row,
        "Charge that stays over that of full cylinders [dimensionless]; 0.1 to 1.6", ""},
       {"trapping", row, "Charge that stays over charge drawn [dimensionless]; 0.2 to 1", ""},
       {"pumping", row,
        "Mean effective pressure lost in the gas exchange over plenum pressure [dimensionless]",
        ""},
       {"pressure_effect", row,
        "Change of volumetric efficiency with 2 (p - p0)/(p + p0), p the exhaust pressure and p0\n"
        "that of the nodes [dimensionless]; -1 to 1",
        ""},
       {"burned", "BurnedSurface | None", "What the cycles say of the burned charge", "None"}},
      surface_from, state_of);
  surface.def_property_readonly(
      "burned",
      [](const Surface& s) { return std::const_pointer_cast<cylinder::Burned>(s.burned); },
      "What the cycles say of the burned charge; None where only the filling is told.");
  bind_cylinder_nodes(surface);
  bind_cylinder_look_ups(surface);
}

}  // namespace airchain::bindings
