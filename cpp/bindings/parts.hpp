#pragma once

#include <pybind11/numpy.h>
#include <pybind11/stl.h>

#include <cmath>
#include <functional>
#include <memory>
#include <utility>

#include "airchain/base/guards.hpp"
#include "texts.hpp"

namespace airchain::bindings {

/// One keyword of a bound value: how it is read, set, compared and written out.
template <class S>
struct Part {
  using Get = std::function<py::object(const S&)>;
  /// Also gets the name of the class, for messages.
  using Set = std::function<void(S&, py::handle, const std::string&)>;

  const char* name;
  std::string type;   ///< as a Python annotation
  std::string words;  ///< with the unit in brackets
  Get get;
  Set set;
  Get state;  ///< what is compared, pickled and written out; `get` unless given
  bool required;

  Part(const char* name_, std::string type_, std::string words_, Get get_, Set set_,
       Get state_ = nullptr, bool required_ = false)
      : name(name_),
        type(std::move(type_)),
        words(std::move(words_)),
        get(std::move(get_)),
        set(std::move(set_)),
        state(std::move(state_)),
        required(required_) {}

  py::object state_of(const S& s) const { return state ? state(s) : get(s); }
};

template <class S>
Part<S> number_part(const char* name, double S::*member, const char* unit, const char* words,
                    const base::Range& range = {}) {
  const bool bounded = std::isfinite(range.low) || std::isfinite(range.high);
  const std::string rule = bounded ? "; " + base::range_text(range, unit) : "";
  return {name, "float", described(words, unit) + rule,
          [member](const S& s) -> py::object { return py::float_(s.*member); },
          [member, name](S& s, py::handle value, const std::string& where) {
            s.*member = number_from(where, name, value);
          }};
}

/// Any type that Python and C++ both know: bound classes, text, flags, std::optional, lists.
template <class S, class V>
Part<S> part(const char* name, V S::*member, const std::string& type, const std::string& words) {
  return {name, type, words, [member](const S& s) -> py::object { return py::cast(s.*member); },
          [member, name, type](S& s, py::handle value, const std::string& where) {
            py::detail::make_caster<V> caster;
            if (!caster.load(value, true)) refuse_type(where, name, type, value);
            s.*member = py::detail::cast_op<V>(std::move(caster));
          }};
}

/// A part that is shared and never changes, or None.
template <class S, class V>
Part<S> shared_part(const char* name, std::shared_ptr<const V> S::*member, const std::string& type,
                    const std::string& words) {
  // Python holds no pointer to const; the bound class changes nothing either.
  return {name, type, words,
          [member](const S& s) -> py::object {
            return py::cast(std::const_pointer_cast<V>(s.*member));
          },
          [member, name, type](S& s, py::handle value, const std::string& where) {
            py::detail::make_caster<std::shared_ptr<V>> caster;
            if (!caster.load(value, true)) refuse_type(where, name, type, value);
            s.*member = py::detail::cast_op<std::shared_ptr<V>>(caster);
          }};
}

inline std::vector<double> numbers_from(const std::string& where, const char* name,
                                        py::handle value) {
  using Array = py::array_t<double, py::array::c_style | py::array::forcecast>;
  py::detail::make_caster<Array> caster;
  const bool text = py::isinstance<py::str>(value) || py::isinstance<py::bytes>(value);
  if (text || value.is_none() || !caster.load(value, true))
    refuse_type(where, name, "a sequence of numbers", value);
  const auto array = py::detail::cast_op<Array>(caster);
  base::require_that(
      array.ndim() == 1,
      {.where = where, .field = name, .rule = "be a sequence of numbers in one row"});
  return {array.data(), array.data() + array.size()};
}

inline py::array_t<double> array_of(const std::vector<double>& values) {
  return py::array_t<double>(static_cast<py::ssize_t>(values.size()), values.data());
}

template <class S>
Part<S> array_part(const char* name, std::vector<double> S::*member, const char* unit,
                   const char* words) {
  return {name,
          "numpy.typing.ArrayLike",
          described(words, unit),
          [member](const S& s) -> py::object { return array_of(s.*member); },
          [member, name](S& s, py::handle value, const std::string& where) {
            s.*member = numbers_from(where, name, value);
          },
          [member](const S& s) -> py::object { return py::cast(s.*member); },
          true};
}

template <class E>
using Choices = std::vector<std::pair<const char*, E>>;

template <class E>
E choice_from(const Choices<E>& choices, const std::string& where, const char* name,
              py::handle value) {
  if (!py::isinstance<py::str>(value)) refuse_type(where, name, "text", value);
  const std::string text = py::str(value);
  std::string known;
  for (const auto& [word, choice] : choices) {
    if (text == word) return choice;
    known += (known.empty() ? "\"" : ", \"") + std::string(word) + "\"";
  }
  base::refuse(
      {.where = where, .field = name, .value = "\"" + text + "\"", .rule = "be one of " + known});
}

template <class E>
const char* choice_text(const Choices<E>& choices, E value) {
  for (const auto& [word, choice] : choices)
    if (choice == value) return word;
  return "";
}

/// One of a few words.
template <class S, class E>
Part<S> choice_part(const char* name, E S::*member, const Choices<E>& choices,
                    const std::string& words) {
  return {name, "str", words,
          [member, choices](const S& s) -> py::object {
            return py::str(choice_text(choices, s.*member));
          },
          [member, name, choices](S& s, py::handle value, const std::string& where) {
            s.*member = choice_from(choices, where, name, value);
          }};
}

}  // namespace airchain::bindings
