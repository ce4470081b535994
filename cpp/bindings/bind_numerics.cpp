#include "airchain/numerics/curve.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using numerics::Curve;

void bind_numerics(py::module_& m) {
  auto cls =
      bind_shared<Curve>(
          m, "Curve",
          "A smooth monotone curve through points; outside its ends it keeps their values.",
          {{"x", "numpy.typing.ArrayLike", "Rising, in the unit of its use [SI]", ""},
           {"y", "numpy.typing.ArrayLike", "One for every x, in the unit of its use [SI]", ""}},
          [](const py::tuple& a) {
            return std::make_shared<const Curve>(numbers_from("Curve", "x", a[0]),
                                                 numbers_from("Curve", "y", a[1]), "Curve", "x",
                                                 "y");
          },
          [](const Curve& c) { return py::make_tuple(c.x(), c.y()); })
          .def_property_readonly(
              "x", [](const Curve& c) { return array_of(c.x()); }, "Points [SI].")
          .def_property_readonly(
              "y", [](const Curve& c) { return array_of(c.y()); }, "Values [SI].");
  elementwise_method<Curve>(
      cls, "at", {"x"}, [](const Curve& c, const double* x) { return c.at(x[0]); }, "Values at x.");
}

}  // namespace airchain::bindings
