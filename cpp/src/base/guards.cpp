#include "airchain/base/guards.hpp"

#include <cmath>
#include <utility>

#include "airchain/base/constants.hpp"

namespace airchain::base {

std::string range_text(const Range& range, const char* unit) {
  const std::string tail = std::string(unit) == "1" ? "" : std::string(" ") + unit;
  const bool has_low = std::isfinite(range.low);
  const bool has_high = std::isfinite(range.high);
  if (has_low && has_high && !range.low_open && !range.high_open)
    return "between " + number_text(range.low) + " and " + number_text(range.high) + tail;
  std::string text;
  if (has_low) text = (range.low_open ? "above " : "at least ") + number_text(range.low);
  if (has_low && has_high) text += " and ";
  if (has_high) text += (range.high_open ? "below " : "at most ") + number_text(range.high);
  return (text.empty() ? "a number" : text) + tail;
}

Refusal out_of_range(std::string_view where, std::string_view field, double value,
                     std::string_view unit, const Range& range, std::string_view hint) {
  const std::string unit_text(unit);
  std::string hints;
  const auto add = [&](const std::string& text) { hints += (hints.empty() ? "" : "; ") + text; };
  if (std::isnan(value)) add("it is missing or not a number");
  // The commonest slip: a Celsius figure where kelvin is meant.
  if (unit == "K" && range.low > 60.0 && value < range.low && value + kZeroCelsius <= range.high)
    add("did you mean " + number_text(value) + " degC?");
  if (!hint.empty()) add(std::string(hint));
  return {.where = std::string(where),
          .field = std::string(field),
          .value = quantity_text(value, unit),
          .rule = "be " + range_text(range, unit_text.c_str()),
          .hint = hints};
}

void require(std::string_view where, std::string_view field, double value, std::string_view unit,
             const Range& range, std::string_view hint, const std::vector<Index>& indices) {
  if (range.holds(value)) return;
  Refusal refusal = out_of_range(where, field, value, unit, range, hint);
  refusal.indices = indices;
  refuse(std::move(refusal));
}

void require_that(bool ok, const Refusal& refusal) {
  if (!ok) refuse(refusal);
}

void require_that(bool ok, std::string_view where, std::string_view statement,
                  std::string_view rule, std::string_view hint) {
  if (ok) return;
  refuse({.where = std::string(where),
          .rule = rule.empty() ? "" : "be " + std::string(rule),
          .hint = std::string(hint),
          .statement = std::string(statement)});
}

}  // namespace airchain::base
