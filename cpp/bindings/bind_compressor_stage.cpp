#include "airchain/compressor/meanline_map.hpp"
#include "bindings.hpp"
#include "fields.hpp"
#include "gil.hpp"

namespace airchain::bindings {

using namespace compressor;

void bind_compressor_stage(py::module_& m) {
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
  m.def(
      "predict_map",
      [](const Stage& stage, const ArrayLike& speeds, int points_per_line,
         const ReferenceState& reference) {
        const auto given = numbers_from("predict_map", "speeds", speeds);
        const WithoutGil released;
        return predict_map(stage, given, points_per_line, reference);
      },
      py::arg("stage"), py::arg("speeds"), py::arg("points_per_line") = 21,
      py::arg_v("reference", ReferenceState{}, "ReferenceState()"),
      "A map predicted from the dimensions at rising speeds [rad/s], in the form of a measured "
      "one. Left ends are estimates of surge and marked estimated.");
  m.def("predicted_speeds", &predicted_speeds, py::arg("design_speed"), py::arg("count") = 9,
        "Speeds [rad/s] evenly from 30 to 110 % of the design speed [rad/s].");
  m.def("estimated_inducer_throat_area", &estimated_inducer_throat_area, py::arg("impeller"),
        "Inducer throat area [m^2] from blade angle and thickness, for an impeller not yet "
        "measured.");
}

}  // namespace airchain::bindings
