#include "airchain/fuel/supply.hpp"
#include "bindings.hpp"
#include "columns.hpp"
#include "fields.hpp"

namespace airchain::bindings {

namespace {

py::dict supply_points(const fuel::Supply<double>& supply, const ArrayLike& speed,
                       const ArrayLike& flow, const ArrayLike& pressure, const ArrayLike& reference,
                       double ambient) {
  const auto given = columns_from("supply_points", {{"engine_speed", speed},
                                                    {"fuel_flow", flow},
                                                    {"pressure", pressure},
                                                    {"reference", reference}});
  std::vector<fuel::FuelNeed<double>> needs;
  for (std::size_t i = 0; i < given[0].size(); ++i)
    needs.push_back({given[0][i], given[1][i], given[2][i], given[3][i], ambient});
  return arrays_by_column(fuel::points(supply, needs));
}

}  // namespace

void bind_fuel_supply(py::module_& m) {
  using fuel::RegulatorPlace;
  using fuel::RegulatorReference;
  using L = fuel::Line<double>;
  using S = fuel::Supply<double>;
  bind_station<L>(m, "Line",
                  "A fuel line with its fittings.\n\n    dp = (f L/D + K) rho v^2/2\n\n"
                  "Friction factor of Churchill (1977).")
      .def("velocity", &L::velocity, py::arg("volume_flow"),
           "Mean velocity [m/s] at a volume flow [m^3/s].")
      .def("pressure_drop", &L::pressure_drop, py::arg("volume_flow"), py::arg("density"),
           py::arg("viscosity"),
           "Pressure lost [Pa] at a volume flow [m^3/s] of a liquid of a density [kg/m^3] and a "
           "dynamic viscosity [Pa s].");
  const Choices<RegulatorReference> references{{"plenum", RegulatorReference::plenum},
                                               {"ambient", RegulatorReference::ambient}};
  const Choices<RegulatorPlace> places{{"rail", RegulatorPlace::rail},
                                       {"tank", RegulatorPlace::tank}};
  auto injector = part("injector", &S::injector, "Injector", "One of the injectors");
  auto pump = part("pump", &S::pump, "Pump", "The pumps");
  auto supply = part("supply_line", &S::supply_line, "Line", "From pump to rail");
  auto back = part("return_line", &S::return_line, "Line", "From regulator to tank");
  for (auto* one : {&injector, &pump, &supply, &back}) one->required = true;
  bind_station<S>(m, "Supply",
                  "Tank to cylinder: pumps, lines, regulator and injectors, all of the same fuel.",
                  {injector, pump, supply, back,
                   choice_part("reference", &S::reference, references,
                               "What the regulator feels: plenum or ambient"),
                   choice_part("place", &S::place, places,
                               "Where the regulator spills: behind the rail, or at the tank")},
                  [](const S& one) { fuel::validate(one); });
  m.def("supply_points", &supply_points, py::arg("supply"), py::arg("engine_speed"),
        py::arg("fuel_flow"), py::arg("pressure"), py::arg("reference"),
        py::arg("ambient_pressure"),
        "The supply at engine speeds [rad/s] and fuel flows [kg/s], spraying into pressures [Pa], "
        "its regulator\nfeeling reference pressures [Pa]; a column by name.");
  m.def("supply_columns", &column_texts<fuel::SupplyPoint<double>>,
        "Name, SI unit and meaning of the columns of `supply_points`.");
  m.def("generic_viscosity", &fuel::generic_viscosity, py::arg("fuel"),
        "Dynamic viscosity [Pa s] of a generic fuel at 25 degC.");
}

}  // namespace airchain::bindings
