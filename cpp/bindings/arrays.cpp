#include "arrays.hpp"

#include "airchain/base/guards.hpp"

namespace airchain::bindings {

namespace {

constexpr const char* kRule = "be real numbers";

[[noreturn]] void refuse_numbers(const std::string& where, const std::string& field,
                                 const std::string& statement, const std::string& hint = {}) {
  base::refuse({.where = where,
                .field = field,
                .rule = kRule,
                .hint = hint,
                .statement = field + " " + statement});
}

std::string type_text(py::handle value) {
  return "is of type " + std::string(py::str(py::type::handle_of(value).attr("__name__")));
}

void check_kind(const std::string& where, const std::string& field, const py::array& array,
                py::handle value) {
  switch (array.dtype().kind()) {
    case 'i':
    case 'u':
    case 'f':
      return;
    case 'O':  // a row of decimals, fractions or other numbers of Python
      for (py::handle one : array.attr("ravel")())
        if (!PyNumber_Check(one.ptr()) || PyComplex_Check(one.ptr()))
          refuse_numbers(where, field, "holds a value that " + type_text(one));
      return;
    case 'c':
      refuse_numbers(where, field, "holds complex numbers");
    case 'b':
      refuse_numbers(where, field, "holds true or false");
    case 'U':
    case 'S':
      refuse_numbers(where, field, "holds text");
    default:
      refuse_numbers(where, field, type_text(value));
  }
}

// Asked only of what is more than a plain array: numpy.ma is slow to import.
bool masked(py::handle value) {
  if (!py::isinstance<py::array>(value) || type_text(value) == "is of type ndarray") return false;
  return py::module_::import("numpy.ma").attr("is_masked")(value).cast<bool>();
}

std::string count_text(std::size_t count) {
  return std::to_string(count) + (count == 1 ? " value" : " values");
}

}  // namespace

Array array_from(const std::string& where, const std::string& field, py::handle value) {
  if (value.is_none()) refuse_numbers(where, field, type_text(value));
  const auto given = py::array::ensure(value);
  if (!given) refuse_numbers(where, field, type_text(value), "rows must be of one length");
  check_kind(where, field, given, value);
  if (masked(value))
    refuse_numbers(where, field, "has masked values", "fill them, or leave their points out");
  const auto numbers = Array::ensure(given);
  if (!numbers) refuse_numbers(where, field, type_text(value));
  return numbers;
}

std::vector<double> numbers_from(const std::string& where, const std::string& field,
                                 py::handle value) {
  const Array array = array_from(where, field, value);
  base::require_that(
      array.ndim() == 1,
      {.where = where, .field = field, .rule = "be a sequence of numbers in one row"});
  return {array.data(), array.data() + array.size()};
}

std::vector<double> numbers_of_shape(const std::string& where, const std::string& field,
                                     py::handle value, const std::vector<std::size_t>& sizes,
                                     const std::string& rule) {
  const Array array = array_from(where, field, value);
  bool fits = array.ndim() == static_cast<py::ssize_t>(sizes.size());
  for (std::size_t i = 0; fits && i < sizes.size(); ++i)
    fits = array.shape(static_cast<py::ssize_t>(i)) == static_cast<py::ssize_t>(sizes[i]);
  base::require_that(fits, {.where = where, .field = field, .rule = rule});
  return {array.data(), array.data() + array.size()};
}

std::vector<std::vector<double>> columns_from(const std::string& where,
                                              const std::vector<Named>& given) {
  std::vector<std::vector<double>> columns;
  for (const auto& [name, value] : given) {
    columns.push_back(numbers_from(where, name, value));
    const std::size_t wanted = columns.front().size();
    const std::string count = count_text(columns.back().size());
    base::require_that(columns.back().size() == wanted,
                       {.where = where,
                        .field = name,
                        .value = count,
                        .rule = "have one value a point, as " + std::string(given[0].first) +
                                " with " + count_text(wanted),
                        .statement = name + (" has " + count)});
  }
  return columns;
}

Array array_of(const std::vector<double>& values) {
  return Array(static_cast<py::ssize_t>(values.size()), values.data());
}

}  // namespace airchain::bindings
