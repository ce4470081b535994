#include <array>

#include "airchain/sweep/cycles.hpp"
#include "bindings.hpp"
#include "cycle_columns.hpp"
#include "progress.hpp"

#include <pybind11/functional.h>
#include <pybind11/stl.h>

namespace airchain::bindings {

using cycle::Controls;
using cycle::CycleResult;
using cycle::Setup;

namespace {

constexpr std::array kStatus{"converged", "not_converged", "not_possible"};

py::dict run(const Setup& setup, const py::dict& columns, const Controls& controls, int threads,
             const py::object& progress, std::size_t line) {
  const Given given = points_from(columns);
  std::vector<CycleResult> results(given.points.size());
  ProgressRelay relay(progress);
  {
    const WithoutGil released;
    sweep::run_cycles(setup, given.points, controls, results.data(), threads, std::ref(relay),
                      line);
  }
  relay.rethrow();
  py::dict found;
  add_results(found, results, given.single, "", itself);
  return found;
}

py::tuple trace(const Setup& setup, const cycle::Point<double>& point, const Controls& controls) {
  cycle::Traced traced;
  const py::object nobody = py::none();
  ProgressRelay relay(nobody);
  {
    const WithoutGil released;
    traced = cycle::trace(setup, point, controls, [&] { return relay(0); });
  }
  relay.rethrow();
  py::dict numbers, rows;
  add_results(numbers, std::vector{traced.result}, true, "", itself);
  add_columns(rows, traced.rows, false, cycle::kTraceNumbers, "", itself);
  return py::make_tuple(numbers, rows);
}

}  // namespace

void bind_cycle_runs(py::module_& m) {
  m.def(
      "run_cycles", &run, py::arg("setup"), py::arg("points"), py::arg("controls") = Controls{},
      py::arg("threads") = 0, py::arg("progress") = py::none(), py::arg("line") = 1,
      "Solve operating points of one cylinder.\n\n"
      "points maps fields of CyclePoint to numbers or one-dimensional arrays of one length; the\n"
      "result maps each of cycle_columns() and status to an array of that length, or to a number\n"
      "where all are numbers, in SI. Bitwise the same alone, in a batch and for any number of\n"
      "threads (0: all). progress is called with the number of points done. With a line above 1\n"
      "points stand in lines of so many, each warm from the one before: faster where neighbours\n"
      "are alike.\n"
      "Raises InputError for a setup or point that is refused, before any work.");
  m.def("trace_cycle", &trace, py::arg("setup"), py::arg("point"), py::arg("controls") = Controls{},
        "Solve one CyclePoint and watch its last cycle: the numbers of `run_cycles`, and a mapping "
        "of\nevery one of trace_columns() to an array over its steps.");
  m.def(
      "cycle_columns", [] { return column_list(cycle::kResultNumbers); },
      "Name, SI unit and meaning of every number of a cycle's result.");
  m.def(
      "trace_columns", [] { return column_list(cycle::kTraceNumbers); },
      "Name, SI unit and meaning of every array of a trace.");
  m.def(
      "cycle_status_names", [] { return std::vector<std::string>(kStatus.begin(), kStatus.end()); },
      "Names of the values of a cycle's status, from 0.");
}

}  // namespace airchain::bindings
