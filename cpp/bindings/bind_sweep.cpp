#include <pybind11/functional.h>
#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include "airchain/base/status.hpp"
#include "airchain/sweep/sweep.hpp"
#include "bindings.hpp"
#include "fields.hpp"
#include "progress.hpp"

namespace airchain::bindings {

namespace {

int column_index(const std::string& name) {
  const auto& all = sweep::columns();
  for (std::size_t i = 0; i < all.size(); ++i)
    if (all[i].name == name) return static_cast<int>(i);
  base::refuse({.where = "Sweep",
                .field = "column",
                .value = "\"" + name + "\"",
                .rule = "be one of columns()"});
}

// A plain number is an axis of one value that leaves no dimension behind.
std::vector<sweep::Axis> cast_axes(const py::dict& axes, std::vector<py::ssize_t>& shape) {
  std::vector<sweep::Axis> list;
  list.reserve(axes.size());
  for (const auto& [key, value] : axes) {
    if (!py::isinstance<py::str>(key)) refuse_type("Sweep", "axis", "text", key);
    const auto name = py::cast<std::string>(key);
    if (PyFloat_CheckExact(value.ptr())) {
      list.push_back({name, {PyFloat_AS_DOUBLE(value.ptr())}});
      continue;
    }
    const Array values = array_from("Sweep", name, value);
    const std::string dimensions = std::to_string(values.ndim()) + " dimensions";
    base::require_that(values.ndim() <= 1, {.where = "Sweep",
                                            .field = name,
                                            .value = dimensions,
                                            .rule = "be at most one",
                                            .statement = "axis " + name + " has " + dimensions});
    list.push_back({name, std::vector<double>(values.data(), values.data() + values.size())});
    if (values.ndim() == 1) shape.push_back(values.size());
  }
  return list;
}

py::dict solve_grid(const chain::Chain<double>& chain, const py::dict& axes,
                    const std::optional<std::vector<std::string>>& names, int threads,
                    const py::object& progress) {
  std::vector<py::ssize_t> shape;
  const auto list = cast_axes(axes, shape);
  std::vector<int> wanted;
  std::vector<Array> arrays;
  std::vector<double*> out;
  if (names)
    for (const auto& name : *names) wanted.push_back(column_index(name));
  else
    for (std::size_t i = 0; i < sweep::columns().size(); ++i) wanted.push_back(int(i));
  const bool single = shape.empty();
  std::vector<double> numbers(single ? wanted.size() : 0);
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    if (!single) arrays.emplace_back(shape);
    out.push_back(single ? &numbers[i] : arrays.back().mutable_data());
  }
  ProgressRelay relay(progress);
  {
    const WithoutGil released;
    sweep::run(chain, list, wanted, out.data(), threads, std::ref(relay));
  }
  relay.rethrow();
  py::dict result;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const py::str name(sweep::columns()[std::size_t(wanted[i])].name);
    if (single)
      result[name] = numbers[i];
    else
      result[name] = arrays[i];
  }
  return result;
}

py::list column_list() {
  py::list list;
  for (const auto& c : sweep::columns()) list.append(py::make_tuple(c.name, c.unit, c.words));
  return list;
}

std::vector<std::string> texts_of(const char* const* names, std::size_t count) {
  return {names, names + count};
}

}  // namespace

void bind_sweep(py::module_& m) {
  m.def("solve", &solve_grid, py::arg("chain"), py::arg("axes"), py::arg("columns") = py::none(),
        py::arg("threads") = 0, py::arg("progress") = py::none(),
        "Solve a chain at every point of a grid.\n\n"
        "axes maps engine_speed [rad/s] or station.field [SI] to one-dimensional arrays or single\n"
        "numbers; the result maps each column to an array of the grid's shape, to a number if it\n"
        "has none, in SI. Bitwise the same for any\n"
        "number of threads (0: all). progress is called with the number of points done.\n"
        "Raises InputError for an axis or column that is not there or out of range.");
  m.def("columns", &column_list, "Name, SI unit and meaning of every column of a result.");
  m.def("axis_names", &sweep::axis_names, "Every name that an axis of `solve` may have.");
  m.def("instruction_set", &sweep::instruction_set,
        "Instruction set that `solve` uses here: avx512, avx2 or baseline.");
  m.def(
      "status_names", [] { return texts_of(base::kStatusNames.data(), base::kStatusNames.size()); },
      "Names of the values of the status column, from 0.");
  m.def(
      "flag_names", [] { return texts_of(base::kFlagNames.data(), base::kFlagNames.size()); },
      "Names of the bits of the flags column, from the lowest.");
}

}  // namespace airchain::bindings
