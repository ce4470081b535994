#ifdef AIRCHAIN_HAS_AVX512
#include "airchain/sweep/kernel.hpp"

namespace airchain::sweep {

void run_tile_avx512(chain::Chain<Lanes<Avx512>>& lanes, const Slot<Lanes<Avx512>>* slots,
                     const Grid& grid, std::size_t first, std::size_t count, const int* wanted,
                     int columns, double* const* out) {
  run_tile<Avx512>(lanes, slots, grid, first, count, wanted, columns, out);
}

}  // namespace airchain::sweep
#endif
