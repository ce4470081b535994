#pragma once

#include "value.hpp"

namespace airchain::bindings {

/// Binds an immutable class that is made from a few arguments and shares its data. `made` gets them
/// in the order of `keywords`; `state` gives them back. Arguments may be given by position.
template <class V>
py::class_<V, std::shared_ptr<V>> bind_shared(
    py::module_& m, const char* name, const std::string& summary, std::vector<Keyword> keywords,
    std::function<std::shared_ptr<const V>(const py::tuple&)> made,
    std::function<py::tuple(const V&)> state) {
  py::class_<V, std::shared_ptr<V>> cls(m, name, class_doc(summary, keywords).c_str());
  const auto from = [made](const py::tuple& values) {
    return std::const_pointer_cast<V>(made(values));
  };
  const std::string where = name;
  const auto from_arguments = [from, where, keywords](const py::args& args,
                                                      const py::kwargs& named) {
    if (args.size() > keywords.size())
      throw py::type_error(where + ": takes " + std::to_string(keywords.size()) + " arguments");
    py::list values(args);
    for (std::size_t i = args.size(); i < keywords.size(); ++i) {
      const char* key = keywords[i].name.c_str();
      if (named.contains(key))
        values.append(named[key]);
      else if (keywords[i].value == "None")
        values.append(py::none());
      else
        base::refuse(missing(where, key));
    }
    for (const auto& [key, item] : named) {
      std::size_t i = args.size();
      while (i < keywords.size() && keywords[i].name != std::string(py::str(key))) ++i;
      if (i == keywords.size()) refuse_keyword(where, py::str(key), keywords);
    }
    return from(py::tuple(values));
  };
  {
    py::options options;
    options.disable_function_signatures();
    std::string text = "__init__(self";
    for (const Keyword& k : keywords)
      text += ", " + k.name + ": " + k.type + (k.value.empty() ? "" : " = " + k.value);
    cls.def(py::init(from_arguments), (text + ") -> None").c_str());
  }
  cls.def(
      "__eq__",
      [state](const V& self, const py::object& other) -> py::object {
        if (!py::isinstance<V>(other)) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
        return py::bool_(state(self).equal(state(other.cast<const V&>())));
      },
      py::is_operator());
  cls.def("__repr__", [state, where, keywords](const V& self) {
    const py::tuple values = state(self);
    std::string text;
    for (std::size_t i = 0; i < keywords.size(); ++i)
      text += (i == 0 ? "" : ", ") + keywords[i].name + "=" + value_text(values[i]);
    return where + "(" + text + ")";
  });
  cls.def(py::pickle([state](const V& self) { return state(self); }, from));
  return cls;
}

}  // namespace airchain::bindings
