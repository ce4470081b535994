#pragma once

#include <array>
#include <vector>

#include "airchain/compressor/map_data.hpp"

namespace airchain::compressor {

/// Columns of a map's grid, a compromise: 17 reproduce the measured points of NASA's map within
/// 0.13 % in pressure ratio, 25 and 33 hardly better.
inline constexpr int kMapColumns = 25;
/// Rows between the lowest and the highest line: on NASA's map the table then
/// repeats the interpolation over speed within 6e-5.
inline constexpr int kMapRows = 64;

/// The grid of a map over n = corrected speed over design corrected speed (that of the highest
/// line) and c = place along the speed line, 0 at its left end and 1 at its right end.
struct MapGrid {
  std::vector<double> n;  ///< from 0 to 1 [1]
  std::vector<double> c;  ///< from 0 to 1 [1]
  /// [in * c.size() + ic]: phi = corrected flow / n [kg/s]; L = ln(pressure ratio)/n^2 [1];
  /// w = stagnation enthalpy rise / (gamma R T01 n^2) [1].
  std::vector<std::array<double, 3>> values;
  double lowest_line = 0.0;  ///< n of the lowest measured line; below it similarity [1]
};

/// Lays the grid through the lines of checked data.
///
/// Place along a line: arc length in flow coefficient phi and head coefficient psi = isentropic
/// head/n^2, each over its largest on the line, stretched so that the choke knee stands at the
/// same c on all lines. The knee is where efficiency right of its best has fallen to 0.95 of it
/// (or half-way to the end of the line that falls least; with no fall on some line, no stretch).
/// Along a line monotone cubics of phi, psi and efficiency, which never leave the measured values
/// (work, though smoother, would let efficiency overshoot between sparse points). At fixed c
/// monotone cubics over speed of psi, of work, of the flow at both ends of the lines, and of the
/// shares of the flow range that the steps along c take, so that flow rises with c also between
/// lines. Below the lowest line phi, psi and w keep its values (similarity).
///
/// Left out: any change with Reynolds number; below the lowest line the small rise of flow range
/// and shift of the best efficiency with Mach number.
/// `rows` is about how many rows lie between the lowest and the highest line.
MapGrid map_grid(const MapData& checked_data, int rows = kMapRows);

}  // namespace airchain::compressor
