#include <map>

#include "airchain/base/input_error.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

namespace {

using base::Index;
using base::Refusal;

py::object indices_of(const Refusal& refusal) {
  py::dict found;
  for (const Index& index : refusal.indices) found[py::str(index.name)] = index.number;
  return found;
}

void set_indices(Refusal& refusal, py::handle value, const std::string& where) {
  py::detail::make_caster<std::map<std::string, int>> caster;
  if (!py::isinstance<py::dict>(value) || !caster.load(value, true))
    refuse_type(where, "indices", "dict[str, int]", value);
  refusal.indices.clear();
  for (const auto& [name, number] : py::reinterpret_borrow<py::dict>(value))
    refusal.indices.push_back({name.cast<std::string>(), number.cast<int>()});
}

}  // namespace

void bind_base(py::module_& m) {
  using base::Refusal;
  bind_value<Refusal>(
      m, "Refusal", "One thing that was refused, in parts.",
      {part("where", &Refusal::where, "str", "The station, or file and line"),
       part("field", &Refusal::field, "str", "Its name; empty where no single field is at fault"),
       part("value", &Refusal::value, "str", "As it was given, with its unit"),
       part("rule", &Refusal::rule, "str", "What it must do or be, worded to follow 'must'"),
       part("hint", &Refusal::hint, "str", "What to do instead"),
       part_by<Refusal>(
           "indices", "dict[str, int]",
           "Which row or point is meant, such as {'speed line': 3, 'point': 4}; counted from 1",
           indices_of, set_indices),
       part("statement", &Refusal::statement, "str",
            "Told instead of indices, field and value where these would say too little")})
      .def("__str__", &Refusal::text);
  bind_base_input_error(m);
}

}  // namespace airchain::bindings
