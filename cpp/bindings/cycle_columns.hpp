#pragma once

#include <string>
#include <vector>

#include "airchain/cycle/cycle.hpp"
#include "arrays.hpp"

namespace airchain::bindings {

/// Points and whether they were given as numbers.
struct Given {
  std::vector<cycle::Point<double>> points;
  bool single = true;
};

/// Points from numbers and arrays of one length by the names of their fields.
Given points_from(const py::dict& columns);

/// A column of what `of` makes of every row; a number where there is one row given as such.
template <class Row, class Of>
py::object column(const std::vector<Row>& rows, bool single, Of&& of) {
  using Cell = decltype(of(rows[0]));
  if (single) return py::cast(of(rows[0]));
  py::array_t<Cell> values(static_cast<py::ssize_t>(rows.size()));
  Cell* out = values.mutable_data();
  for (const Row& row : rows) *out++ = of(row);
  return values;
}

template <class Row, class Numbers, class Owner>
void add_columns(py::dict& found, const std::vector<Row>& rows, bool single, const Numbers& numbers,
                 const std::string& prefix, Owner&& owner) {
  for (const auto& number : numbers)
    found[py::str(prefix + number.name)] =
        column(rows, single, [&](const Row& row) { return owner(row).*number.member; });
}

template <class Row, class Owner>
void add_results(py::dict& found, const std::vector<Row>& rows, bool single,
                 const std::string& prefix, Owner&& owner) {
  add_columns(found, rows, single, cycle::kResultNumbers, prefix, owner);
  found[py::str(prefix + "status")] = column(rows, single, [&](const Row& row) {
    const cycle::CycleResult& result = owner(row);
    return static_cast<std::uint8_t>(result.refused ? 2 : result.converged ? 0 : 1);
  });
}

constexpr auto itself = [](const auto& row) -> const auto& { return row; };

/// Name, unit and meaning of every number of a list.
template <class Numbers>
py::list column_list(const Numbers& numbers) {
  py::list list;
  for (const auto& n : numbers) list.append(py::make_tuple(n.name, n.unit, n.words));
  return list;
}

}  // namespace airchain::bindings
