#ifdef AIRCHAIN_HAS_AVX512
#include "airchain/sweep/engine_kernel.hpp"

namespace airchain::sweep {

bool run_engine_avx512(const engine::Task& task) {
  return run_engine<numerics::Pack<8, Avx512>>(task);
}

}  // namespace airchain::sweep
#endif
