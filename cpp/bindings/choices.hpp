#pragma once

#include "parts.hpp"

namespace airchain::bindings {

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
Part choice_part(const char* name, E S::*member, const Choices<E>& choices,
                 const std::string& words) {
  return part_by<S>(
      name, "str", words,
      [member, choices](const S& s) { return py::str(choice_text(choices, s.*member)); },
      [member, name, choices](S& s, py::handle value, const std::string& where) {
        s.*member = choice_from(choices, where, name, value);
      });
}

}  // namespace airchain::bindings
