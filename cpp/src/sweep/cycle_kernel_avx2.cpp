#ifdef AIRCHAIN_HAS_AVX2
#include "airchain/sweep/cycle_kernel.hpp"

namespace airchain::sweep {

void run_points_avx2(const cycle::Setup& setup, const pipe::Shape& intake,
                     const pipe::Shape& exhaust, const cycle::Controls& controls,
                     const cycle::Point<double>* points, cycle::CycleResult* out,
                     const PointSource& source) {
  run_points<Avx2>(setup, intake, exhaust, controls, points, out, source);
}

}  // namespace airchain::sweep
#endif
