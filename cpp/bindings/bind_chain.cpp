#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include "airchain/chain/chain.hpp"
#include "airchain/chain/engine_state.hpp"
#include "airchain/chain/lift_off.hpp"
#include "airchain/chain/stations.hpp"
#include "airchain/chain/timed.hpp"
#include "bindings.hpp"
#include "columns.hpp"
#include "fields.hpp"

namespace airchain::bindings {

namespace {

using Chain = chain::Chain<double>;

// Gives `value` to the station of that name; false when the chain has none.
bool set_station(Chain& chain, const std::string& name, py::handle value) {
  bool found = false;
  chain::for_each_station(chain, chain, [&](const char* station, auto& s, auto&) {
    if (name != station) return;
    found = true;
    if (!value.is_none()) s = py::cast<std::decay_t<decltype(s)>>(value);
  });
  if (name == "compressor" && value.is_none()) chain.compressor = {};
  return found;
}

// A chain may have no compressor, and no operation until it is run.
bool is_set(const Chain& chain, const std::string& name) {
  if (name == "compressor") return chain.supercharged();
  return name != "operation" || chain.operation.engine_speed > 0.0;
}

py::object get_station(const Chain& chain, const std::string& name) {
  py::object value = py::none();
  chain::for_each_station(chain, chain, [&](const char* station, const auto& s, const auto&) {
    if (name == station && is_set(chain, name)) value = py::cast(s);
  });
  return value;
}

Chain changed(Chain chain, const py::kwargs& changes) {
  for (const auto& [key, value] : changes) {
    const auto name = py::cast<std::string>(key);
    if (!set_station(chain, name, value))
      throw py::type_error("Chain has no station \"" + name + "\"");
  }
  chain::validate(chain);
  return chain;
}

py::dict stations(const Chain& chain) {
  py::dict all;
  chain::for_each_station(chain, chain, [&](const char* name, const auto&, const auto&) {
    all[name] = get_station(chain, name);
  });
  return all;
}

std::string text(const Chain& chain) {
  std::string inside;
  for (const auto& [key, value] : stations(chain))
    inside += (inside.empty() ? "" : ", ") + py::cast<std::string>(key) + "=" +
              py::cast<std::string>(py::repr(value));
  return "Chain(" + inside + ")";
}

using chain::Instant;
using chain::StationState;
using Array = py::array_t<double>;

void bind_station_states(py::module_& m) {
  using S = StationState;
  bind_value<S>(
      m, "StationState",
      "The air at one station: pressure and temperature total, contents per kg of dry air.",
      {part("name", &S::name, "str", "Of the station"),
       number_part("pressure", &S::pressure, "Pa", "total, absolute"),
       number_part("temperature", &S::temperature, "K", "total"),
       number_part("density", &S::density, "kg/m^3", "of the gas at total state"),
       number_part("dry_air_flow", &S::dry_air_flow, "kg/s", "dry air"),
       number_part("mass_flow", &S::mass_flow, "kg/s", "air, water and fuel together"),
       number_part("vapour", &S::vapour, "1", "water vapour over dry air"),
       number_part("liquid_water", &S::liquid_water, "1", "liquid water over dry air"),
       number_part("fuel_vapour", &S::fuel_vapour, "1", "evaporated fuel over dry air"),
       number_part("fuel_liquid", &S::fuel_liquid, "1", "liquid fuel over dry air")});
  m.def("station_states", &chain::station_states, py::arg("chain"),
        "The stations of a chain at its operation, in the order the air meets them; NaN where the "
        "point has no answer.");
}

py::dict arrays_of(const std::vector<Instant>& pull) {
  py::dict found;
  const auto add = [&](const char* name, const auto& number_of) {
    Array values(static_cast<py::ssize_t>(pull.size()));
    for (std::size_t i = 0; i < pull.size(); ++i)
      values.mutable_at(static_cast<py::ssize_t>(i)) = number_of(pull[i]);
    found[name] = values;
  };
  add("time", [](const Instant& now) { return now.time; });
  add("ice_mass", [](const Instant& now) { return now.tank.ice_mass; });
  add("water_mass", [](const Instant& now) { return now.tank.water_mass; });
  std::apply(
      [&](const auto&... c) {
        (add(c.name, [&c](const Instant& now) { return now.result.*(c.member); }), ...);
      },
      chain::Result<double>::columns());
  return found;
}

void bind_timed_pull(py::module_& m) {
  m.def(
      "timed_pull",
      [](const chain::Chain<double>& c, const cooler::IceTank* tank,
         const std::vector<double>& engine_speed, double acceleration) {
        std::vector<Instant> pull;
        {
          const py::gil_scoped_release released;
          pull = chain::timed_pull(c, tank, engine_speed, acceleration);
        }
        return arrays_of(pull);
      },
      py::arg("chain"), py::arg("tank").none(true), py::arg("engine_speed"),
      py::arg("acceleration"),
      "Solve a chain over rising engine speeds [rad/s] at a constant acceleration [rad/s^2] while\n"
      "the cooler heats the water of a tank, or of none. The columns of `solve`, and time [s],\n"
      "ice_mass and water_mass [kg].");
  m.def(
      "timed_columns",
      [] {
        py::list list;
        list.append(py::make_tuple("time", "s", "since the first engine speed"));
        list.append(py::make_tuple("ice_mass", "kg", "ice left in the tank"));
        list.append(py::make_tuple("water_mass", "kg", "water in the tank, melted ice with it"));
        return list;
      },
      "Name, SI unit and meaning of the columns that only a timed pull has.");
}

void bind_lift_off(py::module_& m) {
  m.def(
      "lift_off",
      [](const Chain& c, double flow_over_left) {
        const chain::LiftOff found = chain::lift_off(c, flow_over_left);
        py::dict told;
        told["status"] = base::kStatusNames[static_cast<std::size_t>(found.status)];
        told["flags"] = found.flags;
        told["rotor_speed"] = found.rotor_speed;
        told["left_flow"] = found.left_flow;
        told["flow"] = found.flow;
        told["pressure"] = found.pressure;
        told["temperature"] = found.temperature;
        told["effective_area"] = found.effective_area;
        return told;
      },
      py::arg("chain"), py::arg("flow_over_left"),
      "The throttle shut at a chain's operation, and the bypass that keeps the compressor at a\n"
      "multiple of the flow at the left end of its speed line: rotor_speed [rad/s], left_flow and\n"
      "flow [kg/s], pressure [Pa] and temperature [K] ahead of it, effective_area [m^2], status,\n"
      "flags.");
}

void bind_engine_state(py::module_& m) {
  m.def(
      "engine_states",
      [](const Chain& c, const Array& speed, const Array& pressure, const Array& temperature) {
        const auto count = speed.size();
        base::require_that(pressure.size() == count && temperature.size() == count, "Engine",
                           "lists of unlike length", "one value a point in each list");
        std::vector<chain::EngineState> states;
        for (py::ssize_t i = 0; i < count; ++i)
          states.push_back(
              chain::engine_state(c, speed.data()[i], pressure.data()[i], temperature.data()[i]));
        return arrays_by_column(states);
      },
      py::arg("chain"), py::arg("engine_speed"), py::arg("plenum_pressure"),
      py::arg("plenum_temperature"),
      "What the engine of a chain takes at engine speeds [rad/s] from plenums of a pressure [Pa] "
      "and a\ntemperature [K], whatever feeds them; a column by name.");
}

}  // namespace

void bind_chain(py::module_& m) {
  bind_station<chain::Operation<double>>(m, "Operation", "How the engine is run at a point.");
  bind_station<chain::Bypass<double>>(m, "Bypass",
                                      "Valve at the plenum that vents charge above a boost.");
  py::class_<Chain> cls(m, "Chain",
                        "The stations in the order the air meets them; compressor=None is the "
                        "naturally aspirated engine.\n\nStations are given by keyword and refused "
                        "with InputError where they do not fit; see each station's own class.");
  cls.def(py::init([](const py::kwargs& parts) { return changed(Chain{}, parts); }));
  cls.def(
      "replace", [](const Chain& c, const py::kwargs& changes) { return changed(c, changes); },
      "The same chain with other stations, given by keyword.");
  const Chain sample;
  chain::for_each_station(sample, sample, [&](const char* name, const auto&, const auto&) {
    cls.def_property_readonly(
        name, [station = std::string(name)](const Chain& c) { return get_station(c, station); },
        "Station of that name.");
  });
  cls.def_property_readonly("supercharged", &Chain::supercharged, "Whether it has a compressor.");
  cls.def("__repr__", &text);
  cls.def("__eq__", [](const Chain& a, const py::object& b) {
    return py::isinstance<Chain>(b) && stations(a).equal(stations(py::cast<Chain>(b)));
  });
  cls.attr("__hash__") = py::none();
  cls.def(py::pickle([](const Chain& c) { return stations(c); },
                     [](const py::dict& parts) {
                       return changed(Chain{},
                                      py::kwargs(py::reinterpret_borrow<py::kwargs>(parts)));
                     }));
  bind_station_states(m);
  bind_timed_pull(m);
  bind_lift_off(m);
  bind_engine_state(m);
}

}  // namespace airchain::bindings
