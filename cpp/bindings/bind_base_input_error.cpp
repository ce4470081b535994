#include "airchain/base/input_error.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using base::Refusal;

namespace {

/// The refusals that an InputError was made of: its only argument is a text or a tuple of them.
py::tuple refusals_of(const py::object& error) {
  const py::tuple arguments = error.attr("args");
  if (arguments.empty()) return py::tuple();
  if (!py::isinstance<py::str>(arguments[0])) return arguments[0];
  const auto text = arguments[0].cast<std::string>();
  return text.empty() ? py::tuple() : py::make_tuple(Refusal{.statement = text});
}

void set_up(const py::object& self, const py::object& refusals) {
  if (py::isinstance<py::str>(refusals)) {
    self.attr("args") = py::make_tuple(refusals);
    return;
  }
  const bool single = py::isinstance<Refusal>(refusals);
  const py::tuple all = single ? py::make_tuple(refusals) : py::tuple(refusals);
  for (py::handle one : all)
    if (!py::isinstance<Refusal>(one))
      refuse_type("InputError", "refusals", "text or a sequence of Refusal", one);
  self.attr("args") = py::make_tuple(all);
}

std::string text_of(const py::object& error) {
  std::string text;
  for (py::handle one : refusals_of(error))
    text += (text.empty() ? "" : "\n") + one.cast<const Refusal&>().text();
  return text;
}

void shortcut(const py::object& cls, const char* name, const char* type, const char* unit = "") {
  read_only(cls, name, type, std::string("The `") + name + "` of the first refusal" + unit + ".",
            [name](const py::object& error) -> py::object {
              const py::tuple all = refusals_of(error);
              return (all.empty() ? py::cast(Refusal{}) : py::object(all[0])).attr(name);
            });
}

constexpr const char* kDoc =
    "An input was refused: ``Where: field = value; must rule; hint``, a line for each refusal.\n\n"
    "Parameters\n----------\nrefusals : str or sequence of Refusal, default ''\n"
    "    What was refused; a text stands for one refusal that has no parts.\n";

/// No pybind11 class can derive from ValueError: this one is made as Python makes its own.
py::object input_error_class() {
  py::dict names;
  names["__module__"] = "airchain";
  names["__doc__"] = kDoc;
  const py::handle type(reinterpret_cast<PyObject*>(&PyType_Type));
  const py::object cls = type("InputError", py::make_tuple(py::handle(PyExc_ValueError)), names);
  // Not named __init__: pybind11 takes a function of that name for a constructor of its own
  // classes.
  py::setattr(
      cls, "__init__",
      py::cpp_function(set_up, py::name("set_up"), py::is_method(cls), py::arg("refusals") = ""));
  py::setattr(cls, "__str__", py::cpp_function(text_of, py::name("__str__"), py::is_method(cls)));
  read_only(cls, "refusals", "tuple[Refusal, ...]", "Everything that was refused, in parts.",
            refusals_of);
  for (const char* name : {"where", "field", "value", "rule", "hint"}) shortcut(cls, name, "str");
  shortcut(cls, "indices", "dict[str, int]", ", counted from 1 [dimensionless]");
  return cls;
}

PYBIND11_CONSTINIT py::gil_safe_call_once_and_store<py::object> input_error;

void raise_in_python(std::exception_ptr pointer) {
  try {
    if (pointer) std::rethrow_exception(pointer);
  } catch (const base::InputError& error) {
    const py::object& cls = input_error.get_stored();
    py::set_error(cls, cls(py::tuple(py::cast(error.refusals()))));
  }
}

}  // namespace

void bind_base_input_error(py::module_& m) {
  input_error.call_once_and_store_result(input_error_class);
  m.attr("InputError") = input_error.get_stored();
  py::register_exception_translator(raise_in_python);
}

}  // namespace airchain::bindings
