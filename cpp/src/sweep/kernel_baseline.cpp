#include "airchain/sweep/kernel.hpp"

namespace airchain::sweep {

void run_tile_baseline(chain::Chain<Lanes<Baseline>>& lanes, const Slot<Lanes<Baseline>>* slots,
                       const Grid& grid, std::size_t first, std::size_t count, const int* wanted,
                       int columns, double* const* out) {
  run_tile<Baseline>(lanes, slots, grid, first, count, wanted, columns, out);
}

}  // namespace airchain::sweep
