#pragma once

#include "airchain/engine/run.hpp"
#include "airchain/sweep/kernel.hpp"

// What a thread does with one point of a whole engine. Compiled once an instruction set, by the
// lanes' tag.
namespace airchain::sweep {

/// False where the task's `go_on` stopped it.
template <class T>
bool run_engine(const engine::Task& task) {
  return engine::Run<T>(task)();
}

using RunEngine = bool (*)(const engine::Task&);
#ifdef AIRCHAIN_HAS_AVX2
bool run_engine_avx2(const engine::Task& task);
#endif
#ifdef AIRCHAIN_HAS_AVX512
bool run_engine_avx512(const engine::Task& task);
#endif

}  // namespace airchain::sweep
