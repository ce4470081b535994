#pragma once

#include "airchain/cycle/lanes.hpp"
#include "airchain/sweep/kernel.hpp"

// What a thread does in a batch of cycles. Compiled once an instruction set, by the lanes' tag.
namespace airchain::sweep {

/// Where a thread gets its courses, counted by the caller, and asks whether to go on.
struct CourseSource {
  void* context;
  /// False to leave the work as it is, within a point too.
  bool (*go_on)(void* context);
  /// The next course, or none when there is none left.
  cycle::Course* (*next)(void* context);
};

template <class T>
void run_lanes(const cycle::Setup& setup, const cycle::Grids& grids,
               const cycle::Controls& controls, const CourseSource& source) {
  cycle::CourseRunner<T> runner(setup, grids, controls);
  runner.run([&] { return source.next(source.context); },
             [&] { return source.go_on(source.context); });
}

using RunLanes = void (*)(const cycle::Setup&, const cycle::Grids&, const cycle::Controls&,
                          const CourseSource&);
#ifdef AIRCHAIN_HAS_AVX2
void run_lanes_avx2(const cycle::Setup& setup, const cycle::Grids& grids,
                    const cycle::Controls& controls, const CourseSource& source);
#endif
#ifdef AIRCHAIN_HAS_AVX512
void run_lanes_avx512(const cycle::Setup& setup, const cycle::Grids& grids,
                      const cycle::Controls& controls, const CourseSource& source);
#endif

}  // namespace airchain::sweep
