#include <cmath>

#include "airchain/surge/lift_off.hpp"
#include "airchain/sweep/direct.hpp"
#include "bindings.hpp"
#include "columns.hpp"
#include "fields.hpp"
#include "gil.hpp"

namespace airchain::bindings {

namespace {

using Chain = chain::Chain<double>;
using surge::Course;
using surge::LiftOff;
using surge::ReliefValve;

/// A chain that breathes by cycles keeps the filling of its point.
Chain breathing(const Chain& c) { return c.cylinder ? sweep::held_at(c, sweep::solve(c)) : c; }

py::dict told(const Course& course) {
  py::dict found;
  found["status"] = base::kStatusNames[static_cast<std::size_t>(course.status)];
  const bool known = !std::isnan(course.flags);
  found["flags"] = known ? static_cast<std::uint32_t>(course.flags) : 0u;
  found["kind"] = surge::kKindNames[static_cast<std::size_t>(course.kind)];
  std::apply([&](const auto&... n) { ((found[n.name] = course.*(n.member)), ...); },
             Course::numbers());
  found["moments"] = arrays_by_column(course.moments);
  return found;
}

using Search = double (*)(const Chain&, const LiftOff&, const ReliefValve&, double);

double searched(Search search, const Chain& c, const LiftOff& how, const ReliefValve& valve,
                double wanted) {
  const WithoutGil released;
  return search(breathing(c), how, valve, wanted);
}

}  // namespace

void bind_surge(py::module_& m) {
  bind_station<LiftOff>(m, LiftOff::kName,
                        "How a throttle shuts, and what stands between compressor and engine.");
  bind_station<ReliefValve>(
      m, ReliefValve::kName,
      "A valve ahead of the throttle that lets the air out as the throttle shuts.");
  m.def(
      "lift_off",
      [](const Chain& c, const LiftOff& how, const ReliefValve& valve) {
        Course course;
        {
          const WithoutGil released;
          course = surge::lift_off(breathing(c), how, valve);
        }
        return told(course);
      },
      py::arg("chain"), py::arg("how"), py::arg("valve"),
      "The throttle of a chain shuts at its operation, solved in time: status and flags of the "
      "open point,\nkind (none, passing, mild or deep surge), the numbers of `lift_off_numbers`, "
      "and moments, an array by name\nof `lift_off_columns`. Numbers are NaN unless matched.");
  m.def(
      "needed_area",
      [](const Chain& c, const LiftOff& how, const ReliefValve& valve, double wanted) {
        return searched(&surge::needed_area, c, how, valve, wanted);
      },
      py::arg("chain"), py::arg("how"), py::arg("valve"), py::arg("wanted"),
      "Smallest effective area [m^2] of a valve that moves as this one and keeps the compressor "
      "right of the left\nend of its map, at last by the factor wanted (1 to 3); 0: none is "
      "needed, inf: none does, NaN: no answer.");
  m.def(
      "longest_opening",
      [](const Chain& c, const LiftOff& how, const ReliefValve& valve, double wanted) {
        return searched(&surge::longest_opening, c, how, valve, wanted);
      },
      py::arg("chain"), py::arg("how"), py::arg("valve"), py::arg("wanted"),
      "Longest opening time [s], up to 5, at which a valve of this area and delay does the same; "
      "NaN: none does.");
  m.def("lift_off_columns", &column_texts<surge::Moment>,
        "Name, SI unit and meaning of what every moment tells.");
  m.def(
      "lift_off_numbers",
      [] {
        py::list list;
        std::apply(
            [&](const auto&... n) { (list.append(py::make_tuple(n.name, n.unit, n.words)), ...); },
            Course::numbers());
        return list;
      },
      "Name, SI unit and meaning of the numbers that tell a whole course.");
}

}  // namespace airchain::bindings
