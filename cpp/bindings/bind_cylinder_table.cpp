#include "airchain/cylinder/breathing.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using BreathingTable = numerics::Table<1>;

namespace {

/// Rows over engine speed, columns over pressure ratio.
std::vector<double> table_values(const BreathingTable& table) {
  std::vector<double> values;
  for (std::size_t iu = 0; iu < table.u().size(); ++iu)
    for (std::size_t iv = 0; iv < table.v().size(); ++iv) values.push_back(table.node(0, iu, iv));
  return values;
}

std::shared_ptr<const BreathingTable> table_from(py::handle speeds, py::handle ratios,
                                                 py::handle values) {
  const std::string where = cylinder::Breathing<double>::kName;
  auto u = numbers_from(where, "engine_speed", speeds);
  auto v = numbers_from(where, "pressure_ratio", ratios);
  auto cells = numbers_of_shape(where, "values", values, {u.size(), v.size()},
                                "be one row per engine speed and one column per pressure ratio");
  return cylinder::breathing_table(std::move(u), std::move(v), std::move(cells));
}

py::array_t<double> table_array(const BreathingTable& table) {
  const auto values = table_values(table);
  return py::array_t<double>({table.u().size(), table.v().size()}, values.data());
}

}  // namespace

void bind_cylinder_table(py::module_& m) {
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
      .def_property_readonly("values", &table_array, "Rows over engine speed [dimensionless].");
  elementwise_method<BreathingTable>(
      table, "at", {"engine_speed", "pressure_ratio"},
      [](const BreathingTable& t, const double* x) { return t.at(x[0], x[1])[0]; },
      "Volumetric efficiency [dimensionless] at engine speeds [rad/s] and pressure ratios; "
      "outside the table the value at its edge.");
  m.def(
      "breathing_table",
      [](const ArrayLike& u, const ArrayLike& v, const ArrayLike& values) {
        return std::const_pointer_cast<BreathingTable>(table_from(u, v, values));
      },
      py::arg("engine_speed"), py::arg("pressure_ratio"), py::arg("values"),
      "A table of volumetric efficiency [dimensionless]: one row per engine speed [rad/s], one "
      "column per plenum over exhaust pressure.");
}

}  // namespace airchain::bindings
