#include "airchain/cooler/ice_tank.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cooler::IceTank;
using cooler::TankState;

void bind_cooler_tank(py::module_& m) {
  bind_value<TankState>(
      m, "TankState", "What a tank holds at one instant.",
      {number_part("water_mass", &TankState::water_mass, "kg", "liquid water"),
       number_part("ice_mass", &TankState::ice_mass, "kg", "ice"),
       number_part("water_temperature", &TankState::water_temperature, "K", "of the water")});
  bind_station<IceTank>(m, "IceTank",
                        "Well-mixed tank of water with ice that feeds an air-to-water cooler.\n\n"
                        "    m c dT/dt = heat - UA_ice (T - T_ice) - (melt water warmed)\n"
                        "    dm_ice/dt = -UA_ice (T - T_ice)/h_if\n\n"
                        "Left out: heat through the tank's walls, pump work, stratification.")
      .def("start", &IceTank::start, "State before the run.")
      .def("after", &IceTank::after, py::arg("state"), py::arg("heat"), py::arg("duration"),
           "State after a duration [s] while the cooler puts in heat [W].")
      .def(
          "energy", [](const IceTank&, const TankState& state) { return IceTank::energy(state); },
          py::arg("state"), "Energy [J] of a state against liquid water at 0 degC.");
}

}  // namespace airchain::bindings
