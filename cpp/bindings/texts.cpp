#include "texts.hpp"

#include <cctype>
#include <cmath>

namespace airchain::bindings {

std::string python_name(std::string_view name) {
  const std::string text(name);
  const bool kept = py::module_::import("keyword").attr("iskeyword")(text).cast<bool>();
  return kept ? text + "_" : text;
}

std::string described(std::string_view words, std::string_view unit) {
  std::string text(words);
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text + " [" + (unit == "1" ? std::string("dimensionless") : std::string(unit)) + "]";
}

namespace {

std::string sequence_text(py::handle values) {
  std::string text;
  for (py::handle value : values) text += (text.empty() ? "" : ", ") + value_text(value);
  return text;
}

}  // namespace

std::string value_text(py::handle value) {
  if (py::isinstance<py::float_>(value) && !std::isfinite(value.cast<double>()))
    return "float('" + std::string(py::str(value)) + "')";
  if (py::isinstance<py::list>(value)) return "[" + sequence_text(value) + "]";
  if (py::isinstance<py::tuple>(value))
    return "(" + sequence_text(value) + (py::len(value) == 1 ? ",)" : ")");
  return py::repr(value);
}

std::string default_text(py::handle value) {
  const bool plain = value.is_none() || py::isinstance<py::str>(value) ||
                     py::isinstance<py::bool_>(value) || py::isinstance<py::int_>(value);
  const bool finite = py::isinstance<py::float_>(value) && std::isfinite(value.cast<double>());
  return plain || finite ? value_text(value) : "...";
}

std::string class_doc(const std::string& summary, const std::vector<Keyword>& keywords) {
  std::string text = summary;
  if (!keywords.empty()) text += "\n\nParameters\n----------";
  for (const Keyword& k : keywords) {
    text += "\n" + python_name(k.name) + " : " + k.type;
    if (!k.value.empty() && k.value != "...") text += ", default " + k.value;
    text += "\n    " + k.words + (k.words.ends_with('.') ? "" : ".");
  }
  return text + "\n";
}

std::string signature(const std::string& head, const std::vector<Keyword>& keywords,
                      const std::string& result, bool changes) {
  std::string text = head + "(self";
  if (!keywords.empty()) text += ", *";
  for (const Keyword& k : keywords) {
    text += ", " + python_name(k.name) + ": " + k.type;
    if (changes || !k.value.empty()) text += " = " + (changes ? "..." : k.value);
  }
  return text + ") -> " + result;
}

double number_from(const std::string& where, const char* field, py::handle value) {
  const bool text = py::isinstance<py::str>(value) || py::isinstance<py::bytes>(value);
  const bool flag = py::isinstance<py::bool_>(value);
  py::detail::make_caster<double> caster;
  if (text || flag || !caster.load(value, true)) refuse_type(where, field, "a number", value);
  return py::detail::cast_op<double>(caster);
}

void refuse_type(const std::string& where, const char* field, const std::string& type,
                 py::handle value) {
  const std::string got = py::str(py::type::handle_of(value).attr("__name__"));
  throw py::type_error(where + ": " + field + " is of type " + got + "; must be " + type);
}

void refuse_keyword(const std::string& where, const std::string& name,
                    const std::vector<Keyword>& keywords) {
  std::string known;
  for (const Keyword& k : keywords) known += (known.empty() ? "" : ", ") + python_name(k.name);
  throw py::type_error(where + ": unknown keyword " + name + "; must be one of " + known);
}

}  // namespace airchain::bindings
