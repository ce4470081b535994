#pragma once

#include <cstdlib>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

namespace airchain::test {

/// One row of a file in tests/published by its column names. Sources: tests/published/SOURCES.md.
struct PublishedRow {
  std::map<std::string, std::string> cells;

  const std::string& text(const std::string& column) const { return cells.at(column); }
  double number(const std::string& column) const {
    const std::string& cell = text(column);
    char* end = nullptr;
    const double value = std::strtod(cell.c_str(), &end);
    if (end == cell.c_str() || *end != '\0') throw std::runtime_error(column + ": " + cell);
    return value;
  }
};

inline std::vector<std::string> split_cells(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream stream(line + ",");
  for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
  return cells;
}

/// All rows, or those whose `column` holds `value`. Throws when there is none to check against.
inline std::vector<PublishedRow> published(const std::string& name, const std::string& column = "",
                                           const std::string& value = "") {
  std::ifstream file(AIRCHAIN_PUBLISHED "/" + name);
  std::string line;
  std::getline(file, line);
  const auto names = split_cells(line);
  std::vector<PublishedRow> rows;
  while (std::getline(file, line)) {
    const auto cells = split_cells(line);
    if (cells.size() != names.size()) throw std::runtime_error(name + ": uneven row: " + line);
    PublishedRow row;
    for (std::size_t i = 0; i < names.size(); ++i) row.cells[names[i]] = cells[i];
    if (column.empty() || row.text(column) == value) rows.push_back(row);
  }
  if (rows.empty()) throw std::runtime_error(name + ": no rows with " + column + " " + value);
  return rows;
}

}  // namespace airchain::test
