#include "airchain/compressor/compressor.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using namespace compressor;

namespace {

Choices<base::Status> statuses() {
  Choices<base::Status> known;
  for (const char* name : base::kStatusNames)
    known.emplace_back(name, static_cast<base::Status>(known.size()));
  return known;
}

void bind_map_point(py::module_& m) {
  using P = MapPoint;
  bind_value<P>(
      m, "MapPoint",
      "One point of a map at its reference state. Numbers are NaN unless its status is matched.",
      {number_part("speed", &P::speed, "rad/s", "corrected"),
       number_part("flow", &P::flow, "kg/s", "corrected"),
       number_part("pressure_ratio", &P::pressure_ratio, "1", "total to total"),
       number_part("efficiency", &P::efficiency, "1", "isentropic"),
       number_part("work", &P::work, "J/kg", "stagnation enthalpy rise"),
       number_part("c", &P::c, "1", "place along the speed line, 0 at its left end, 1 at choke"),
       choice_part("status", &P::status, statuses(), "Whether the point is on the map, or why not"),
       part("flags", &P::flags, "int", "Bits of flag_names [dimensionless]")});
}

/// Arrays over speeds (rows) and places along the line (columns).
py::dict grid_of(const CompressorMap& map, int speeds, int places) {
  const MapPoints grid = map.grid(speeds, places);
  const std::vector<std::pair<const char*, double MapPoint::*>> columns{
      {"speed", &MapPoint::speed},
      {"flow", &MapPoint::flow},
      {"pressure_ratio", &MapPoint::pressure_ratio},
      {"efficiency", &MapPoint::efficiency},
      {"work", &MapPoint::work},
      {"c", &MapPoint::c}};
  py::dict found;
  for (const auto& [name, member] : columns) {
    std::vector<double> values;
    for (const MapPoint& point : grid.points) values.push_back(point.*member);
    found[name] = py::array_t<double>({grid.speeds, grid.places}, values.data());
  }
  return found;
}

void bind_map_itself(py::module_& m) {
  using M = CompressorMap;
  bind_shared<M>(
      m, "CompressorMap",
      "A measured map: pressure ratio, efficiency and work over corrected speed and the place c\n"
      "along the speed line. Below the lowest line it is extrapolated by similarity and flagged.",
      {{"data", "MapData", "The points", ""}},
      [](const py::tuple& a) {
        py::detail::make_caster<MapData> data;
        if (!data.load(a[0], true)) refuse_type("CompressorMap", "data", "MapData", a[0]);
        return std::make_shared<const M>(M::from(py::detail::cast_op<const MapData&>(data)));
      },
      [](const M& map) { return py::make_tuple(map.data()); })
      .def_property_readonly("data", &M::data, "The points, checked and in order.")
      .def_property_readonly("reference", &M::reference, "State of the corrected quantities.")
      .def_property_readonly("design_speed", &M::design_speed,
                             "Corrected speed of the highest line [rad/s].")
      .def_property_readonly("lowest_speed", &M::lowest_speed,
                             "Corrected speed of the lowest line [rad/s].")
      .def("at", &M::at, py::arg("speed"), py::arg("c"),
           "Point at a corrected speed [rad/s] and a place c from 0 to 1 [dimensionless].")
      .def("at_flow", &M::at_flow, py::arg("speed"), py::arg("flow"),
           "Point at a corrected speed [rad/s] and corrected flow [kg/s].")
      .def("peak_efficiency", &M::peak_efficiency, py::arg("speed"),
           "Point of best efficiency at a corrected speed [rad/s].")
      .def("left_flow", &M::left_flow, py::arg("speed"),
           "Corrected flow [kg/s] at the left end of the line at a corrected speed [rad/s].")
      .def("right_flow", &M::right_flow, py::arg("speed"),
           "Corrected flow [kg/s] at the right end of the line at a corrected speed [rad/s].")
      .def("surge_flow", &M::surge_flow, py::arg("speed"),
           "Corrected flow [kg/s] at surge; NaN where the map does not know.")
      .def("choke_flow", &M::choke_flow, py::arg("speed"),
           "Corrected flow [kg/s] at choke; NaN where the map does not know.")
      .def("grid", &grid_of, py::arg("speeds"), py::arg("places"),
           "Arrays over speeds (rows) and places (columns) for contours: speed [rad/s], flow "
           "[kg/s], pressure_ratio, efficiency, work [J/kg], c.");
}

}  // namespace

void bind_compressor_map(py::module_& m) {
  bind_map_point(m);
  bind_map_itself(m);
}

}  // namespace airchain::bindings
