#include <pybind11/functional.h>
#include <pybind11/stl.h>

#include "airchain/sweep/engines.hpp"
#include "bindings.hpp"
#include "cycle_columns.hpp"
#include "progress.hpp"

namespace airchain::bindings {

using engine::Engine;
using engine::EnginePoint;
using engine::EngineResult;
using engine::EngineTrace;
using engine::Room;
namespace {

Array table_of(std::size_t rows, std::size_t columns,
               const std::function<double(std::size_t, std::size_t)>& of) {
  Array values({static_cast<py::ssize_t>(rows), static_cast<py::ssize_t>(columns)});
  double* out = values.mutable_data();
  for (std::size_t i = 0; i < rows; ++i)
    for (std::size_t k = 0; k < columns; ++k) *out++ = of(i, k);
  return values;
}

py::dict columns_of(const std::vector<EngineResult>& results, std::size_t cylinders,
                    std::size_t rooms) {
  const std::size_t n = results.size();
  py::dict found;
  for (const auto& number : cycle::kResultNumbers)
    found[number.name] = table_of(n, cylinders, [&](std::size_t i, std::size_t c) {
      return results[i].cylinders[c].*number.member;
    });
  found["status"] = table_of(n, cylinders, [&](std::size_t i, std::size_t c) {
    const auto& r = results[i].cylinders[c];
    return r.refused ? 2.0 : r.converged ? 0.0 : 1.0;
  });
  const auto of_rooms = [&](const char* name, double engine::RoomState::*member) {
    found[name] = table_of(
        n, rooms, [&](std::size_t i, std::size_t r) { return results[i].rooms[r].*member; });
  };
  of_rooms("room_pressure", &engine::RoomState::pressure);
  of_rooms("room_temperature", &engine::RoomState::temperature);
  of_rooms("room_burned", &engine::RoomState::burned);
  const auto of_all = [&](const char* name, double EngineResult::*member) {
    found[name] = column(results, false, [&](const EngineResult& r) { return r.*member; });
  };
  of_all("rounds", &EngineResult::rounds);
  of_all("whole_change", &EngineResult::change);
  of_all("whole_mass_error", &EngineResult::mass_error);
  of_all("whole_energy_error", &EngineResult::energy_error);
  return found;
}

py::object run(const std::vector<cycle::Setup>& kinds, const std::vector<int>& kind,
               const std::vector<double>& firing, const std::vector<int>& collector,
               const std::optional<Room>& plenum, const std::vector<Room>& collectors,
               const std::vector<int>& into, const py::dict& points,
               const std::vector<double>& later, const cycle::Controls& controls, int threads,
               const py::object& progress, bool traced, double mark) {
  Engine e{kinds, kind, firing, collector, {}, collectors, into, mark};
  if (plenum) e.plenum = {*plenum};
  std::vector<EnginePoint> all;
  const auto given = points_from(points).points;
  // One row for all points, or one for each.
  const std::size_t n = kind.size();
  const bool each = given.size() > 1 && later.size() == n * given.size();
  for (std::size_t i = 0; i < given.size(); ++i) {
    const auto from = later.begin() + static_cast<std::ptrdiff_t>(each ? i * n : 0);
    all.push_back({given[i], {from, each ? from + static_cast<std::ptrdiff_t>(n) : later.end()}});
  }
  std::vector<EngineResult> results(all.size());
  std::vector<EngineTrace> traces(traced ? all.size() : 0);
  ProgressRelay relay(progress);
  {
    const WithoutGil released;
    sweep::run_engines(e, all, controls, results.data(), threads, std::ref(relay),
                       traced ? traces.data() : nullptr);
  }
  relay.rethrow();
  const std::size_t rooms = 1 + static_cast<std::size_t>(e.collector_count());
  py::dict found = columns_of(results, e.cylinders(), rooms);
  if (!traced) return found;
  py::list rows;
  for (const EngineTrace& t : traces)
    rows.append(table_of(t.values.size() / t.columns, t.columns, [&](std::size_t i, std::size_t k) {
      return t.values[i * t.columns + k];
    }));
  found["traces"] = rows;
  return found;
}

}  // namespace

void bind_sweep_engines(py::module_& m) {
  m.def(
      "run_engines", &run, py::arg("kinds"), py::arg("kind"), py::arg("firing"),
      py::arg("collector"), py::arg("plenum"), py::arg("collectors"), py::arg("into"),
      py::arg("points"), py::arg("later") = std::vector<double>{},
      py::arg("controls") = cycle::Controls{}, py::arg("threads") = 0,
      py::arg("progress") = py::none(), py::arg("traced") = false, py::arg("mark") = 0.0,
      "Solve operating points of a whole engine, every cylinder in its firing order.\n\n"
      "kinds are the CycleSetups that differ; kind, firing [rad] and collector tell each "
      "cylinder's. plenum\nis an EngineRoom, or None for gas that stands at the point's state "
      "whatever flows. collectors are\nEngineRooms, one that stands for all or each, none for "
      "gas that stands; into tells of each the one\nbefore it in the list that its pipe ends in, "
      "-1 for the outside, in no list for all.\npoints as for `run_cycles`; later [rad] is by how "
      "much each cylinder burns later, in one row for all points or one after another for each. "
      "The "
      "result maps\ncycle_columns() and status to arrays over "
      "points and cylinders, room_pressure [Pa],\nroom_temperature [K] and room_burned to arrays "
      "over points and rooms (plenum, collectors),\nrounds, whole_change, whole_mass_error "
      "and whole_energy_error to arrays over points; with traced,\ntraces to one table a point: "
      "crank angle [rad], pressures [Pa] of plenum and collectors, then of\nall cylinders inside, "
      "in runner and primary beside the valves. Steps end at marks, mark [rad] apart, 0 for none.\n"
      "Raises InputError for what is refused, before any work.");
}

}  // namespace airchain::bindings
