#include "arrays.hpp"

namespace airchain::bindings {

namespace {

template <std::size_t i>
using Given = const ArrayLike&;

template <std::size_t... i>
void define(const py::object& scope, const char* name, const std::vector<const char*>& names,
            const std::function<Of(py::handle)>& of, const char* doc, std::index_sequence<i...>) {
  const std::string where = py::str(scope.attr("__name__"));
  if (py::isinstance<py::module_>(scope)) {
    scope.attr(name) = py::cpp_function(
        [=, place = std::string(name)](Given<i>... given) {
          return elementwise(place, {Named(names[i], given)...}, of({}));
        },
        py::name(name), py::scope(scope), py::arg(names[i])..., doc);
    return;
  }
  scope.attr(name) = py::cpp_function(
      [=](const py::object& self, Given<i>... given) {
        return elementwise(where, {Named(names[i], given)...}, of(self));
      },
      py::name(name), py::is_method(scope), py::arg(names[i])..., doc);
}

}  // namespace

void def_elementwise(const py::object& scope, const char* name, std::vector<const char*> names,
                     std::function<Of(py::handle)> of, const char* doc) {
  switch (names.size()) {
    case 1:
      return define(scope, name, names, of, doc, std::make_index_sequence<1>());
    case 2:
      return define(scope, name, names, of, doc, std::make_index_sequence<2>());
    case 3:
      return define(scope, name, names, of, doc, std::make_index_sequence<3>());
    case 4:
      return define(scope, name, names, of, doc, std::make_index_sequence<4>());
    case 5:
      return define(scope, name, names, of, doc, std::make_index_sequence<5>());
    default:
      return define(scope, name, names, of, doc, std::make_index_sequence<6>());
  }
}

}  // namespace airchain::bindings
