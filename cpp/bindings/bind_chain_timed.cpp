#include <algorithm>

#include "airchain/chain/chain.hpp"
#include "airchain/sweep/timed.hpp"
#include "arrays.hpp"
#include "bindings.hpp"
#include "progress.hpp"

namespace airchain::bindings {

namespace {

using chain::Instant;

py::dict arrays_of(const std::vector<Instant>& pull) {
  py::dict found;
  const auto add = [&](const char* name, const auto& number_of) {
    Array values(static_cast<py::ssize_t>(pull.size()));
    std::transform(pull.begin(), pull.end(), values.mutable_data(), number_of);
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

}  // namespace

void bind_chain_timed(py::module_& m) {
  m.def(
      "timed_pull",
      [](const chain::Chain<double>& c, const cooler::IceTank* tank, const ArrayLike& engine_speed,
         double acceleration) {
        const auto speeds = numbers_from("timed_pull", "engine_speed", engine_speed);
        std::vector<Instant> pull;
        const py::object nobody = py::none();
        ProgressRelay relay(nobody);
        {
          const WithoutGil released;
          pull = sweep::run_timed(c, tank, speeds, acceleration, 0, std::ref(relay));
        }
        relay.rethrow();
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

}  // namespace airchain::bindings
