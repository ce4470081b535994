#ifdef AIRCHAIN_HAS_AVX512
#include "airchain/sweep/cycle_kernel.hpp"

namespace airchain::sweep {

void run_lanes_avx512(const cycle::Setup& setup, const cycle::Grids& grids,
                      const cycle::Controls& controls, const CourseSource& source) {
  run_lanes<numerics::Pack<8, Avx512>>(setup, grids, controls, source);
}

}  // namespace airchain::sweep
#endif
