#include "airchain/base/input_error.hpp"

#include <cstdio>
#include <utility>

namespace airchain::base {

namespace {

std::string lines_of(const std::vector<Refusal>& refusals) {
  std::string text;
  for (const Refusal& refusal : refusals) text += (text.empty() ? "" : "\n") + refusal.text();
  return text;
}

std::string place_text(const std::vector<Index>& indices) {
  std::string text;
  for (const Index& index : indices)
    text += (text.empty() ? "" : ", ") + index.name + " " + std::to_string(index.number);
  return text.empty() ? text : text + ": ";
}

}  // namespace

std::string Refusal::text() const {
  std::string text = where.empty() ? "" : where + ": ";
  if (statement.empty())
    text += place_text(indices) + field + (value.empty() ? "" : " = " + value);
  else
    text += statement;
  if (!rule.empty()) text += "; must " + rule;
  if (!hint.empty()) text += "; " + hint;
  return text;
}

InputError::InputError(std::vector<Refusal> refusals)
    : std::invalid_argument(lines_of(refusals)), refusals_(std::move(refusals)) {}

void refuse(Refusal refusal) { throw InputError({std::move(refusal)}); }

std::string number_text(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", value);
  return text;
}

std::string quantity_text(double value, std::string_view unit) {
  return number_text(value) + (unit == "1" ? "" : " " + std::string(unit));
}

}  // namespace airchain::base
