#pragma once

#include <pybind11/stl.h>

#include <cstddef>
#include <functional>
#include <memory>
#include <utility>

#include "airchain/base/guards.hpp"
#include "arrays.hpp"
#include "texts.hpp"

namespace airchain::bindings {

/// One keyword of a bound value: how it is read, set, compared and written out. It knows the value
/// as memory only, so that the code behind it is compiled once and not for every class.
struct Part {
  using Get = std::function<py::object(const void*)>;
  /// Also gets the name of the class, for messages.
  using Set = std::function<void(void*, py::handle, const std::string&)>;

  const char* name;
  std::string type;   ///< as a Python annotation
  std::string words;  ///< with the unit in brackets
  Get get;
  Set set;
  Get state = nullptr;  ///< what is compared, pickled and written out; `get` unless given
  bool required = false;

  py::object state_of(const void* value) const { return state ? state(value) : get(value); }
};

/// Where a member lies in its class [bytes].
template <class S, class V>
std::ptrdiff_t offset_of(V S::*member) {
  const S sample{};
  return reinterpret_cast<const char*>(&(sample.*member)) - reinterpret_cast<const char*>(&sample);
}

template <class V>
V& member_at(void* value, std::ptrdiff_t offset) {
  return *reinterpret_cast<V*>(static_cast<char*>(value) + offset);
}

template <class V>
const V& member_at(const void* value, std::ptrdiff_t offset) {
  return *reinterpret_cast<const V*>(static_cast<const char*>(value) + offset);
}

Part number_part_at(const char* name, std::ptrdiff_t offset, const char* unit, const char* words,
                    const base::Range& range);
Part array_part_at(const char* name, std::ptrdiff_t offset, const char* unit, const char* words);

template <class S>
Part number_part(const char* name, double S::*member, const char* unit, const char* words,
                 const base::Range& range = {}) {
  return number_part_at(name, offset_of(member), unit, words, range);
}

template <class S>
Part array_part(const char* name, std::vector<double> S::*member, const char* unit,
                const char* words) {
  return array_part_at(name, offset_of(member), unit, words);
}

/// A part of a class of `S` with ways of its own to be read and set.
template <class S, class Get, class Set>
Part part_by(const char* name, const std::string& type, const std::string& words, Get get,
             Set set) {
  return {name, type, words,
          [get](const void* s) -> py::object { return get(*static_cast<const S*>(s)); },
          [set](void* s, py::handle value, const std::string& where) {
            set(*static_cast<S*>(s), value, where);
          }};
}

template <class V>
Part part_at(const char* name, std::ptrdiff_t offset, const std::string& type,
             const std::string& words) {
  return {name, type, words,
          [offset](const void* s) -> py::object { return py::cast(member_at<V>(s, offset)); },
          [offset, name, type](void* s, py::handle value, const std::string& where) {
            py::detail::make_caster<V> caster;
            if (!caster.load(value, true)) refuse_type(where, name, type, value);
            member_at<V>(s, offset) = py::detail::cast_op<V>(std::move(caster));
          }};
}

/// Any type that Python and C++ both know: bound classes, text, flags, std::optional, lists.
template <class S, class V>
Part part(const char* name, V S::*member, const std::string& type, const std::string& words) {
  return part_at<V>(name, offset_of(member), type, words);
}

inline Part needed(Part part) {
  part.required = true;
  return part;
}

/// A part that is shared and never changes, or None. Python holds no pointer to const; the bound
/// class changes nothing either.
template <class S, class V>
Part shared_part(const char* name, std::shared_ptr<const V> S::*member, const std::string& type,
                 const std::string& words) {
  return part_by<S>(
      name, type, words,
      [member](const S& s) { return py::cast(std::const_pointer_cast<V>(s.*member)); },
      [member, name, type](S& s, py::handle value, const std::string& where) {
        py::detail::make_caster<std::shared_ptr<V>> caster;
        if (!caster.load(value, true)) refuse_type(where, name, type, value);
        s.*member = py::detail::cast_op<std::shared_ptr<V>>(caster);
      });
}

}  // namespace airchain::bindings
