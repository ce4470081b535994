#include <array>

#include "airchain/cycle/cycle.hpp"
#include "airchain/sweep/cycles.hpp"
#include "bindings.hpp"
#include "fields.hpp"
#include "progress.hpp"

namespace airchain::bindings {

using cycle::Controls;
using cycle::CycleResult;
using cycle::Setup;
using cycle::SparkResult;
using cycle::SparkSearch;
using cycle::TraceRow;
using Point = cycle::Point<double>;

namespace {

constexpr std::array kStatus{"converged", "not_converged"};

/// Points and whether they were given as numbers.
struct Given {
  std::vector<Point> points;
  bool single = true;
};

/// Points from numbers and arrays of one length by the names of their fields.
Given points_from(const py::dict& columns) {
  for (const auto& [key, item] : columns) {
    bool known = false;
    base::for_each_field<Point>(
        [&](const auto& f) { known |= std::string(py::str(key)) == f.name; });
    const std::string name = py::str(key);
    base::require_that(known, {.where = Point::kName,
                               .field = name,
                               .rule = "be a field of CyclePoint",
                               .statement = "column \"" + name + "\""});
  }
  std::vector<std::pair<double Point::*, std::vector<double>>> arrays;
  Given given{{Point{}}, true};
  base::for_each_field<Point>([&](const auto& f) {
    if (!columns.contains(f.name)) return;
    const py::object value = columns[f.name];
    if (py::isinstance<py::sequence>(value) || py::isinstance<py::array>(value)) {
      arrays.emplace_back(f.member, numbers_from(Point::kName, f.name, value));
      const std::size_t size = arrays.back().second.size();
      const std::string count = std::to_string(size) + " values";
      base::require_that(given.single || size == given.points.size(),
                         {.where = Point::kName,
                          .field = f.name,
                          .value = count,
                          .rule = "be as many as the other columns",
                          .statement = f.name + (" has " + count)});
      if (given.single) given.points.assign(size, Point{});
      given.single = false;
    } else {
      arrays.push_back({f.member, {number_from(Point::kName, f.name, value)}});
    }
  });
  for (const auto& [member, values] : arrays)
    for (std::size_t i = 0; i < given.points.size(); ++i)
      given.points[i].*member = values.size() == 1 ? values[0] : values[i];
  return given;
}

/// A column of what `of` makes of every row; a number where there is one row given as such.
template <class Row, class Of>
py::object column(const std::vector<Row>& rows, bool single, Of&& of) {
  using Value = decltype(of(rows[0]));
  if (single) return py::cast(of(rows[0]));
  py::array_t<Value> values(static_cast<py::ssize_t>(rows.size()));
  Value* out = values.mutable_data();
  for (const Row& row : rows) *out++ = of(row);
  return values;
}

template <class Row, class Numbers, class Owner>
void add_columns(py::dict& found, const std::vector<Row>& rows, bool single, const Numbers& numbers,
                 const std::string& prefix, Owner&& owner) {
  for (const auto& number : numbers)
    found[py::str(prefix + number.name)] =
        column(rows, single, [&](const Row& row) { return owner(row).*number.member; });
}

template <class Row, class Owner>
void add_results(py::dict& found, const std::vector<Row>& rows, bool single,
                 const std::string& prefix, Owner&& owner) {
  add_columns(found, rows, single, cycle::kResultNumbers, prefix, owner);
  found[py::str(prefix + "status")] = column(rows, single, [&](const Row& row) {
    return static_cast<std::uint8_t>(owner(row).converged ? 0 : 1);
  });
}

constexpr auto itself = [](const auto& row) -> const auto& { return row; };

py::dict run(const Setup& setup, const py::dict& columns, const Controls& controls, int threads,
             const py::object& progress, std::size_t line) {
  const Given given = points_from(columns);
  std::vector<CycleResult> results(given.points.size());
  ProgressRelay relay(progress);
  {
    const py::gil_scoped_release released;
    sweep::run_cycles(setup, given.points, controls, results.data(), threads, std::ref(relay),
                      line);
  }
  relay.rethrow();
  py::dict found;
  add_results(found, results, given.single, "", itself);
  return found;
}

py::dict search(const Setup& setup, const py::dict& columns, const SparkSearch& wanted,
                const Controls& controls, int threads, const py::object& progress) {
  const Given given = points_from(columns);
  std::vector<SparkResult> results(given.points.size());
  ProgressRelay relay(progress);
  {
    const py::gil_scoped_release released;
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

py::tuple trace(const Setup& setup, const Point& point, const Controls& controls) {
  cycle::Traced traced;
  {
    const py::gil_scoped_release released;
    traced = cycle::trace(setup, point, controls);
  }
  py::dict numbers, rows;
  add_results(numbers, std::vector{traced.result}, true, "", itself);
  add_columns(rows, traced.rows, false, cycle::kTraceNumbers, "", itself);
  return py::make_tuple(numbers, rows);
}

template <class Numbers>
py::list column_list(const Numbers& numbers) {
  py::list list;
  for (const auto& n : numbers) list.append(py::make_tuple(n.name, n.unit, n.words));
  return list;
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
      "spark_columns", [] { return column_list(cycle::kSparkNumbers); },
      "Name, SI unit and meaning of every number of a spark search beside its cycles.");
  m.def(
      "spark_status_names",
      [] {
        const auto& names = cycle::kSparkStatusNames;
        return std::vector<std::string>(names.begin(), names.end());
      },
      "Names of how a search ended, from 0.");
  m.def(
      "cycle_status_names", [] { return std::vector<std::string>(kStatus.begin(), kStatus.end()); },
      "Names of the values of a cycle's status, from 0.");
}

}  // namespace airchain::bindings
