#pragma once

#include <array>
#include <cstddef>

#include "airchain/chain/solve.hpp"

// The tile: what a thread does at a time. Compiled once an instruction set, by the lanes' tag.
namespace airchain::sweep {

struct Baseline {};
struct Avx2 {};
inline constexpr int kWidth = 4;
template <class Tag>
using Lanes = numerics::Pack<kWidth, Tag>;

inline constexpr int kMostAxes = 16;

/// A grid as raw pointers; the last axis varies fastest.
struct Grid {
  int axes;
  const double* values[kMostAxes];
  std::size_t counts[kMostAxes];
};

/// Member pointers of the result's columns, in order.
template <class T>
AIRCHAIN_INLINE constexpr auto column_members() {
  return std::apply([](const auto&... c) { return std::array{c.member...}; },
                    chain::Result<T>::columns());
}

/// Points `first` to `first + count` of the grid. `slots[a]` is where axis a lies in `lanes`.
template <class Tag>
void run_tile(chain::Chain<Lanes<Tag>>& lanes, Lanes<Tag>* const* slots, const Grid& grid,
              std::size_t first, std::size_t count, const int* wanted, int columns,
              double* const* out) {
  constexpr auto members = column_members<Lanes<Tag>>();
  std::size_t place[kMostAxes] = {};
  std::size_t rest = first;
  for (int a = grid.axes; a-- > 0;) {
    place[a] = rest % grid.counts[a];
    rest /= grid.counts[a];
  }
  for (std::size_t done = 0; done < count; done += kWidth) {
    const int used = count - done < kWidth ? int(count - done) : kWidth;
    for (int i = 0; i < kWidth; ++i) {
      for (int a = 0; a < grid.axes; ++a)
        numerics::set_lane(*slots[a], i, grid.values[a][place[a]]);
      if (i + 1 >= used && used < kWidth) continue;  // tails repeat the last point
      for (int a = grid.axes; a-- > 0;) {
        if (++place[a] < grid.counts[a]) break;
        place[a] = 0;
      }
    }
    const auto result = chain::solve(lanes);
    for (int k = 0; k < columns; ++k) {
      const auto& value = result.*(members.begin()[wanted[k]]);
      for (int i = 0; i < used; ++i) out[k][first + done + std::size_t(i)] = lane(value, i);
    }
  }
}

#ifdef AIRCHAIN_HAS_AVX2
void run_tile_avx2(chain::Chain<Lanes<Avx2>>& lanes, Lanes<Avx2>* const* slots, const Grid& grid,
                   std::size_t first, std::size_t count, const int* wanted, int columns,
                   double* const* out);
#endif
void run_tile_baseline(chain::Chain<Lanes<Baseline>>& lanes, Lanes<Baseline>* const* slots,
                       const Grid& grid, std::size_t first, std::size_t count, const int* wanted,
                       int columns, double* const* out);

}  // namespace airchain::sweep
