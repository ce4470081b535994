#include "parts.hpp"

#include <cmath>

namespace airchain::bindings {

Part number_part_at(const char* name, std::ptrdiff_t offset, const char* unit, const char* words,
                    const base::Range& range) {
  const bool bounded = std::isfinite(range.low) || std::isfinite(range.high);
  const std::string rule = bounded ? "; " + base::range_text(range, unit) : "";
  return {
      name, "float", described(words, unit) + rule,
      [offset](const void* s) -> py::object { return py::float_(member_at<double>(s, offset)); },
      [offset, name](void* s, py::handle value, const std::string& where) {
        member_at<double>(s, offset) = number_from(where, name, value);
      }};
}

Part array_part_at(const char* name, std::ptrdiff_t offset, const char* unit, const char* words) {
  using Row = std::vector<double>;
  return {name,
          "numpy.typing.ArrayLike",
          described(words, unit),
          [offset](const void* s) -> py::object { return array_of(member_at<Row>(s, offset)); },
          [offset, name](void* s, py::handle value, const std::string& where) {
            member_at<Row>(s, offset) = numbers_from(where, name, value);
          },
          [offset](const void* s) -> py::object { return py::cast(member_at<Row>(s, offset)); },
          true};
}

}  // namespace airchain::bindings
