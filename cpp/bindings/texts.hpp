#pragma once

#include <pybind11/pybind11.h>

#include <string>
#include <string_view>
#include <vector>

namespace airchain::bindings {

namespace py = pybind11;

/// One keyword of a constructor as help and stubs tell it.
struct Keyword {
  std::string name;
  std::string type;   ///< as a Python annotation
  std::string words;  ///< what it is, with its unit in brackets
  std::string value;  ///< text of the default; empty when it has none
};

/// The name in Python: one that Python keeps for itself takes an underscore (`lambda_`).
std::string python_name(std::string_view name);

/// `words [unit]`, or `words [dimensionless]`, beginning with a capital.
std::string described(std::string_view words, std::string_view unit);

/// Text that Python reads back as the same value, NaN and infinity included.
std::string value_text(py::handle value);
/// The same where it is short enough for a signature, else `...`.
std::string default_text(py::handle value);

/// numpydoc text: the summary, then every keyword under Parameters.
std::string class_doc(const std::string& summary, const std::vector<Keyword>& keywords);
/// `head(self, *, a: float = 1.0, ...) -> result`; with `changes` every keyword may be left out.
std::string signature(const std::string& head, const std::vector<Keyword>& keywords,
                      const std::string& result, bool changes);

/// TypeError unless Python can make a float of it without losing anything (text is none).
double number_from(const std::string& where, const char* field, py::handle value);
[[noreturn]] void refuse_type(const std::string& where, const char* field, const std::string& type,
                              py::handle value);
/// TypeError that lists what the constructor knows.
[[noreturn]] void refuse_keyword(const std::string& where, const std::string& name,
                                 const std::vector<Keyword>& keywords);

}  // namespace airchain::bindings
