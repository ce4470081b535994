#ifdef AIRCHAIN_HAS_AVX2
#include "airchain/sweep/cycle_kernel.hpp"

namespace airchain::sweep {

void run_lanes_avx2(const cycle::Setup& setup, const pipe::Shape& intake,
                    const pipe::Shape& exhaust, const cycle::Controls& controls,
                    const CourseSource& source) {
  run_lanes<CycleLanes<Avx2>>(setup, intake, exhaust, controls, source);
}

}  // namespace airchain::sweep
#endif
