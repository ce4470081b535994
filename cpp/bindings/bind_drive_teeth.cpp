#include "airchain/drive/gear_teeth.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using drive::GearStress;
using drive::GearTeeth;

void bind_drive_teeth(py::module_& m) {
  bind_station<GearTeeth>(
      m, "GearTeeth",
      "What the teeth of a gear pair are made of and how well they are cut and mounted.\n\n"
      "    bending s = F Ko Kv Ks KH / (b m J), contact s = Ze sqrt(F Ko Kv Ks KH / (d1 b I))\n\n"
      "[AGMA 2001-D04 as in Shigley, ch. 14]. Left out: helix, profile shift, thin rims, "
      "scuffing,\n"
      "wear.")
      .def_property_readonly("fastest_pitch_line", &GearTeeth::fastest_pitch_line,
                             "Pitch-line speed up to which this quality is rated [m/s].")
      .def("dynamic_factor", &GearTeeth::dynamic_factor, py::arg("pitch_line_speed"),
           "Real over nominal tooth force at a pitch-line speed [m/s].")
      .def("flipped", &GearTeeth::flipped, "The same teeth with the gears changed over.");
  using S = GearStress;
  bind_value<S>(
      m, "GearStress", "Stresses of a mesh, and what its load could grow to.",
      {number_part("dynamic_factor", &S::dynamic_factor, "1", "real over nominal tooth force"),
       number_part("driving_bending", &S::driving_bending, "Pa", "at the driving gear's root"),
       number_part("driven_bending", &S::driven_bending, "Pa", "at the driven gear's root"),
       number_part("contact", &S::contact, "Pa", "at the flanks"),
       number_part("bending_capacity", &S::bending_capacity, "1",
                   "load that the weaker root carries over the load"),
       number_part("contact_capacity", &S::contact_capacity, "1",
                   "load that the flanks carry over the load")});
  m.def("lewis_form_factor", &drive::lewis_form_factor, py::arg("teeth"),
        "Form factor [dimensionless] of a full-depth tooth of 20 degrees loaded at its tip.");
  m.def("gear_stress", &drive::stress, py::arg("pair"), py::arg("teeth"),
        py::arg("pitch_line_speed"), py::arg("tangential_force"),
        "Stresses of a pair at a pitch-line speed [m/s] and tangential force [N].");
}

}  // namespace airchain::bindings
