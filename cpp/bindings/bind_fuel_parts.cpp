#include "airchain/fuel/injector.hpp"
#include "airchain/fuel/pump.hpp"
#include "airchain/fuel/supply.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

namespace {

using VoltageTable = numerics::Table<1>;

py::object rows_of(const VoltageTable& t) {
  py::list rows;
  for (std::size_t iu = 0; iu < t.u().size(); ++iu) {
    py::list row;
    for (std::size_t iv = 0; iv < t.v().size(); ++iv) row.append(t.node(0, iu, iv));
    rows.append(row);
  }
  return rows;
}

using Maker = std::shared_ptr<const VoltageTable> (*)(std::vector<double>, std::vector<double>,
                                                      const std::vector<double>&);

std::shared_ptr<const VoltageTable> table_from(const char* name, py::handle value,
                                               const std::string& where, Maker make) {
  if (value.is_none()) return nullptr;
  if (!py::isinstance<py::sequence>(value) || py::isinstance<py::str>(value) || py::len(value) != 3)
    refuse_type(where, name, "voltages, pressures and rows of values", value);
  const auto parts = py::reinterpret_borrow<py::sequence>(value);
  const auto u = numbers_from(where, "voltage", parts[0]);
  const auto v = numbers_from(where, "pressure", parts[1]);
  return make(u, v,
              numbers_of_shape(where, name, parts[2], {u.size(), v.size()},
                               "be one row for each voltage, one value for each pressure"));
}

template <class S>
Part table_part(const char* name, std::shared_ptr<const VoltageTable> S::*member,
                const std::string& words, Maker make) {
  return needed(part_by<S>(
      name, "tuple[list[float], list[float], list[list[float]]] | None", words,
      [member](const S& s) -> py::object {
        const auto& table = s.*member;
        if (!table) return py::none();
        return py::make_tuple(py::cast(table->u()), py::cast(table->v()), rows_of(*table));
      },
      [member, name, make](S& s, py::handle value, const std::string& where) {
        s.*member = table_from(name, value, where, make);
      }));
}

}  // namespace

void bind_fuel_parts(py::module_& m) {
  using I = fuel::Injector<double>;
  using P = fuel::Pump<double>;
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
}

}  // namespace airchain::bindings
