#include "airchain/chain/chain.hpp"
#include "airchain/cycle/setup.hpp"
#include "bindings.hpp"
#include "texts.hpp"

#include <pybind11/stl.h>

namespace airchain::bindings {

void bind_chain_operation(py::module_& m);

namespace {

using Chain = chain::Chain<double>;

constexpr const char* kCylinder = "cylinder";  // no station: its cycle makes the breathing

// Gives `value`, or for None the default, to the station of that name; false where there is none.
bool set_station(Chain& chain, const std::string& name, py::handle value) {
  bool found = name == kCylinder;
  if (found && value.is_none())
    chain.cylinder = nullptr;
  else if (found && py::isinstance<cycle::Setup>(value))
    chain.cylinder = std::make_shared<const cycle::Setup>(value.cast<const cycle::Setup&>());
  else if (found)
    refuse_type("Chain", kCylinder, cycle::Setup::kName, value);
  chain::for_each_station(chain, chain, [&](const char* station, auto& s, auto&) {
    using Station = std::decay_t<decltype(s)>;
    if (name != station) return;
    found = true;
    py::detail::make_caster<Station> caster;
    if (value.is_none())
      s = Station{};
    else if (caster.load(value, true))
      s = py::detail::cast_op<const Station&>(caster);
    else
      refuse_type("Chain", station, Station::kName, value);
  });
  return found;
}

bool is_set(const Chain& chain, const std::string& name) {  // the operation not before a run
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
  chain::validate(chain, chain::Cycles::are_run);
  return chain;
}

py::dict stations(const Chain& chain) {
  py::dict all;
  chain::for_each_station(chain, chain, [&](const char* name, const auto&, const auto&) {
    all[name] = get_station(chain, name);
  });
  if (chain.cylinder) all[kCylinder] = py::cast(*chain.cylinder);
  return all;
}

std::string text(const Chain& chain) {
  std::string inside;
  for (const auto& [key, value] : stations(chain))
    inside += (inside.empty() ? "" : ", ") + py::cast<std::string>(key) + "=" +
              py::cast<std::string>(py::repr(value));
  return "Chain(" + inside + ")";
}

}  // namespace

void bind_chain(py::module_& m) {
  bind_chain_operation(m);
  py::class_<Chain> cls(
      m, "Chain",
      "The stations in the order the air meets them; compressor=None is the "
      "naturally aspirated engine, and None stands for any other station as it is "
      "by default.\n\nStations are given by keyword and refused with InputError "
      "where they do not fit; see each station's own class.");
  cls.def(py::init([](const py::kwargs& parts) { return changed(Chain{}, parts); }));
  cls.def("replace", &changed, "The same chain with other stations, given by keyword.")
      .def("stations", &stations, "Every station by name; None stands for one that is not set.");
  const Chain sample;
  chain::for_each_station(sample, sample, [&](const char* name, const auto&, const auto&) {
    cls.def_property_readonly(
        name, [station = std::string(name)](const Chain& c) { return get_station(c, station); },
        "Station of that name.");
  });
  cls.def_property_readonly(
      kCylinder,
      [](const Chain& c) -> std::optional<cycle::Setup> {
        return c.cylinder ? std::optional(*c.cylinder) : std::nullopt;
      },
      "CycleSetup whose cycle makes the breathing, or None.");
  cls.def_property_readonly("supercharged", &Chain::supercharged, "Whether it has a compressor.")
      .def("__repr__", &text);
  cls.def("__eq__", [](const Chain& a, const py::object& b) {
    return py::isinstance<Chain>(b) && stations(a).equal(stations(py::cast<Chain>(b)));
  });
  cls.attr("__hash__") = py::none();
  cls.def(py::pickle([](const Chain& c) { return stations(c); },
                     [](const py::dict& parts) { return changed(Chain{}, py::kwargs(parts)); }));
  bind_chain_states(m);
  bind_chain_timed(m);
}

}  // namespace airchain::bindings
