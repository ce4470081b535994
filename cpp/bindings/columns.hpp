#pragma once

#include <tuple>
#include <vector>

#include "arrays.hpp"

namespace airchain::bindings {

/// An array by name of every number that `Point::columns()` lists.
template <class Point>
py::dict arrays_by_column(const std::vector<Point>& points) {
  py::dict found;
  const auto add = [&](const auto& column) {
    Array values(static_cast<py::ssize_t>(points.size()));
    for (std::size_t i = 0; i < points.size(); ++i)
      values.mutable_data()[i] = points[i].*(column.member);
    found[column.name] = values;
  };
  std::apply([&](const auto&... column) { (add(column), ...); }, Point::columns());
  return found;
}

/// Name, SI unit and meaning of every number that `Point::columns()` lists.
template <class Point>
py::list column_texts() {
  py::list list;
  std::apply([&](const auto&... c) { (list.append(py::make_tuple(c.name, c.unit, c.words)), ...); },
             Point::columns());
  return list;
}

}  // namespace airchain::bindings
