#include "airchain/fuel/fuel.hpp"

#include "airchain/fuel/supply.hpp"
#include "bindings.hpp"
#include "columns.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using Liquid = fuel::Fuel<double>;
using fuel::InjectionPlace;
using Input = fuel::Injection<double>;
using VoltageTable = numerics::Table<1>;
using Array = py::array_t<double, py::array::c_style | py::array::forcecast>;

namespace {

py::object rows_of(const VoltageTable& t) {
  py::list rows;
  for (std::size_t iu = 0; iu < t.u().size(); ++iu) {
    py::list row;
    for (std::size_t iv = 0; iv < t.v().size(); ++iv) row.append(t.node(0, iu, iv));
    rows.append(row);
  }
  return rows;
}

template <class S>
Part<S> table_part(const char* name, std::shared_ptr<const VoltageTable> S::*member,
                   const std::string& words,
                   std::shared_ptr<const VoltageTable> (*make)(std::vector<double>,
                                                               std::vector<double>,
                                                               const std::vector<double>&)) {
  Part<S> part(
      name, "tuple[list[float], list[float], list[list[float]]] | None", words,
      [member](const S& s) -> py::object {
        const auto& table = s.*member;
        if (!table) return py::none();
        return py::make_tuple(py::cast(table->u()), py::cast(table->v()), rows_of(*table));
      },
      [member, name, make](S& s, py::handle value, const std::string& where) {
        if (value.is_none()) {
          s.*member = nullptr;
          return;
        }
        if (!py::isinstance<py::sequence>(value) || py::isinstance<py::str>(value) ||
            py::len(value) != 3)
          refuse_type(where, name, "voltages, pressures and rows of values", value);
        const auto parts = py::reinterpret_borrow<py::sequence>(value);
        const auto u = numbers_from(where, "voltage", parts[0]);
        const auto v = numbers_from(where, "pressure", parts[1]);
        const auto values = Array::ensure(parts[2]);
        if (!values) throw py::error_already_set();
        base::require_that(values.ndim() == 2 && values.shape(0) == py::ssize_t(u.size()) &&
                               values.shape(1) == py::ssize_t(v.size()),
                           {.where = where,
                            .field = name,
                            .rule = "be one row for each voltage, one value for each pressure"});
        s.*member = make(u, v, {values.data(), values.data() + values.size()});
      });
  part.required = true;
  return part;
}

py::dict supply_points(const fuel::Supply<double>& supply, const Array& speed, const Array& flow,
                       const Array& pressure, const Array& reference, double ambient) {
  const auto count = speed.size();
  base::require_that(flow.size() == count && pressure.size() == count && reference.size() == count,
                     "Supply", "lists of unlike length", "one value a point in each list");
  std::vector<fuel::FuelNeed<double>> needs;
  for (py::ssize_t i = 0; i < count; ++i)
    needs.push_back(
        {speed.data()[i], flow.data()[i], pressure.data()[i], reference.data()[i], ambient});
  return arrays_by_column(fuel::points(supply, needs));
}

void bind_supply(py::module_& m) {
  using fuel::RegulatorPlace;
  using fuel::RegulatorReference;
  using I = fuel::Injector<double>;
  using P = fuel::Pump<double>;
  using L = fuel::Line<double>;
  using S = fuel::Supply<double>;
  const auto valid = [](const auto& one) { fuel::validate(one); };
  bind_station<I>(m, "Injector",
                  "A solenoid injector, held open for a time that is longer by its dead time.\n\n"
                  "    W = W_rated sqrt(dp/dp_rated rho/rho_rated)\n"
                  "    open time = fuel mass/W + dead time(voltage, dp)",
                  {table_part<I>("dead_time", &I::dead_time,
                                 "Voltages [V], pressure differences [Pa], and a row of dead times "
                                 "[s] for each voltage",
                                 &fuel::dead_time_table)},
                  valid);
  bind_station<P>(m, "Pump", "Electric pumps side by side on one supply; their flows add.",
                  {table_part<P>("curves", &P::curves,
                                 "Voltages [V], pressures [Pa], and a row of volume flows of one "
                                 "pump [m^3/s] for each voltage",
                                 &fuel::pump_curves)},
                  valid)
      .attr("same_voltage") = P::kSameVoltage;
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
                  valid);
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

}  // namespace

void bind_fuel(py::module_& m) {
  bind_station<Liquid>(m, "Fuel", "A generic fuel C_1 H_y O_z: what the chain needs of it.")
      .def_property_readonly("stoichiometric_ratio", &Liquid::stoichiometric_ratio,
                             "Dry air per fuel by mass that burns it completely [dimensionless].");
  const Choices<InjectionPlace> places{{"before_compressor", InjectionPlace::before_compressor},
                                       {"plenum", InjectionPlace::plenum},
                                       {"port", InjectionPlace::port}};
  bind_station<Input>(m, "Injection",
                      "How the fuel is put in. What has not evaporated at its place enters the "
                      "cylinder as liquid\nand cools the charge no more.",
                      {choice_part("place", &Input::place, places,
                                   "Where the fuel meets the air: before_compressor, plenum or "
                                   "port")});
  m.def(
      "generic_fuel", [](const std::string& name) { return fuel::generic_fuel(name).fuel; },
      py::arg("name"), "A generic fuel by name.");
  m.def(
      "generic_fuel_words", [](const std::string& name) { return fuel::generic_fuel(name).words; },
      py::arg("name"), "What a generic fuel is and where its figures come from.");
  m.def(
      "generic_fuel_names",
      [] {
        std::vector<std::string> names;
        for (const auto& known : fuel::generic_fuels()) names.push_back(known.name);
        return names;
      },
      "Names that `generic_fuel` knows.");
  bind_supply(m);
}

}  // namespace airchain::bindings
