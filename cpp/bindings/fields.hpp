#pragma once

#include <cmath>

#include "choices.hpp"
#include "shared.hpp"
#include "value.hpp"

namespace airchain::bindings {

template <class S>
concept HasFields = requires {
  S::fields();
};

/// Binds a value class `S` under `name`: the numbers of its `fields()` where it has any, then
/// `others`. `check` may throw InputError about how the parts belong together. Types of the parts
/// are bound before.
template <class S>
py::class_<S> bind_value(py::module_& m, const char* name, const std::string& summary,
                         std::vector<Part> others = {},
                         std::function<void(const S&)> check = nullptr) {
  std::vector<Part> parts;
  std::vector<FieldRow> rows;
  if constexpr (HasFields<S>)
    base::for_each_field<S>([&, plain = S{}](const auto& f) {
      parts.push_back(number_part(f.name, f.member, f.unit, f.words, f.range));
      parts.back().required = std::isnan(plain.*(f.member));
      rows.push_back({f.name, f.unit, f.range.low, f.range.high, f.words});
    });
  for (Part& other : others) parts.push_back(std::move(other));
  const auto checked = [check](const void* value) {
    const S& s = *static_cast<const S*>(value);
    if constexpr (HasFields<S>) base::require_fields(s);
    if (check) check(s);
  };
  const auto value = std::make_shared<const Value>(name, kind_of<S>(), std::move(parts), checked);
  py::class_<S> cls(m, name, class_doc(summary, value->keywords()).c_str());
  add_methods(cls, value);
  if (HasFields<S>) add_fields(cls, rows);
  return cls;
}

/// Binds a station: its numbers are those of `fields()`.
template <class S>
py::class_<S> bind_station(py::module_& m, const char* name, const std::string& summary,
                           std::vector<Part> others = {},
                           std::function<void(const S&)> check = nullptr) {
  return bind_value<S>(m, name, summary, std::move(others), std::move(check));
}

}  // namespace airchain::bindings
