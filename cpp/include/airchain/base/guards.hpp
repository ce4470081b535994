#pragma once

#include <string>
#include <string_view>

#include "airchain/base/field.hpp"
#include "airchain/base/input_error.hpp"

namespace airchain::base {

/// Throws InputError unless `value` lies in `range`; NaN never does.
void require(std::string_view where, std::string_view field, double value, std::string_view unit,
             const Range& range, std::string_view hint = {});

/// Throws `where: what; must be rule` unless `ok`.
void require_that(bool ok, std::string_view where, std::string_view what, std::string_view rule,
                  std::string_view hint = {});

/// Checks every number a station lists in `fields()`.
template <class Station>
void require_fields(const Station& station) {
  for_each_field<Station>([&](const auto& field) {
    if (field.range.holds(station.*(field.member))) return;
    require(Station::kName, field.name, station.*(field.member), field.unit, field.range);
  });
}

}  // namespace airchain::base
