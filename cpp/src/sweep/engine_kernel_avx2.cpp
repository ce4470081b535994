#ifdef AIRCHAIN_HAS_AVX2
#include "airchain/sweep/engine_kernel.hpp"

namespace airchain::sweep {

bool run_engine_avx2(const engine::Task& task) { return run_engine<numerics::Pack<4, Avx2>>(task); }

}  // namespace airchain::sweep
#endif
