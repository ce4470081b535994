#include "airchain/engine/engine.hpp"
#include "airchain/engine/order.hpp"

#include <pybind11/stl.h>

#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using engine::FiringOrder;
using engine::Room;

namespace {

/// The pipe between a room and the outside; None where the room has none.
Part pipe_part() {
  return part_by<Room>(
      "pipe", "Runner | None",
      "From the room (near end) to the outside or into another room (far end); None, and no "
      "opening: the flow to the outside is steady, as behind a long duct, and such that the room's "
      "mean pressure is the point's",
      [](const Room& r) -> py::object {
        if (r.has_pipe()) return py::cast(r.pipe);
        return py::none();
      },
      [](Room& r, py::handle value, const std::string& where) {
        if (value.is_none()) {
          r.pipe = Room::none();
          return;
        }
        if (!py::isinstance<cycle::Runner>(value)) refuse_type(where, "pipe", "Runner", value);
        r.pipe = value.cast<const cycle::Runner&>();
        base::require_that(r.pipe.cells > 0.0, {.where = Room::kName,
                                                .field = "pipe",
                                                .value = "a pipe of 0 cells",
                                                .rule = "have 4 cells or more",
                                                .hint = "or be left out"});
      });
}

std::vector<double> firing_angles(const std::vector<int>& order, const std::vector<double>& throws,
                                  const std::vector<std::vector<int>>& banks, double bank_angle,
                                  bool either_hand) {
  return engine::firing_angles({order, throws, banks, bank_angle, either_hand});
}

}  // namespace

void bind_engine(py::module_& m) {
  bind_station<Room>(m, Room::kName,
                     "A plenum, or the merge of a collector: a volume that pipes of several "
                     "cylinders open into.",
                     {pipe_part(), part("opening", &Room::opening, "Throttle | None",
                                        "A nozzle to the outside in place of a pipe; its jet is "
                                        "lost in the room")},
                     [](const Room& r) { engine::validate(r); });
  m.def("firing_angles", &firing_angles, py::arg("order"),
        py::arg("throws") = std::vector<double>{},
        py::arg("banks") = std::vector<std::vector<int>>{}, py::arg("bank_angle") = 0.5 * base::kPi,
        py::arg("either_hand") = false,
        "Crank angle at which each cylinder fires after cylinder 1 [rad], by its number.\n\n"
        "order names cylinders from 1; throws tell how far the crank turns until each throw stands "
        "where the\nfirst one stood [rad], one for each place of a bank or for each cylinder, none "
        "for cylinders that fire\nevenly; with either_hand their mirror image is tried too. banks "
        "name the cylinders of each bank from\nthe front; bank_angle [rad] stands between two "
        "banks.\n"
        "Raises InputError for cylinders named twice or not at all and for an order that the crank "
        "cannot have.");
  m.def("throws_of", &engine::throws_of, py::arg("crank"), py::arg("in_a_bank"),
        "Angles of the throws [rad] of a crank that goes by a name, crossplane or flat, for so "
        "many cylinders in a bank.\n\nRaises InputError where the name does not fit.");
  m.def(
      "require_each_once",
      [](const std::vector<std::vector<int>>& groups, std::size_t cylinders,
         const std::string& field, const std::string& lost) {
        engine::require_each_once(groups, cylinders, field.c_str(), lost.c_str());
      },
      py::arg("groups"), py::arg("cylinders"), py::arg("field"), py::arg("lost"),
      "Raise InputError unless groups hold each of so many cylinders once.");
}

}  // namespace airchain::bindings
