#include "airchain/ambient/power_correction.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

namespace {

ambient::PowerStandard standard_from(const std::string& name) {
  Choices<ambient::PowerStandard> known;
  for (const auto& one : ambient::power_standards()) known.emplace_back(one.name, one.standard);
  return choice_from(known, "power_correction", "standard", py::str(name));
}

}  // namespace

void bind_ambient_power_correction(py::module_& m) {
  m.def(
      "power_standards",
      [] {
        py::dict found;
        for (const auto& one : ambient::power_standards())
          found[one.name] = py::make_tuple(one.words, one.dry_pressure, one.temperature);
        return found;
      },
      "Words, dry reference pressure [Pa] and reference temperature [K] of every power standard.");
  m.def(
      "power_correction",
      [](const std::string& name, const ArrayLike& dry_pressure, const ArrayLike& temperature) {
        const auto standard = standard_from(name);
        return elementwise("power_correction",
                           {{"dry_pressure", dry_pressure}, {"temperature", temperature}},
                           [standard](const double* x) {
                             return ambient::power_correction(standard, x[0], x[1]);
                           });
      },
      py::arg("standard"), py::arg("dry_pressure"), py::arg("temperature"),
      "Corrected over observed power [dimensionless] at dry-air pressures [Pa] and air "
      "temperatures [K]; given outside the standard too, see `outside_power_standard`.");
  m.def(
      "outside_power_standard",
      [](const std::string& standard, double dry_pressure, double temperature) {
        std::vector<std::tuple<std::string, double, double, double>> found;
        for (const auto& one : ambient::outside(standard_from(standard), dry_pressure, temperature))
          found.emplace_back(one.name, one.value, one.range.low, one.range.high);
        return found;
      },
      py::arg("standard"), py::arg("dry_pressure"), py::arg("temperature"),
      "What of a dry-air pressure [Pa] and air temperature [K] lies outside a power standard: "
      "temperature [K], dry_pressure [Pa] or factor [dimensionless], its value, and the lowest and "
      "highest that the standard holds for; empty when nothing does.");
  m.def(
      "power_standard_objection",
      [](const std::string& standard, const std::string& induction) {
        const Choices<ambient::Induction> known{{"aspirated", ambient::Induction::aspirated},
                                                {"mechanical", ambient::Induction::mechanical},
                                                {"held_boost", ambient::Induction::held_boost}};
        return ambient::objection(
            standard_from(standard),
            choice_from(known, "power_correction", "induction", py::str(induction)));
      },
      py::arg("standard"), py::arg("induction"),
      "Why a power standard does not hold for an induction (aspirated, mechanical or held_boost), "
      "in words; empty when it does.");
}

}  // namespace airchain::bindings
