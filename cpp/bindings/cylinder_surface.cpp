#include <array>

#include "airchain/cylinder/surface.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Surface;

namespace {

constexpr const char* kName = "BreathingSurface";
constexpr std::size_t kEach = Surface::kTemperatures;

std::vector<double> temperatures(const Surface& s) {
  std::vector<double> t;
  for (std::size_t i = 0; i < kEach; ++i)
    t.push_back(s.lowest_temperature + static_cast<double>(i) * s.temperature_step);
  return t;
}

std::vector<double> flat(const Surface::Table& table) {
  std::vector<double> values;
  for (std::size_t iu = 0; iu < table.u().size(); ++iu)
    for (std::size_t iv = 0; iv < table.v().size(); ++iv)
      for (std::size_t f = 0; f < kEach; ++f) values.push_back(table.node(f, iu, iv));
  return values;
}

py::array_t<double> nodes(const Surface::Table& table) {
  const auto values = flat(table);
  return py::array_t<double>({table.u().size(), table.v().size(), kEach}, values.data());
}

using Axes = std::array<std::vector<double>, 3>;

std::vector<double> values_from(const char* name, const py::object& values, const Axes& axes) {
  const auto array = py::array_t<double, py::array::c_style | py::array::forcecast>::ensure(values);
  if (!array) throw py::error_already_set();
  bool fits = array.ndim() == 3;
  for (int i = 0; fits && i < 3; ++i)
    fits = array.shape(i) == static_cast<py::ssize_t>(axes[static_cast<std::size_t>(i)].size());
  base::require_that(fits, kName, name, "one value per speed, pressure ratio and temperature");
  return {array.data(), array.data() + array.size()};
}

std::shared_ptr<const Surface> surface_from(const py::tuple& a) {
  const Axes axes{numbers_from(kName, "engine_speed", a[0]),
                  numbers_from(kName, "pressure_ratio", a[1]),
                  numbers_from(kName, "temperature", a[2])};
  return cylinder::breathing_surface(
      axes[0], axes[1], axes[2], values_from("volumetric_efficiency", a[3], axes),
      values_from("trapping", a[4], axes), values_from("pumping", a[5], axes));
}

py::tuple state_of(const Surface& s) {
  const auto& table = s.volumetric_efficiency;
  const auto listed = [](const Surface::Table& t) { return nodes(t).attr("tolist")(); };
  return py::make_tuple(table.u(), table.v(), temperatures(s), listed(table), listed(s.trapping),
                        listed(s.pumping));
}

template <Surface::Table Surface::*member>
py::object at(const Surface& s, const py::array_t<double>& speed, const py::array_t<double>& ratio,
              const py::array_t<double>& temperature) {
  return py::vectorize([&s](double u, double v, double t) {
    return Surface::blend(s.shares_at(t), (s.*member).at(u, v));
  })(speed, ratio, temperature);
}

template <Surface::Table Surface::*member, class Class>
void bind_table(Class& cls, const char* name, const char* words) {
  const std::string told = words;
  cls.def_property_readonly(
      name, [](const Surface& s) { return nodes(s.*member); },
      (told + " at the nodes, over speed, pressure ratio and temperature.").c_str());
  cls.def((std::string(name) + "_at").c_str(), &at<member>, py::arg("engine_speed"),
          py::arg("pressure_ratio"), py::arg("temperature"),
          (told + " at engine speeds [rad/s], plenum over exhaust pressures\nand charge "
                  "temperatures [K]; outside, the value at the edge.")
              .c_str());
}

}  // namespace

void bind_surface(py::module_& m) {
  auto surface = bind_shared<Surface>(
      m, kName,
      "What a crank-resolved cylinder says of its filling over engine speed, plenum over exhaust\n"
      "pressure and charge temperature.",
      {{"engine_speed", "numpy.typing.ArrayLike", "Rising [rad/s]", ""},
       {"pressure_ratio", "numpy.typing.ArrayLike",
        "Plenum over exhaust pressure, rising [dimensionless]", ""},
       {"temperature", "numpy.typing.ArrayLike", "Five, rising in even steps [K]", ""},
       {"volumetric_efficiency", "numpy.typing.ArrayLike",
        "Charge that stays over that of full cylinders [dimensionless]; 0.1 to 1.6", ""},
       {"trapping", "numpy.typing.ArrayLike",
        "Charge that stays over charge drawn [dimensionless]; 0.2 to 1", ""},
       {"pumping", "numpy.typing.ArrayLike",
        "Mean effective pressure lost in the gas exchange over plenum pressure [dimensionless]",
        ""}},
      surface_from, state_of);
  surface
      .def_property_readonly(
          "engine_speed", [](const Surface& s) { return array_of(s.volumetric_efficiency.u()); },
          "[rad/s]")
      .def_property_readonly(
          "pressure_ratio", [](const Surface& s) { return array_of(s.volumetric_efficiency.v()); },
          "Plenum over exhaust pressure [dimensionless].")
      .def_property_readonly(
          "temperature", [](const Surface& s) { return array_of(temperatures(s)); }, "[K]")
      .def("__repr__", [](const Surface& s) {
        const auto& t = s.volumetric_efficiency;
        return "<BreathingSurface: " + std::to_string(t.u().size()) + " speeds, " +
               std::to_string(t.v().size()) + " pressure ratios, " + std::to_string(kEach) +
               " temperatures>";
      });
  bind_table<&Surface::volumetric_efficiency>(surface, "volumetric_efficiency",
                                              "Volumetric efficiency [dimensionless]");
  bind_table<&Surface::trapping>(surface, "trapping",
                                 "Charge that stays over charge drawn [dimensionless]");
  bind_table<&Surface::pumping>(
      surface, "pumping",
      "Mean effective pressure lost in the gas exchange over plenum pressure [dimensionless]");
}

}  // namespace airchain::bindings
