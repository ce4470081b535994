#include <pybind11/functional.h>
#include <pybind11/stl.h>

#include "airchain/sweep/direct.hpp"
#include "arrays.hpp"
#include "bindings.hpp"
#include "progress.hpp"

namespace airchain::bindings {

namespace {

using Chain = chain::Chain<double>;
using Result = chain::Result<double>;

/// Every chain at every speed, chain by chain.
std::vector<Chain> at_speeds(const std::vector<Chain>& chains, const std::vector<double>& speeds) {
  std::vector<Chain> all;
  for (Chain chain : chains) {
    base::require_that(chain.cylinder != nullptr, "Sweep", "a chain without a cylinder",
                       "a chain whose cylinder's cycle is run at every point");
    for (double speed : speeds) {
      chain.operation.engine_speed = speed;
      all.push_back(chain);
    }
  }
  return all;
}

py::dict solve_chains(const std::vector<Chain>& chains, const ArrayLike& engine_speed, int threads,
                      const py::object& progress) {
  const auto speeds = numbers_from("Sweep", "engine_speed", engine_speed);
  const auto all = at_speeds(chains, speeds);
  std::vector<Result> results(all.size());
  ProgressRelay relay(progress);
  {
    const WithoutGil released;
    sweep::run_direct(all, results.data(), threads, std::ref(relay));
  }
  relay.rethrow();
  py::dict found;
  const std::vector<py::ssize_t> shape{py::ssize_t(chains.size()), py::ssize_t(speeds.size())};
  const auto add = [&](const auto& column) {
    Array values(shape);
    for (std::size_t i = 0; i < results.size(); ++i)
      values.mutable_data()[i] = results[i].*(column.member);
    found[column.name] = values;
  };
  std::apply([&](const auto&... column) { (add(column), ...); }, Result::columns());
  return found;
}

}  // namespace

void bind_sweep_direct(py::module_& m) {
  m.def("solve_chains", &solve_chains, py::arg("chains"), py::arg("engine_speed"),
        py::arg("threads") = 0, py::arg("progress") = py::none(),
        "Solve chains that breathe by the cycles of one cylinder, each at every engine speed "
        "[rad/s].\n\n"
        "The result maps each column to an array over chains and speeds, in SI. A point is bitwise "
        "the same\nas alone by `solve`, but many fill the lanes better. progress is called with "
        "the number of points\ndone.\n"
        "Raises InputError for chains without a cylinder or of several.");
}

}  // namespace airchain::bindings
