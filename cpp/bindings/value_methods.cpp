#include "value.hpp"

namespace airchain::bindings {

namespace {

using py::detail::value_and_holder;
using Shared = std::shared_ptr<const Value>;

/// As py::class_::def adds a method; `self` is an object of the class, checked where it is used.
template <class Function, class... Extra>
void method(const py::object& cls, const char* name, Function&& function, const Extra&... extra) {
  const py::cpp_function added(std::forward<Function>(function), py::name(name), py::is_method(cls),
                               py::sibling(py::getattr(cls, name, py::none())), extra...);
  py::setattr(cls, name, added);
}

void add_makers(const py::object& cls, const Shared& value) {
  const py::detail::is_new_style_constructor constructor;
  const std::string replaced = signature("replace", value->keywords(), value->name(), true) +
                               "\n\nThe same with some values changed.";
  {
    py::options options;
    options.disable_function_signatures();
    method(
        cls, "__init__",
        [value](value_and_holder& self, const py::kwargs& given) {
          self.value_ptr() = value->made(given).release();
        },
        constructor, signature("__init__", value->keywords(), "None", false).c_str());
    method(
        cls, "replace",
        [value](const py::object& self, const py::kwargs& changes) {
          return value->kind().handed_over(value->changed(value->inside(self), changes));
        },
        replaced.c_str());
  }
  method(cls, "__getstate__",
         [value](const py::object& self) { return value->state(value->inside(self)); });
  method(
      cls, "__setstate__",
      [value](value_and_holder& self, const py::dict& state) {
        self.value_ptr() = value->made(py::kwargs(state)).release();
      },
      constructor);
}

void add_properties(const py::object& cls, const Shared& value) {
  bool renamed = false;
  for (const Part& p : value->parts()) {
    const std::string name = python_name(p.name);
    renamed = renamed || name != p.name;
    const bool array = p.type == "numpy.typing.ArrayLike";
    read_only(cls, name, array ? "numpy.typing.NDArray[numpy.float64]" : p.type, p.words,
              [value, get = p.get](const py::object& self) { return get(value->inside(self)); });
  }
  if (!renamed) return;
  method(cls, "__getattr__", [value](const py::object& self, const std::string& name) {
    for (const Part& p : value->parts())
      if (name == p.name) return p.get(value->inside(self));
    throw py::attribute_error(name);
  });
}

}  // namespace

void read_only(const py::object& cls, const std::string& name, const std::string& type,
               const std::string& doc, std::function<py::object(const py::object&)> get) {
  py::options options;
  options.disable_function_signatures();
  const std::string text = name + "(self) -> " + type;
  py::cpp_function getter(std::move(get), py::name(name.c_str()), py::is_method(cls), text.c_str());
  const py::object property = py::module_::import("builtins").attr("property");
  py::setattr(cls, name.c_str(), property(getter, py::none(), py::none(), doc));
}

void add_fields(const py::object& cls, const std::vector<FieldRow>& rows) {
  const auto fields = [rows] {
    py::list found;
    for (const FieldRow& f : rows)
      found.append(py::make_tuple(f.name, f.unit, f.low, f.high, f.words));
    return found;
  };
  // A plain function in the class behaves as a static method, and help finds its docstring.
  cls.attr("fields") = py::cpp_function(
      fields, py::name("fields"), py::scope(cls),
      "fields() -> list[tuple[str, str, float, float, str]]\n\nName, SI unit, lowest and highest "
      "value, and meaning of every number.");
}

void add_methods(const py::object& cls, const Shared& value) {
  add_makers(cls, value);
  add_properties(cls, value);
  method(
      cls, "__eq__",
      [value](const py::object& self, const py::object& other) -> py::object {
        const void* const theirs = value->kind().inside(other);
        if (!theirs) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
        return py::bool_(value->equal(value->inside(self), theirs));
      },
      py::is_operator());
  cls.attr("__hash__") = py::none();
  method(cls, "__repr__",
         [value](const py::object& self) { return value->text(value->inside(self)); });
}

}  // namespace airchain::bindings
