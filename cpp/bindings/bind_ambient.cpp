#include "airchain/ambient/ambient.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using ambient::AirReport;
using Air = ambient::Ambient<double>;

void bind_ambient(py::module_& m) {
  bind_station<Air>(
      m, "Ambient",
      "The air the engine starts from: station (not sea-level) pressure, temperature, humidity.")
      .def_property_readonly("humidity_ratio", &Air::humidity_ratio,
                             "Water vapour per dry air by mass [dimensionless].");

  bind_value<AirReport>(
      m, "AirReport", "What a weather desk would say of the air.",
      {number_part("density", &AirReport::density, "kg/m^3", "of the humid air"),
       number_part("vapour_pressure", &AirReport::vapour_pressure, "Pa", "of the water"),
       number_part("humidity_ratio", &AirReport::humidity_ratio, "1",
                   "water vapour per dry air by mass"),
       number_part("dew_point", &AirReport::dew_point, "K", "NaN in dry air, which has none"),
       number_part("density_altitude", &AirReport::density_altitude, "m",
                   "altitude at which the standard atmosphere has this density"),
       number_part("speed_of_sound", &AirReport::speed_of_sound, "m/s", "in the humid air")});

  bind_ambient_power_correction(m);
  m.def("air_report", &ambient::report, py::arg("ambient"),
        "Density, dew point, density altitude and speed of sound of the air.");
  m.def("station_pressure", &ambient::station_pressure, py::arg("altimeter_setting"),
        py::arg("altitude"),
        "Station pressure [Pa] from an altimeter setting [Pa] and the station's altitude [m], "
        "-500 to 6000 m; US Standard Atmosphere 1976.");
  m.def("relative_humidity_from_dew_point", &ambient::relative_humidity_from_dew_point,
        py::arg("temperature"), py::arg("dew_point"),
        "Relative humidity [dimensionless] of air at a temperature [K] with a dew point [K] (over "
        "ice below 0 degC).");
  m.def("density_altitude", &ambient::density_altitude, py::arg("density"),
        "Geopotential altitude [m] at which the standard atmosphere has this density [kg/m^3].");
  m.def("standard_pressure", &ambient::standard_pressure, py::arg("altitude"),
        "Pressure [Pa] of the US Standard Atmosphere 1976 at a geopotential altitude [m], -1000 to "
        "11000 m.");
  m.def("standard_temperature", &ambient::standard_temperature, py::arg("altitude"),
        "Temperature [K] of the US Standard Atmosphere 1976 at a geopotential altitude [m].");
  m.def("standard_density", &ambient::standard_density, py::arg("altitude"),
        "Density [kg/m^3] of the US Standard Atmosphere 1976 at a geopotential altitude [m].");
}

}  // namespace airchain::bindings
