#include "bindings.hpp"
#include "fields.hpp"
#include "surface_nodes.hpp"

namespace airchain::bindings {

using cylinder::Surface;
using cylinder::SurfaceNodes;

namespace {

template <int F>
std::vector<double> flat(const numerics::Block<F>& block, std::size_t field) {
  std::vector<double> values;
  for (const auto& node : block.values()) values.push_back(node[field]);
  return values;
}

std::string range_of(const std::vector<double>& axis, const char* words, const char* unit) {
  return std::to_string(axis.size()) + " " + words + " " + base::number_text(axis.front()) +
         " to " + base::number_text(axis.back()) + unit;
}

std::string shown(const Surface& s) {
  const auto& f = s.filling;
  return std::string("<BreathingSurface: ") + range_of(f.u(), "wave speeds", " rad/s") + ", " +
         range_of(f.v(), "pressure ratios", "") + ", " + range_of(f.w(), "temperatures", " K") +
         "; exhaust " + base::number_text(s.lowest_exhaust) + " to " +
         base::number_text(s.highest_exhaust) + " Pa>";
}

void bind_node_values(const py::object& cls, const char* name, const char* words,
                      std::vector<double> SurfaceNodes::*member) {
  const std::string doc =
      std::string(words) + " at the nodes, over wave speed, pressure ratio and temperature.";
  read_only(cls, name, "numpy.typing.NDArray[numpy.float64]", doc,
            [member](const py::object& self) -> py::object {
              const SurfaceNodes nodes = nodes_of(self.cast<const Surface&>());
              return array_over_axes(nodes, nodes.*member);
            });
}

void bind_axes(const py::object& cls) {
  const std::string array = "numpy.typing.NDArray[numpy.float64]";
  const auto axis = [&](const char* name, const char* words, auto of) {
    read_only(cls, name, array, words, [of](const py::object& self) -> py::object {
      return array_of(of(self.cast<const Surface&>()));
    });
  };
  axis("wave_speed", "[rad/s]", [](const Surface& s) { return s.filling.u(); });
  axis("pressure_ratio", "Plenum over exhaust pressure [dimensionless].",
       [](const Surface& s) { return s.filling.v(); });
  axis("temperature", "[K]", [](const Surface& s) { return s.filling.w(); });
  axis("exhaust_pressure", "The lowest, that of the nodes, and the highest [Pa].",
       [](const Surface& s) {
         return std::vector{s.lowest_exhaust, s.node_exhaust, s.highest_exhaust};
       });
}

}  // namespace

SurfaceNodes nodes_of(const Surface& s) {
  return {s.filling.u(),      s.filling.v(),
          s.filling.w(),      {s.lowest_exhaust, s.node_exhaust, s.highest_exhaust},
          flat(s.filling, 0), flat(s.filling, 1),
          flat(s.pumping, 0), flat(s.filling, 2)};
}

Array array_over_axes(const SurfaceNodes& n, const std::vector<double>& values) {
  return Array({n.wave_speed.size(), n.pressure_ratio.size(), n.temperature.size()}, values.data());
}

void bind_cylinder_nodes(const py::object& surface) {
  bind_axes(surface);
  bind_node_values(surface, "volumetric_efficiency", "Volumetric efficiency [dimensionless]",
                   &SurfaceNodes::volumetric_efficiency);
  bind_node_values(surface, "trapping", "Charge that stays over charge drawn [dimensionless]",
                   &SurfaceNodes::trapping);
  bind_node_values(surface, "pumping",
                   "Mean effective pressure lost over plenum pressure [dimensionless]",
                   &SurfaceNodes::pumping);
  bind_node_values(
      surface, "pressure_effect",
      "Change of volumetric efficiency with the logarithm of exhaust pressure [dimensionless]",
      &SurfaceNodes::pressure_effect);
  // Instead of every node: a def of the same name would only be tried after the first.
  surface.attr("__repr__") = py::cpp_function(shown, py::name("__repr__"), py::is_method(surface));
}

}  // namespace airchain::bindings
