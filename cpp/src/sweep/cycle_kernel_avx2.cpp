#ifdef AIRCHAIN_HAS_AVX2
#include "airchain/sweep/cycle_kernel.hpp"

namespace airchain::sweep {

void run_lanes_avx2(const cycle::Setup& setup, const cycle::Grids& grids,
                    const cycle::Controls& controls, const CourseSource& source) {
  run_lanes<numerics::Pack<4, Avx2>>(setup, grids, controls, source);
}

}  // namespace airchain::sweep
#endif
