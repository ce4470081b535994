#include "value.hpp"

namespace airchain::bindings {

Value::Value(const char* name, Kind kind, std::vector<Part> parts, Check check)
    : name_(name), kind_(kind), parts_(std::move(parts)), check_(std::move(check)) {
  const Owned plain = kind_.plain();
  for (const Part& p : parts_)
    keywords_.push_back(
        {p.name, p.type, p.words, p.required ? "" : default_text(p.state_of(plain.get()))});
}

Owned Value::made(const py::kwargs& given) const {
  for (const auto& [key, item] : given) part_named(py::str(key));
  for (const Part& p : parts_)
    if (p.required && p.type != "float" && !given.contains(p.name))
      base::refuse(missing(name_, p.name));
  return with(kind_.plain(), given);
}

Owned Value::changed(const void* value, const py::kwargs& changes) const {
  return with(kind_.copy(value), changes);
}

Owned Value::with(Owned value, const py::kwargs& changes) const {
  for (const auto& [key, item] : changes) part_named(py::str(key)).set(value.get(), item, name_);
  check_(value.get());
  return value;
}

bool Value::equal(const void* a, const void* b) const {
  for (const Part& p : parts_)
    if (!p.state_of(a).equal(p.state_of(b))) return false;
  return true;
}

std::string Value::text(const void* value) const {
  std::string inside;
  for (const Part& p : parts_)
    inside +=
        (inside.empty() ? "" : ", ") + python_name(p.name) + "=" + value_text(p.state_of(value));
  return name_ + "(" + inside + ")";
}

py::dict Value::state(const void* value) const {
  py::dict found;
  for (const Part& p : parts_) found[p.name] = p.state_of(value);
  return found;
}

const void* Value::inside(py::handle object) const {
  const void* const found = kind_.inside(object);
  if (!found) refuse_type(name_, "self", name_, object);
  return found;
}

const Part& Value::part_named(const std::string& name) const {
  for (const Part& p : parts_)
    if (name == p.name || name == python_name(p.name)) return p;
  refuse_keyword(name_, name, keywords_);
}

base::Refusal missing(const std::string& where, const std::string& field) {
  return {.where = where,
          .field = field,
          .value = "missing",
          .rule = "be given",
          .statement = field + " is missing"};
}

}  // namespace airchain::bindings
