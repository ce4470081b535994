#pragma once

#include "parts.hpp"

namespace airchain::bindings {

template <class S>
concept HasFields = requires {
  S::fields();
};

/// The numbers of a station as parts, then its other parts.
template <class S>
std::vector<Part<S>> all_parts(std::vector<Part<S>> others) {
  std::vector<Part<S>> parts;
  if constexpr (HasFields<S>)
    base::for_each_field<S>([&](const auto& f) {
      parts.push_back(number_part<S>(f.name, f.member, f.unit, f.words, f.range));
      parts.back().required = std::isnan(S{}.*(f.member));
    });
  for (Part<S>& other : others) parts.push_back(std::move(other));
  return parts;
}

inline base::Refusal missing(const std::string& where, const std::string& field) {
  return {.where = where,
          .field = field,
          .value = "missing",
          .rule = "be given",
          .statement = field + " is missing"};
}

/// Binds a value class: keyword-only constructor, read-only properties, `replace`, `fields` where
/// it has any, equality, pickle and a repr that can be pasted back, all from one list of parts.
template <class S>
class Value {
 public:
  using Check = std::function<void(const S&)>;

  Value(const char* name, std::vector<Part<S>> parts, Check check)
      : name_(name), parts_(std::move(parts)), check_(std::move(check)) {
    const S plain{};
    for (const Part<S>& p : parts_)
      keywords_.push_back(
          {p.name, p.type, p.words, p.required ? "" : default_text(p.state_of(plain))});
  }

  const std::vector<Part<S>>& parts() const { return parts_; }
  const std::vector<Keyword>& keywords() const { return keywords_; }

  S made(const py::kwargs& given) const {
    for (const auto& [key, item] : given) part_named(py::str(key));
    for (const Part<S>& p : parts_)
      if (p.required && p.type != "float" && !given.contains(p.name))
        base::refuse(missing(name_, p.name));
    return changed(S{}, given);
  }

  S changed(S value, const py::kwargs& changes) const {
    for (const auto& [key, item] : changes) part_named(py::str(key)).set(value, item, name_);
    if constexpr (HasFields<S>) base::require_fields(value);
    if (check_) check_(value);
    return value;
  }

  bool equal(const S& a, const S& b) const {
    for (const Part<S>& p : parts_)
      if (!p.state_of(a).equal(p.state_of(b))) return false;
    return true;
  }

  std::string text(const S& value) const {
    std::string inside;
    for (const Part<S>& p : parts_)
      inside +=
          (inside.empty() ? "" : ", ") + python_name(p.name) + "=" + value_text(p.state_of(value));
    return name_ + "(" + inside + ")";
  }

  py::dict state(const S& value) const {
    py::dict found;
    for (const Part<S>& p : parts_) found[p.name] = p.state_of(value);
    return found;
  }

  /// Also under a name that Python keeps for itself, which only getattr can ask for.
  const Part<S>& part_named(const std::string& name) const {
    for (const Part<S>& p : parts_)
      if (name == p.name || name == python_name(p.name)) return p;
    refuse_keyword(name_, name, keywords_);
  }

 private:
  std::string name_;
  std::vector<Part<S>> parts_;
  Check check_;
  std::vector<Keyword> keywords_;
};

/// `fields()` of a station: (name, unit, low, high, words) of each of its numbers.
template <class S>
void bind_fields(py::object cls) {
  const auto fields = [] {
    py::list found;
    base::for_each_field<S>([&](const auto& f) {
      found.append(py::make_tuple(f.name, f.unit, f.range.low, f.range.high, f.words));
    });
    return found;
  };
  // A plain function in the class behaves as a static method, and help finds its docstring.
  cls.attr("fields") = py::cpp_function(
      fields, py::name("fields"), py::scope(cls),
      "fields() -> list[tuple[str, str, float, float, str]]\n\nName, SI unit, lowest and highest "
      "value, and meaning of every number.");
}

/// A property whose help and annotation are `doc` and `type`.
template <class Get>
void read_only(py::object cls, const std::string& name, const std::string& type,
               const std::string& doc, Get get) {
  py::options options;
  options.disable_function_signatures();
  const std::string text = name + "(self) -> " + type;
  py::cpp_function getter(std::move(get), py::name(name.c_str()), py::is_method(cls), text.c_str());
  const py::object property = py::module_::import("builtins").attr("property");
  py::setattr(cls, name.c_str(), property(getter, py::none(), py::none(), doc));
}

template <class S, class Class>
void bind_properties(Class& cls, const std::shared_ptr<const Value<S>>& value) {
  bool renamed = false;
  for (const Part<S>& p : value->parts()) {
    const std::string name = python_name(p.name);
    renamed = renamed || name != p.name;
    const bool array = p.type == "numpy.typing.ArrayLike";
    read_only(cls, name, array ? "numpy.typing.NDArray[numpy.float64]" : p.type, p.words,
              [get = p.get](const S& self) { return get(self); });
  }
  if (renamed)
    cls.def("__getattr__", [value](const S& self, const std::string& name) {
      for (const Part<S>& p : value->parts())
        if (name == p.name) return p.get(self);
      throw py::attribute_error(name);
    });
}

/// Binds `S` under `name`. `check` may throw InputError about how the parts belong together.
/// Types of the parts are bound before.
template <class S, class Class = py::class_<S>>
Class bind_value(py::module_& m, const char* name, const std::string& summary,
                 std::vector<Part<S>> others = {}, typename Value<S>::Check check = {}) {
  const auto value =
      std::make_shared<const Value<S>>(name, all_parts<S>(std::move(others)), std::move(check));
  Class cls(m, name, class_doc(summary, value->keywords()).c_str());
  {
    py::options options;
    options.disable_function_signatures();
    const std::string made = signature("__init__", value->keywords(), "None", false);
    cls.def(py::init([value](const py::kwargs& given) { return value->made(given); }),
            made.c_str());
    const std::string replaced = signature("replace", value->keywords(), name, true) +
                                 "\n\nThe same with some values changed.";
    cls.def(
        "replace",
        [value](const S& self, const py::kwargs& changes) { return value->changed(self, changes); },
        replaced.c_str());
  }
  bind_properties<S>(cls, value);
  if constexpr (HasFields<S>) bind_fields<S>(cls);
  cls.def(
      "__eq__",
      [value](const S& self, const py::object& other) -> py::object {
        if (!py::isinstance<S>(other)) return py::reinterpret_borrow<py::object>(Py_NotImplemented);
        return py::bool_(value->equal(self, other.cast<const S&>()));
      },
      py::is_operator());
  cls.def("__repr__", [value](const S& self) { return value->text(self); });
  cls.def(py::pickle([value](const S& self) { return value->state(self); },
                     [value](const py::dict& state) { return value->made(py::kwargs(state)); }));
  return cls;
}

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
      if (!named.contains(key)) base::refuse(missing(where, key));
      values.append(named[key]);
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
    for (const Keyword& k : keywords) text += ", " + k.name + ": " + k.type;
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

/// Binds a station: its numbers are those of `fields()`.
template <class Station>
py::class_<Station> bind_station(py::module_& m, const char* name, const std::string& summary,
                                 std::vector<Part<Station>> others = {},
                                 typename Value<Station>::Check check = {}) {
  return bind_value<Station>(m, name, summary, std::move(others), std::move(check));
}

}  // namespace airchain::bindings
