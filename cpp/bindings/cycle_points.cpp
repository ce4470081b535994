#include "airchain/base/guards.hpp"
#include "cycle_columns.hpp"
#include "texts.hpp"

namespace airchain::bindings {

using Point = cycle::Point<double>;

Given points_from(const py::dict& columns) {
  for (const auto& [key, item] : columns) {
    const std::string name = py::str(key);
    bool known = false;
    base::for_each_field<Point>([&](const auto& f) { known |= name == f.name; });
    base::require_that(known, {.where = Point::kName,
                               .field = name,
                               .rule = "be a field of CyclePoint",
                               .statement = "column \"" + name + "\""});
  }
  std::vector<std::pair<double Point::*, std::vector<double>>> arrays;
  Given given{{Point{}}, true};
  base::for_each_field<Point>([&](const auto& f) {
    if (!columns.contains(f.name)) return;
    const py::object value = columns[f.name];
    const bool row = py::isinstance<py::sequence>(value) || py::isinstance<py::array>(value);
    if (row && !py::isinstance<py::str>(value)) {
      arrays.emplace_back(f.member, numbers_from(Point::kName, f.name, value));
      const std::size_t size = arrays.back().second.size();
      const std::string count = std::to_string(size) + " values";
      base::require_that(given.single || size == given.points.size(),
                         {.where = Point::kName,
                          .field = f.name,
                          .value = count,
                          .rule = "be as many as the other columns",
                          .statement = f.name + (" has " + count)});
      if (given.single) given.points.assign(size, Point{});
      given.single = false;
    } else {
      arrays.push_back({f.member, {number_from(Point::kName, f.name, value)}});
    }
  });
  for (const auto& [member, values] : arrays)
    for (std::size_t i = 0; i < given.points.size(); ++i)
      given.points[i].*member = values.size() == 1 ? values[0] : values[i];
  return given;
}

}  // namespace airchain::bindings
