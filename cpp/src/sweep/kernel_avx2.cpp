#ifdef AIRCHAIN_HAS_AVX2
#include "airchain/sweep/kernel.hpp"

namespace airchain::sweep {

void run_tile_avx2(chain::Chain<Lanes<Avx2>>& lanes, const Slot<Lanes<Avx2>>* slots,
                   const Grid& grid, std::size_t first, std::size_t count, const int* wanted,
                   int columns, double* const* out) {
  run_tile<Avx2>(lanes, slots, grid, first, count, wanted, columns, out);
}

}  // namespace airchain::sweep
#endif
