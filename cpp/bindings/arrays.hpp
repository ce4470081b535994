#pragma once

#include <pybind11/numpy.h>

#include <functional>
#include <string>
#include <utility>
#include <vector>

namespace airchain::bindings {

namespace py = pybind11;

/// Whatever an array can be made of; what it holds is checked by `array_from`.
class ArrayLike : public py::object {
  static bool holds(py::handle) { return true; }
  PYBIND11_OBJECT_DEFAULT(ArrayLike, object, holds)
};

/// A number where only numbers were given, else an array.
class NumberOrArray : public py::object {
  static bool holds(py::handle) { return true; }
  PYBIND11_OBJECT_DEFAULT(NumberOrArray, object, holds)
};

/// Numbers in C order, whatever the strides of the array they came from.
using Array = py::array_t<double, py::array::c_style | py::array::forcecast>;

/// An argument and its name.
using Named = std::pair<const char*, py::handle>;

/// Real numbers of any shape. InputError for text, complex numbers, true or false, masked values
/// and what no array can be made of.
Array array_from(const std::string& where, const std::string& field, py::handle value);

/// The same in one row.
std::vector<double> numbers_from(const std::string& where, const std::string& field,
                                 py::handle value);

/// The same in a table or block of the sizes given, which `rule` tells in words.
std::vector<double> numbers_of_shape(const std::string& where, const std::string& field,
                                     py::handle value, const std::vector<std::size_t>& sizes,
                                     const std::string& rule);

/// Rows of one length.
std::vector<std::vector<double>> columns_from(const std::string& where,
                                              const std::vector<Named>& given);

Array array_of(const std::vector<double>& values);

/// What is computed of one number of each argument.
using Of = std::function<double(const double*)>;

/// `of` at every number of arrays that are broadcast against each other.
NumberOrArray elementwise(const std::string& where, const std::vector<Named>& given, const Of& of);

/// Gives a module, or a class, a function of one to six arrays named `names`; `of` is asked for
/// what it computes with the object it is called on (none for a module).
void def_elementwise(const py::object& scope, const char* name, std::vector<const char*> names,
                     std::function<Of(py::handle)> of, const char* doc);

/// A function of a module; `of` takes one number of each array.
inline void elementwise_function(const py::module_& m, const char* name,
                                 std::vector<const char*> names, const Of& of, const char* doc) {
  def_elementwise(
      m, name, std::move(names), [of](py::handle) { return of; }, doc);
}

/// A method of a class of `S`; `f` takes the object and one number of each array.
template <class S, class F>
void elementwise_method(const py::object& cls, const char* name, std::vector<const char*> names,
                        F f, const char* doc) {
  const auto of = [f](py::handle self) -> Of {
    const S& object = self.cast<const S&>();
    return [&object, f](const double* x) { return double(f(object, x)); };
  };
  def_elementwise(cls, name, std::move(names), of, doc);
}

}  // namespace airchain::bindings

namespace pybind11::detail {

template <>
struct handle_type_name<airchain::bindings::ArrayLike> {
  static constexpr auto name = const_name("numpy.typing.ArrayLike");
};

template <>
struct handle_type_name<airchain::bindings::NumberOrArray> {
  static constexpr auto name = const_name("float | numpy.typing.NDArray[numpy.float64]");
};

}  // namespace pybind11::detail
