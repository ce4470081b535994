#include "airchain/cylinder/burned.hpp"

#include <pybind11/stl.h>

#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using cylinder::Burned;
using cylinder::BurnedNodes;

namespace {

constexpr const char* kBurnedSurface = "BurnedSurface";

/// The lists of the nodes, in the order of the arguments.
struct BurnedList {
  const char* name;
  std::vector<double> BurnedNodes::*member;
  const char* words;
};
constexpr BurnedList kBurnedLists[] = {
    {"wave_speed", &BurnedNodes::wave_speed, "Rising [rad/s]"},
    {"pressure_ratio", &BurnedNodes::pressure_ratio,
     "Plenum over exhaust pressure, rising [dimensionless]"},
    {"temperature", &BurnedNodes::temperature, "Of the charge, rising [K]"},
    {"work", &BurnedNodes::work,
     "Of compression and expansion over the heating value of the trapped fuel, over these three "
     "axes [dimensionless]; 0 to 1"},
    {"exhaust_temperature", &BurnedNodes::exhaust_temperature,
     "Mean of what leaves the primary, likewise [K]; 250 to 3000"},
    {"peak_pressure", &BurnedNodes::peak_pressure,
     "In the cylinder over plenum pressure times volumetric efficiency, likewise [dimensionless]; "
     "1 to 1000"},
    {"wall_heat", &BurnedNodes::wall_heat,
     "To the cylinder's walls over the heating value of the trapped fuel, likewise "
     "[dimensionless]; 0 to 1"},
    {"coarse_speed", &BurnedNodes::coarse_speed, "Wave speeds of the responses, rising [rad/s]"},
    {"coarse_ratio", &BurnedNodes::coarse_ratio,
     "Plenum over exhaust pressures of the responses, rising [dimensionless]"},
    {"coarse_temperature", &BurnedNodes::coarse_temperature,
     "Charge temperatures of the responses, rising [K]"},
    {"responses", &BurnedNodes::responses,
     "Of filling, exhaust temperature, work, pumping, peak pressure, wall heat and trapping to\n"
     "exhaust pressure, phasing and its square, rich and lean mixture and the square of the rich, "
     "by answer, "
     "cause and\nthe coarse axes [dimensionless]"},
    {"shapes", &BurnedNodes::shapes,
     "16 numbers of each of these answers: a spline of the phasing (6), powers of rich (4) and\n"
     "lean (2) mixture, and of both together (4) [dimensionless]"}};

}  // namespace

void bind_cylinder_burned(py::module_& m) {
  const std::string row = "numpy.typing.ArrayLike";
  std::vector<Keyword> keywords;
  for (const BurnedList& list : kBurnedLists) keywords.push_back({list.name, row, list.words, ""});
  keywords.push_back(
      {"own", row,
       "The nodes' own burn: half burned [rad], retard [rad/Pa] above 100 kPa, "
       "latest half burned [rad], lambda, three numbers of how the square of the charge's speed "
       "of sound changes with lambda, and the unevenness of the charge [dimensionless]",
       ""});
  auto cls = bind_shared<Burned>(
      m, kBurnedSurface,
      "What cycles say of the burned charge at the nodes of a breathing surface, and how it "
      "answers "
      "to\nexhaust pressure, phasing and lambda.\n\n"
      "    q = q_node exp(A_p d + df + A_1 dt + A_2 d(t^2) + dg + A_r dx + A_x d(x^2) + dh + A_l "
      "dy\n"
      "        + cross)\n\n"
      "Range: half burned 2 degrees before to 42 after top centre, lambda 0.65 to 1.15.",
      keywords,
      [](const py::tuple& a) {
        BurnedNodes n;
        std::size_t i = 0;
        for (const BurnedList& list : kBurnedLists)
          n.*list.member = numbers_from(kBurnedSurface, list.name, a[i++]);
        const auto own = numbers_of_shape(kBurnedSurface, "own", a[i], {8}, "be eight numbers");
        std::copy(own.begin(), own.end(), n.own.begin());
        return cylinder::burned_surface(n);
      },
      [](const Burned& burned) {
        py::list state;
        for (const BurnedList& list : kBurnedLists) state.append(burned.nodes.*list.member);
        state.append(burned.nodes.own);
        return py::tuple(state);
      });
  for (const BurnedList& list : kBurnedLists)
    read_only(cls, list.name, "numpy.typing.NDArray[numpy.float64]",
              std::string(list.words) + ", in one row.",
              [member = list.member](const py::object& self) -> py::object {
                return array_of(self.cast<const Burned&>().nodes.*member);
              });
  read_only(
      cls, "own", "numpy.typing.NDArray[numpy.float64]",
      "Half burned [rad], retard [rad/Pa], latest half burned [rad], lambda, the numbers of the "
      "speed of sound, and the unevenness of the charge.",
      [](const py::object& self) -> py::object {
        const auto& own = self.cast<const Burned&>().nodes.own;
        return array_of({own.begin(), own.end()});
      });
  cls.attr("__repr__") = py::cpp_function(
      [](const Burned& b) {
        return "<BurnedSurface: " + std::to_string(b.exhaust.values().size()) + " nodes>";
      },
      py::name("__repr__"), py::is_method(cls));
}

}  // namespace airchain::bindings
