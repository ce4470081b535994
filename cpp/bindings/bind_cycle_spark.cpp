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
using cycle::SparkResult;
using cycle::SparkSearch;

namespace {

py::dict search(const Setup& setup, const py::dict& columns, const SparkSearch& wanted,
                const Controls& controls, int threads, const py::object& progress) {
  const Given given = points_from(columns);
  std::vector<SparkResult> results(given.points.size());
  ProgressRelay relay(progress);
  {
    const WithoutGil released;
    sweep::run_spark_searches(setup, given.points, wanted, controls, results.data(), threads,
                              std::ref(relay));
  }
  relay.rethrow();
  py::dict found;
  const auto status = [&](const char* name, cycle::SparkStatus SparkResult::*member) {
    found[name] = column(results, given.single, [member](const SparkResult& r) {
      return static_cast<std::uint8_t>(r.*member);
    });
  };
  status("best_search", &SparkResult::best_status);
  status("limit_search", &SparkResult::limit_status);
  const auto cycles = [&](const char* prefix, CycleResult SparkResult::*member) {
    add_results(found, results, given.single, prefix,
                [member](const SparkResult& r) -> const CycleResult& { return r.*member; });
  };
  cycles("own_", &SparkResult::own);
  cycles("best_", &SparkResult::best);
  cycles("limit_", &SparkResult::limit);
  add_columns(found, results, given.single, cycle::kSparkNumbers, "", itself);
  return found;
}

}  // namespace

void bind_cycle_spark(py::module_& m) {
  m.def(
      "run_spark_searches", &search, py::arg("setup"), py::arg("points"),
      py::arg("search") = SparkSearch{}, py::arg("controls") = Controls{}, py::arg("threads") = 0,
      py::arg("progress") = py::none(),
      "Find best-torque and knock-limited phasing of operating points, given as to run_cycles.\n\n"
      "The result maps each of spark_columns(), best_search and limit_search (numbers of\n"
      "spark_status_names()) and, with own_, best_ or limit_ before it, each column of run_cycles\n"
      "at the point's own phasing, at best torque and at the limit of knock to an array. What was\n"
      "not found is NaN. An estimate, uncalibrated above octane 100, and no permission.\n"
      "Raises InputError for a setup, point or search that is refused, before any work.");
  m.def(
      "spark_columns", [] { return column_list(cycle::kSparkNumbers); },
      "Name, SI unit and meaning of every number of a spark search beside its cycles.");
  m.def(
      "spark_status_names",
      [] {
        const auto& names = cycle::kSparkStatusNames;
        return std::vector<std::string>(names.begin(), names.end());
      },
      "Names of how a search ended, from 0.");
}

}  // namespace airchain::bindings
