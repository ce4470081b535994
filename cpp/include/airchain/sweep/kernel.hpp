#pragma once

#include <array>
#include <cstddef>
#include <optional>

#include "airchain/chain/solve.hpp"

// The tile: what a thread does at a time. Compiled once an instruction set, by the lanes' tag.
namespace airchain::sweep {

/// Instruction sets, each with the lanes in which it solves chains. A search is one long chain of
/// arithmetic, so four packs side by side hide each other's waits, though registers spill.
struct Baseline {
  using ChainLanes = numerics::Pack<4, Baseline>;
};
struct Avx2 {
  using ChainLanes = numerics::Twin<numerics::Twin<numerics::Pack<4, Avx2>>>;
};
struct Avx512 {
  using ChainLanes = numerics::Twin<numerics::Twin<numerics::Pack<8, Avx512>>>;
};
template <class Tag>
using Lanes = typename Tag::ChainLanes;

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

/// Where an axis lies in the lanes' chain, and whether it moves what a pull shares.
template <class T>
struct Slot {
  T* value;
  bool moves_setup;
};

/// Points `first` to `first + count` of the grid; slot a belongs to axis a.
template <class Tag>
void run_tile(chain::Chain<Lanes<Tag>>& lanes, const Slot<Lanes<Tag>>* slots, const Grid& grid,
              std::size_t first, std::size_t count, const int* wanted, int columns,
              double* const* out) {
  using T = Lanes<Tag>;
  constexpr int kWidth = numerics::kLanes<T>;
  constexpr auto members = column_members<T>();
  std::size_t place[kMostAxes] = {};
  std::size_t rest = first;
  for (int a = grid.axes; a-- > 0;) {
    place[a] = rest % grid.counts[a];
    rest /= grid.counts[a];
  }
  std::optional<chain::Setup<T>> setup;
  for (std::size_t done = 0; done < count; done += kWidth) {
    const int used = count - done < kWidth ? int(count - done) : kWidth;
    bool moved = !setup;
    for (int i = 0; i < kWidth; ++i) {
      for (int a = 0; a < grid.axes; ++a) {
        const double value = grid.values[a][place[a]];
        moved |= slots[a].moves_setup && !(numerics::lane(*slots[a].value, i) == value);
        numerics::set_lane(*slots[a].value, i, value);
      }
      if (i + 1 >= used && used < kWidth) continue;  // tails repeat the last point
      for (int a = grid.axes; a-- > 0;) {
        if (++place[a] < grid.counts[a]) break;
        place[a] = 0;
      }
    }
    if (moved) setup.emplace(lanes);
    setup->set_speed(lanes);
    const auto result = chain::solve(lanes, *setup);
    for (int k = 0; k < columns; ++k) {
      const auto& value = result.*(members.begin()[wanted[k]]);
      for (int i = 0; i < used; ++i) out[k][first + done + std::size_t(i)] = lane(value, i);
    }
  }
}

#ifdef AIRCHAIN_HAS_AVX2
void run_tile_avx2(chain::Chain<Lanes<Avx2>>& lanes, const Slot<Lanes<Avx2>>* slots,
                   const Grid& grid, std::size_t first, std::size_t count, const int* wanted,
                   int columns, double* const* out);
#endif
#ifdef AIRCHAIN_HAS_AVX512
void run_tile_avx512(chain::Chain<Lanes<Avx512>>& lanes, const Slot<Lanes<Avx512>>* slots,
                     const Grid& grid, std::size_t first, std::size_t count, const int* wanted,
                     int columns, double* const* out);
#endif
void run_tile_baseline(chain::Chain<Lanes<Baseline>>& lanes, const Slot<Lanes<Baseline>>* slots,
                       const Grid& grid, std::size_t first, std::size_t count, const int* wanted,
                       int columns, double* const* out);

}  // namespace airchain::sweep
