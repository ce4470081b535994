#pragma once

#include <string_view>
#include <utility>
#include <vector>

#include "airchain/base/field.hpp"
#include "airchain/base/input_error.hpp"

namespace airchain::base {

/// How `value` is refused unless it lies in `range`; NaN never does.
Refusal out_of_range(std::string_view where, std::string_view field, double value,
                     std::string_view unit, const Range& range, std::string_view hint = {});

/// Throws InputError unless `value` lies in `range`; NaN never does.
void require(std::string_view where, std::string_view field, double value, std::string_view unit,
             const Range& range, std::string_view hint = {},
             const std::vector<Index>& indices = {});

/// Throws `refusal` unless `ok`.
void require_that(bool ok, const Refusal& refusal);

/// Throws `where: statement; must be rule` unless `ok`, where no single field is at fault.
void require_that(bool ok, std::string_view where, std::string_view statement,
                  std::string_view rule, std::string_view hint = {});

/// Checks every number a station lists in `fields()`; all that are refused are told in one
/// InputError. A station whose numbers may contradict each other tells it by `contradictions`.
template <class Station>
void require_fields(const Station& station) {
  std::vector<Refusal> refusals;
  for_each_field<Station>([&](const auto& field) {
    const double value = station.*(field.member);
    if (!field.range.holds(value))
      refusals.push_back(out_of_range(Station::kName, field.name, value, field.unit, field.range));
  });
  if constexpr (requires { station.contradictions(); })
    if (refusals.empty()) refusals = station.contradictions();
  if (!refusals.empty()) throw InputError(std::move(refusals));
}

}  // namespace airchain::base
