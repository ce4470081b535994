#include "airchain/ambient/ambient.hpp"
#include "airchain/ambient/power_correction.hpp"

#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using ambient::AirReport;
using Air = ambient::Ambient<double>;

namespace {

ambient::PowerStandard standard_from(const std::string& name) {
  Choices<ambient::PowerStandard> known;
  for (const auto& one : ambient::power_standards()) known.emplace_back(one.name, one.standard);
  return choice_from(known, "power_correction", "standard", py::str(name));
}

void bind_power_correction(py::module_& m) {
  m.def(
      "power_standards",
      [] {
        py::dict found;
        for (const auto& one : ambient::power_standards())
          found[one.name] = py::make_tuple(one.words, one.dry_pressure, one.temperature);
        return found;
      },
      "Words, dry reference pressure [Pa] and reference temperature [K] of every power standard.");
  m.def("power_correction",
        // By value: what is passed through py::vectorize may not be a reference to const.
        py::vectorize([](std::string standard, double dry_pressure, double temperature) {
          return ambient::power_correction(standard_from(standard), dry_pressure, temperature);
        }),
        py::arg("standard"), py::arg("dry_pressure"), py::arg("temperature"),
        "Corrected over observed power [dimensionless] at dry-air pressures [Pa] and air "
        "temperatures [K]; given outside the standard too, see `outside_power_standard`.");
  m.def(
      "outside_power_standard",
      [](const std::string& standard, double dry_pressure, double temperature) {
        return ambient::outside(standard_from(standard), dry_pressure, temperature);
      },
      py::arg("standard"), py::arg("dry_pressure"), py::arg("temperature"),
      "What of a dry-air pressure [Pa] and air temperature [K] lies outside a power standard, in "
      "words; empty when nothing does.");
  m.def(
      "power_standard_objection",
      [](const std::string& standard, const std::string& induction) {
        const Choices<ambient::Induction> known{{"aspirated", ambient::Induction::aspirated},
                                                {"mechanical", ambient::Induction::mechanical},
                                                {"held_boost", ambient::Induction::held_boost}};
        return ambient::objection(
            standard_from(standard),
            choice_from(known, "power_correction", "induction", py::str(induction)));
      },
      py::arg("standard"), py::arg("induction"),
      "Why a power standard does not hold for an induction (aspirated, mechanical or held_boost), "
      "in words; empty when it does.");
}

}  // namespace

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

  m.def("saturation_pressure", py::vectorize(gas::saturation_pressure<double>),
        py::arg("temperature"),
        "Saturation pressure of water [Pa] at temperatures [K], over ice below 0 degC.");
  m.def("humidity_ratio", py::vectorize(gas::humidity_ratio<double>), py::arg("vapour_pressure"),
        py::arg("pressure"),
        "Water vapour per dry air by mass [dimensionless] at vapour pressures [Pa] and total "
        "pressures [Pa].");
  m.def("dry_air_density", py::vectorize(gas::dry_air_density<double>), py::arg("pressure"),
        py::arg("temperature"), py::arg("humidity_ratio"),
        "Dry air [kg/m^3] in a volume of humid air at pressures [Pa] and temperatures [K].");
  bind_power_correction(m);

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
