#include "airchain/compressor/compressor.hpp"
#include "airchain/compressor/meanline_map.hpp"
#include "airchain/compressor/similarity.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using namespace compressor;

namespace {

void bind_map_data(py::module_& m) {
  bind_station<ReferenceState>(
      m, "ReferenceState",
      "The air at which a map's corrected flow and corrected speed are told; by default dry air "
      "at\nsea level and 15 degC.");
  using L = SpeedLine;
  auto speed = number_part("speed", &L::speed, "rad/s", "corrected, of the impeller");
  speed.required = true;
  bind_value<L>(
      m, "SpeedLine",
      "Points measured at one corrected speed, from the surge end to the choke end or back.",
      {speed, array_part("flow", &L::flow, "kg/s", "corrected"),
       array_part("pressure_ratio", &L::pressure_ratio, "1", "total to total"),
       array_part("efficiency", &L::efficiency, "1", "isentropic, total to total")});
  using D = MapData;
  auto lines = part("lines", &D::lines, "list[SpeedLine]", "In rising order of speed");
  lines.required = true;
  const Choices<LeftEnd> left{{"surge", LeftEnd::surge},
                              {"estimated", LeftEnd::estimated},
                              {"last_point", LeftEnd::last_point}};
  const Choices<RightEnd> right{{"choke", RightEnd::choke}, {"last_point", RightEnd::last_point}};
  bind_value<D>(
      m, "MapData", "A compressor map as measured or typed in.",
      {part("name", &D::name, "str", "What the map is called"),
       part("reference", &D::reference, "ReferenceState", "State of the corrected quantities"),
       lines,
       choice_part("left_end", &D::left_end, left,
                   "What the leftmost points are: surge (measured), estimated or last_point"),
       choice_part("right_end", &D::right_end, right,
                   "What the rightmost points are: choke or last_point"),
       number_part("tip_diameter", &D::tip_diameter, "m", "impeller exducer; 0 when not known"),
       number_part("speed_limit", &D::speed_limit, "rad/s",
                   "of the impeller, not corrected; 0 when not known")});
  m.def("scaled", &scaled, py::arg("data"), py::arg("diameter_ratio"), py::arg("flow_scale") = 1.0,
        "The map of a geometrically similar compressor: every length times diameter_ratio, and "
        "besides the flow times flow_scale (both dimensionless).");
  m.def("speed_line_from_points", &speed_line_from_points, py::arg("speed"), py::arg("flow"),
        py::arg("pressure_ratio"), py::arg("efficiency"), py::arg("gamma"),
        "One line from points in any order, each at its own corrected speed [rad/s], brought to "
        "the mean speed by similarity.");
  m.def("ordered_from_surge", &ordered_from_surge, py::arg("line"), py::arg("gamma"),
        "The same line with its points ordered from surge to choke.");
}

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

void bind_map(py::module_& m) {
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

void bind_stage(py::module_& m) {
  bind_station<Impeller>(
      m, "Impeller",
      "Dimensions of a centrifugal impeller with an axial inducer and no inlet swirl.");
  bind_station<Vanes>(m, "Vanes", "Vanes of the diffuser and what follows them.");
  bind_station<Diffuser>(
      m, "Diffuser", "The vaneless space behind the impeller, alone or up to the vanes.",
      {part("vanes", &Diffuser::vanes, "Vanes | None", "Vanes behind it, if any")},
      [](const Diffuser& d) {
        if (d.vanes) base::require_fields(*d.vanes);
      });
  bind_station<Volute>(m, "Volute", "A collecting volute and its exit cone.");
  auto impeller = part("impeller", &Stage::impeller, "Impeller", "The impeller");
  auto diffuser = part("diffuser", &Stage::diffuser, "Diffuser", "What follows it");
  impeller.required = diffuser.required = true;
  bind_value<Stage>(
      m, "Stage", "Impeller, diffuser and, where there is one, volute.",
      {impeller, diffuser, part("volute", &Stage::volute, "Volute | None", "The volute, if any")},
      [](const Stage& stage) { validate(stage); });
  using Unlocked = py::call_guard<py::gil_scoped_release>;
  m.def("predict_map", &predict_map, Unlocked(), py::arg("stage"), py::arg("speeds"),
        py::arg("points_per_line") = 21,
        py::arg_v("reference", ReferenceState{}, "ReferenceState()"),
        "A map predicted from the dimensions at rising speeds [rad/s], in the form of a measured "
        "one. Left ends are estimates of surge and marked estimated.");
  m.def("predicted_speeds", &predicted_speeds, py::arg("design_speed"), py::arg("count") = 9,
        "Speeds [rad/s] evenly from 30 to 110 % of the design speed [rad/s].");
  m.def("estimated_inducer_throat_area", &estimated_inducer_throat_area, py::arg("impeller"),
        "Inducer throat area [m^2] from blade angle and thickness, for an impeller not yet "
        "measured.");
}

void bind_readings(py::module_& m) {
  using Measured = double (*)(const Reading&);
  const auto of_reading = [](Measured measured) {
    return py::vectorize([measured](double p1, double t1, double p2, double t2, double w) {
      return measured({p1, t1, p2, t2, w});
    });
  };
  m.def("measured_efficiency", of_reading(&measured_efficiency), py::arg("inlet_pressure"),
        py::arg("inlet_temperature"), py::arg("outlet_pressure"), py::arg("outlet_temperature"),
        py::arg("humidity_ratio"),
        "Isentropic efficiency [dimensionless] from total pressures [Pa] and temperatures [K] "
        "before and behind a compressor; NaN where the air was not heated.");
  m.def("measured_work", of_reading(&measured_work), py::arg("inlet_pressure"),
        py::arg("inlet_temperature"), py::arg("outlet_pressure"), py::arg("outlet_temperature"),
        py::arg("humidity_ratio"),
        "Rise of stagnation enthalpy [J/kg dry air] from the same readings.");
  m.def("corrected_flow",
        py::vectorize([](ReferenceState reference, double flow, double p, double t, double w) {
          return corrected_flow(reference, flow, p, t, w);
        }),
        py::arg("reference"), py::arg("air_flow"), py::arg("pressure"), py::arg("temperature"),
        py::arg("humidity_ratio"),
        "Corrected flow [kg/s] at a map's reference state from flows of dry air [kg/s], total "
        "pressures [Pa] and temperatures [K].");
  m.def("corrected_speed",
        py::vectorize([](ReferenceState reference, double speed, double t, double w) {
          return corrected_speed(reference, speed, t, w);
        }),
        py::arg("reference"), py::arg("speed"), py::arg("temperature"), py::arg("humidity_ratio"),
        "Corrected speed [rad/s] at a map's reference state from speeds [rad/s] and total "
        "temperatures [K].");
}

}  // namespace

void bind_compressor(py::module_& m) {
  bind_map_data(m);
  bind_map_point(m);
  bind_map(m);
  bind_stage(m);
  bind_readings(m);
  using C = Compressor<double>;
  auto map = shared_part<C>("map", &C::map, "CompressorMap", "What was measured or predicted");
  map.required = true;
  bind_station<C>(
      m, "Compressor",
      "A compressor in the chain: its map and factors that a measurement may ask for.\n\n"
      "    n = N / N_design sqrt((gamma R T)_ref / (gamma R T01))\n"
      "    W = flow_scale phi n (p01 / p_ref) sqrt((R T / gamma)_ref / (R T01 / gamma))\n"
      "    ln(p02 / p01) = head_scale L n^2\n"
      "    h02 - h01 = (head_scale / efficiency_scale) w n^2 gamma R T01\n\n"
      "Left out: Reynolds number, heat from the case.",
      {map}, [](const C& c) {
        base::require_that(
            c.map != nullptr,
            {.where = C::kName, .field = "map", .value = "None", .rule = "be a CompressorMap"});
      });
}

}  // namespace airchain::bindings
