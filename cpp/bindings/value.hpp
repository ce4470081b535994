#pragma once

#include "parts.hpp"

namespace airchain::bindings {

/// A value of a bound class, known as memory only.
using Owned = std::unique_ptr<void, void (*)(void*)>;

/// What of a bound class only its own type can do.
struct Kind {
  Owned (*plain)();
  Owned (*copy)(const void*);
  py::object (*handed_over)(Owned);   ///< to Python
  const void* (*inside)(py::handle);  ///< of a Python object; null for one of another class
};

template <class S>
void destroy(void* value) {
  delete static_cast<S*>(value);
}

template <class S>
Kind kind_of() {
  return {[] { return Owned(new S{}, destroy<S>); },
          [](const void* value) { return Owned(new S(*static_cast<const S*>(value)), destroy<S>); },
          [](Owned value) -> py::object {
            return py::cast(static_cast<S*>(value.release()),
                            py::return_value_policy::take_ownership);
          },
          [](py::handle object) -> const void* {
            return py::isinstance<S>(object) ? &object.cast<const S&>() : nullptr;
          }};
}

/// A value class: keyword-only constructor, read-only properties, `replace`, equality, pickle and
/// a repr that can be pasted back, all from one list of parts.
class Value {
 public:
  using Check = std::function<void(const void*)>;

  Value(const char* name, Kind kind, std::vector<Part> parts, Check check);

  const std::string& name() const { return name_; }
  const std::vector<Part>& parts() const { return parts_; }
  const std::vector<Keyword>& keywords() const { return keywords_; }
  const Kind& kind() const { return kind_; }

  Owned made(const py::kwargs& given) const;
  Owned changed(const void* value, const py::kwargs& changes) const;
  bool equal(const void* a, const void* b) const;
  std::string text(const void* value) const;
  py::dict state(const void* value) const;
  /// The value in a Python object; TypeError unless it is of this class.
  const void* inside(py::handle object) const;

 private:
  Owned with(Owned value, const py::kwargs& changes) const;
  /// Also under a name that Python keeps for itself, which only getattr can ask for.
  const Part& part_named(const std::string& name) const;

  std::string name_;
  Kind kind_;
  std::vector<Part> parts_;
  Check check_;
  std::vector<Keyword> keywords_;
};

/// One number of a station as `fields()` tells it.
struct FieldRow {
  const char* name;
  const char* unit;
  double low, high;
  const char* words;
};

/// Gives the class everything that a value has.
void add_methods(const py::object& cls, const std::shared_ptr<const Value>& value);
/// `fields()` of a station: (name, unit, low, high, words) of each of its numbers.
void add_fields(const py::object& cls, const std::vector<FieldRow>& rows);
/// A property whose help and annotation are `doc` and `type`.
void read_only(const py::object& cls, const std::string& name, const std::string& type,
               const std::string& doc, std::function<py::object(const py::object&)> get);
base::Refusal missing(const std::string& where, const std::string& field);

}  // namespace airchain::bindings
