#include "airchain/base/guards.hpp"

#include <cmath>
#include <cstdio>

namespace airchain::base {

std::string number_text(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", value);
  return text;
}

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

void require(std::string_view where, std::string_view field, double value, std::string_view unit,
             const Range& range, std::string_view hint) {
  if (range.holds(value)) return;
  const std::string unit_text(unit);
  std::string text = std::string(where) + ": " + std::string(field) + " = " + number_text(value);
  if (unit_text != "1") text += " " + unit_text;
  text += "; must be " + range_text(range, unit_text.c_str());
  if (std::isnan(value)) text += "; it is missing or not a number";
  // The commonest slip: a Celsius figure where kelvin is meant.
  if (unit_text == "K" && range.low > 60.0 && value < range.low && value + 273.15 <= range.high)
    text += "; did you mean " + number_text(value) + " degC?";
  if (!hint.empty()) text += "; " + std::string(hint);
  throw InputError(text);
}

void require_that(bool ok, std::string_view where, std::string_view what, std::string_view rule,
                  std::string_view hint) {
  if (ok) return;
  std::string text = std::string(where) + ": " + std::string(what);
  if (!rule.empty()) text += "; must be " + std::string(rule);
  if (!hint.empty()) text += "; " + std::string(hint);
  throw InputError(text);
}

}  // namespace airchain::base
