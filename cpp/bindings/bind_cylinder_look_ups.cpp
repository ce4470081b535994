#include "airchain/cylinder/surface.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Surface;

namespace {

using Values = Surface::Values<double>;

template <class F>
void look_up(const py::object& cls, const char* name, const char* words, F of) {
  const std::string doc =
      std::string(words) +
      " at engine speeds [rad/s], plenum over\nexhaust pressures, charge temperatures [K] and "
      "exhaust pressures [Pa]; outside, the value\nat the edge.";
  elementwise_method<Surface>(cls, name,
                              {"engine_speed", "pressure_ratio", "temperature", "exhaust_pressure"},
                              of, doc.c_str());
}

void bind_filling(const py::object& cls, const char* name, const char* words,
                  double Values::*member) {
  look_up(cls, name, words, [member](const Surface& s, const double* x) {
    return Surface::Line<double>(s, x[0]).at(x[1], x[2], x[3]).*member;
  });
}

}  // namespace

void bind_cylinder_look_ups(const py::object& cls) {
  bind_filling(cls, "volumetric_efficiency_at", "Volumetric efficiency [dimensionless]",
               &Values::volumetric_efficiency);
  bind_filling(cls, "trapping_at", "Charge that stays over charge drawn [dimensionless]",
               &Values::trapping);
  look_up(cls, "pumping_at", "Mean effective pressure lost over plenum pressure [dimensionless]",
          [](const Surface& s, const double* x) { return s.pumping_at(x[0], x[1], x[2]); });
  bind_cylinder_burned_look_ups(cls);
  const auto fixed = [&cls](const char* name, auto function, const auto&... extra) {
    cls.attr(name) =
        py::staticmethod(py::cpp_function(function, py::name(name), py::scope(cls), extra...));
  };
  cls.attr("inside") = py::cpp_function(
      [](const Surface& s, const ArrayLike& speed, const ArrayLike& ratio,
         const ArrayLike& temperature, const ArrayLike& exhaust) -> py::object {
        return elementwise(
                   "BreathingSurface",
                   {{"engine_speed", speed},
                    {"pressure_ratio", ratio},
                    {"temperature", temperature},
                    {"exhaust_pressure", exhaust}},
                   [&s](const double* x) { return s.inside(x[0], x[1], x[2], x[3]) ? 1.0 : 0.0; })
            .attr("__ne__")(0.0);
      },
      py::name("inside"), py::is_method(cls), py::arg("engine_speed"), py::arg("pressure_ratio"),
      py::arg("temperature"), py::arg("exhaust_pressure"), "Whether states lie within the nodes.");
  fixed(
      "stretch",
      [](const ArrayLike& ratio, const ArrayLike& temperature) {
        return elementwise("BreathingSurface",
                           {{"pressure_ratio", ratio}, {"temperature", temperature}},
                           [](const double* x) { return Surface::stretch(x[0], x[1]); });
      },
      py::arg("pressure_ratio"), py::arg("temperature"),
      "Engine speed over wave speed [dimensionless] at plenum over exhaust pressures and charge\n"
      "temperatures [K].");
  fixed(
      "response_stretch",
      [](const ArrayLike& temperature) {
        return elementwise("BreathingSurface", {{"temperature", temperature}},
                           [](const double* x) { return Surface::response_stretch(x[0]); });
      },
      py::arg("temperature"),
      "The same for responses to a burn [dimensionless] at charge temperatures [K].");
  const auto side = [&fixed](const char* name, const char* doc, auto of) {
    fixed(
        name,
        [of](const ArrayLike& lambda, const ArrayLike& unevenness) {
          return elementwise("BreathingSurface", {{"lambda_", lambda}, {"unevenness", unevenness}},
                             [of](const double* x) {
                               const cylinder::Parcels parcels(x[1]);
                               return of(parcels, x[0], parcels.lean(x[0]));
                             });
        },
        py::arg("lambda_"), py::arg("unevenness"), doc);
  };
  side("lean_side", "How lean the parcels of an uneven charge are, as mean of lambda above 1.",
       [](const cylinder::Parcels&, double, double lean) { return lean; });
  side("rich_side", "How rich the parcels of an uneven charge are, as mean of lambda below 1.",
       [](const cylinder::Parcels& p, double lambda, double lean) { return p.rich(lambda, lean); });
  fixed(
      "difference",
      [](const ArrayLike& x, const ArrayLike& y) {
        return elementwise("BreathingSurface", {{"x", x}, {"y", y}},
                           [](const double* of) { return Surface::difference(of[0], of[1]); });
      },
      py::arg("x"), py::arg("y"), "2 (x - y)/(x + y), near the logarithm of x/y.");
}

}  // namespace airchain::bindings
