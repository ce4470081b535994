#include "airchain/chain/chain.hpp"
#include "airchain/chain/engine_state.hpp"
#include "airchain/chain/stations.hpp"
#include "airchain/sweep/direct.hpp"
#include "bindings.hpp"
#include "columns.hpp"
#include "fields.hpp"

namespace airchain::bindings {

namespace {

using Chain = chain::Chain<double>;

void bind_station_states(py::module_& m) {
  using S = chain::StationState;
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
  m.def(
      "station_states",
      [](const Chain& c) {
        return chain::station_states(c.cylinder ? sweep::held_at(c, sweep::solve(c)) : c);
      },
      py::arg("chain"),
      "The stations of a chain at its operation, in the order the air meets them; NaN where the "
      "point has no answer.");
}

void bind_engine_state(py::module_& m) {
  m.def(
      "engine_states",
      [](const Chain& c, const ArrayLike& speed, const ArrayLike& pressure,
         const ArrayLike& temperature) {
        const auto given = columns_from("engine_states", {{"engine_speed", speed},
                                                          {"plenum_pressure", pressure},
                                                          {"plenum_temperature", temperature}});
        std::vector<chain::EngineState> states;
        for (std::size_t i = 0; i < given[0].size(); ++i)
          states.push_back(chain::engine_state(c, given[0][i], given[1][i], given[2][i]));
        return arrays_by_column(states);
      },
      py::arg("chain"), py::arg("engine_speed"), py::arg("plenum_pressure"),
      py::arg("plenum_temperature"),
      "What the engine of a chain takes at engine speeds [rad/s] from plenums of a pressure [Pa] "
      "and a\ntemperature [K], whatever feeds them; a column by name, NaN where status is not 0.");
}

}  // namespace

void bind_chain_states(py::module_& m) {
  bind_station_states(m);
  bind_engine_state(m);
}

}  // namespace airchain::bindings
