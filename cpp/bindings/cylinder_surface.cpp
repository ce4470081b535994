#include <array>

#include "airchain/cylinder/surface.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Surface;
using cylinder::SurfaceNodes;

namespace {

constexpr const char* kName = "BreathingSurface";

template <int F>
std::vector<double> flat(const numerics::Block<F>& block, std::size_t field) {
  std::vector<double> values;
  for (const auto& node : block.values()) values.push_back(node[field]);
  return values;
}

SurfaceNodes nodes_of(const Surface& s) {
  return {s.filling.u(),      s.filling.v(),
          s.filling.w(),      {s.lowest_exhaust, s.node_exhaust, s.highest_exhaust},
          flat(s.filling, 0), flat(s.filling, 1),
          flat(s.pumping, 0), flat(s.filling, 2)};
}

std::vector<double> values_from(const char* name, const py::object& values,
                                const SurfaceNodes& nodes) {
  const auto array = py::array_t<double, py::array::c_style | py::array::forcecast>::ensure(values);
  if (!array) throw py::error_already_set();
  const std::size_t axes[] = {nodes.wave_speed.size(), nodes.pressure_ratio.size(),
                              nodes.temperature.size()};
  bool fits = array.ndim() == 3;
  for (int i = 0; fits && i < 3; ++i) fits = array.shape(i) == static_cast<py::ssize_t>(axes[i]);
  base::require_that(fits, {.where = kName,
                            .field = name,
                            .rule = "be one value per wave speed, pressure ratio and temperature"});
  return {array.data(), array.data() + array.size()};
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
  return cylinder::breathing_surface(n);
}

py::array_t<double> array_over_axes(const SurfaceNodes& n, const std::vector<double>& values) {
  return py::array_t<double>({n.wave_speed.size(), n.pressure_ratio.size(), n.temperature.size()},
                             values.data());
}

py::tuple state_of(const Surface& s) {
  const SurfaceNodes n = nodes_of(s);
  const auto listed = [&](const std::vector<double>& values) {
    return array_over_axes(n, values).attr("tolist")();
  };
  return py::make_tuple(n.wave_speed, n.pressure_ratio, n.temperature, n.exhaust_pressure,
                        listed(n.volumetric_efficiency), listed(n.trapping), listed(n.pumping),
                        listed(n.pressure_effect));
}

std::string range_of(const std::vector<double>& axis, const char* words, const char* unit) {
  return std::to_string(axis.size()) + " " + words + " " + base::number_text(axis.front()) +
         " to " + base::number_text(axis.back()) + unit;
}

std::string shown(const Surface& s) {
  const auto& f = s.filling;
  return std::string("<") + kName + ": " + range_of(f.u(), "wave speeds", " rad/s") + ", " +
         range_of(f.v(), "pressure ratios", "") + ", " + range_of(f.w(), "temperatures", " K") +
         "; exhaust " + base::number_text(s.lowest_exhaust) + " to " +
         base::number_text(s.highest_exhaust) + " Pa>";
}

template <std::vector<double> SurfaceNodes::*member, class Class>
void bind_nodes(Class& cls, const char* name, const char* words) {
  cls.def_property_readonly(
      name,
      [](const Surface& s) {
        const SurfaceNodes n = nodes_of(s);
        return array_over_axes(n, n.*member);
      },
      (std::string(words) + " at the nodes, over wave speed, pressure ratio and temperature.")
          .c_str());
}

using Numbers = py::array_t<double>;

template <class Class>
void bind_axes(Class& cls) {
  const auto axis = [&cls](const char* name, const char* words, auto of) {
    cls.def_property_readonly(
        name, [of](const Surface& s) { return array_of(of(s)); }, words);
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

template <class Class>
void bind_look_ups(Class& cls) {
  const auto look_up = [&cls](const char* name, const char* words, auto of) {
    cls.def(
        name,
        [of](const Surface& s, const Numbers& n, const Numbers& r, const Numbers& t,
             const Numbers& p) {
          return py::vectorize([&](double speed, double ratio, double temperature, double exhaust) {
            return of(s, speed, ratio, temperature, exhaust);
          })(n, r, t, p);
        },
        py::arg("engine_speed"), py::arg("pressure_ratio"), py::arg("temperature"),
        py::arg("exhaust_pressure"),
        (std::string(words) +
         " at engine speeds [rad/s], plenum over\nexhaust pressures, charge temperatures [K] and "
         "exhaust pressures [Pa]; outside, the value\nat the edge.")
            .c_str());
  };
  const auto filling = [](auto member) {
    return [member](const Surface& s, double n, double r, double t, double p) {
      return Surface::Line<double>(s, n).at(r, t, p).*member;
    };
  };
  using Values = Surface::Values<double>;
  look_up("volumetric_efficiency_at", "Volumetric efficiency [dimensionless]",
          filling(&Values::volumetric_efficiency));
  look_up("trapping_at", "Charge that stays over charge drawn [dimensionless]",
          filling(&Values::trapping));
  look_up(
      "pumping_at", "Mean effective pressure lost over plenum pressure [dimensionless]",
      [](const Surface& s, double n, double r, double t, double) { return s.pumping_at(n, r, t); });
  cls.def(
      "inside",
      [](const Surface& s, const Numbers& n, const Numbers& r, const Numbers& t, const Numbers& p) {
        return py::vectorize([&](double speed, double ratio, double temperature, double exhaust) {
          return bool(s.inside(speed, ratio, temperature, exhaust));
        })(n, r, t, p);
      },
      py::arg("engine_speed"), py::arg("pressure_ratio"), py::arg("temperature"),
      py::arg("exhaust_pressure"), "Whether states lie within the nodes.");
}

}  // namespace

void bind_surface(py::module_& m) {
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
        ""}},
      surface_from, state_of);
  bind_axes(surface);
  bind_nodes<&SurfaceNodes::volumetric_efficiency>(surface, "volumetric_efficiency",
                                                   "Volumetric efficiency [dimensionless]");
  bind_nodes<&SurfaceNodes::trapping>(surface, "trapping",
                                      "Charge that stays over charge drawn [dimensionless]");
  bind_nodes<&SurfaceNodes::pumping>(
      surface, "pumping", "Mean effective pressure lost over plenum pressure [dimensionless]");
  bind_nodes<&SurfaceNodes::pressure_effect>(
      surface, "pressure_effect",
      "Change of volumetric efficiency with the logarithm of exhaust pressure [dimensionless]");
  bind_look_ups(surface);
  // Instead of every node: a def of the same name would only be tried after the first.
  surface.attr("__repr__") = py::cpp_function(shown, py::name("__repr__"), py::is_method(surface));
  surface.def_static(
      "stretch",
      [](const Numbers& ratio, const Numbers& temperature) {
        return py::vectorize(&Surface::stretch<double>)(ratio, temperature);
      },
      py::arg("pressure_ratio"), py::arg("temperature"),
      "Engine speed over wave speed [dimensionless] at plenum over exhaust pressures and charge\n"
      "temperatures [K].");
  surface.def_static(
      "difference",
      [](const Numbers& x, const Numbers& y) {
        return py::vectorize(&Surface::difference<double>)(x, y);
      },
      py::arg("x"), py::arg("y"), "2 (x - y)/(x + y), near the logarithm of x/y.");
}

}  // namespace airchain::bindings
