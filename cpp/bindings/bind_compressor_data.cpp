#include "airchain/compressor/similarity.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using namespace compressor;

void bind_compressor_data(py::module_& m) {
  bind_station<ReferenceState>(
      m, "ReferenceState",
      "The air at which a map's corrected flow and corrected speed are told; by default dry air "
      "at\nsea level and 15 degC.");
  using L = SpeedLine;
  auto line_speed = number_part("speed", &L::speed, "rad/s", "corrected, of the impeller");
  line_speed.required = true;
  bind_value<L>(
      m, "SpeedLine",
      "Points measured at one corrected speed, from the surge end to the choke end or back.",
      {line_speed, array_part("flow", &L::flow, "kg/s", "corrected"),
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
  m.def(
      "speed_line_from_points",
      [](const ArrayLike& speed, const ArrayLike& flow, const ArrayLike& pressure_ratio,
         const ArrayLike& efficiency, double gamma) {
        const auto numbers = [](const char* name, const ArrayLike& given) {
          return numbers_from("speed_line_from_points", name, given);
        };
        return speed_line_from_points(numbers("speed", speed), numbers("flow", flow),
                                      numbers("pressure_ratio", pressure_ratio),
                                      numbers("efficiency", efficiency), gamma);
      },
      py::arg("speed"), py::arg("flow"), py::arg("pressure_ratio"), py::arg("efficiency"),
      py::arg("gamma"),
      "One line from points in any order, each at its own corrected speed [rad/s], brought to "
      "the mean speed by similarity.");
  m.def("ordered_from_surge", &ordered_from_surge, py::arg("line"), py::arg("gamma"),
        "The same line with its points ordered from surge to choke.");
}

}  // namespace airchain::bindings
