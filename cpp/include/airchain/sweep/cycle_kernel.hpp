#pragma once

#include "airchain/cycle/lanes.hpp"
#include "airchain/sweep/kernel.hpp"

// What a thread does in a batch of cycles. Compiled once an instruction set, by the lanes' tag.
namespace airchain::sweep {

/// Lanes of a cycle: four under every instruction set.
inline constexpr std::size_t kCycleWidth = 4;
template <class Tag>
using CycleLanes = numerics::Pack<static_cast<int>(kCycleWidth), Tag>;

/// Where a thread gets its points and tells that they are done; counted by the caller.
struct PointSource {
  void* context;
  /// Number of the next point, or -1 when there is none left.
  long long (*next)(void* context);
};

template <class Tag>
void run_points(const cycle::Setup& setup, const pipe::Shape& intake, const pipe::Shape& exhaust,
                const cycle::Controls& controls, const cycle::Point<double>* points,
                cycle::CycleResult* out, const PointSource& source) {
  cycle::LineRunner<CycleLanes<Tag>> runner(setup, intake, exhaust, controls);
  runner.run(points, out, [&] {
    const long long next = source.next(source.context);
    return next < 0 ? cycle::Line{0, 0} : cycle::Line{static_cast<std::size_t>(next), 1};
  });
}

using RunPoints = void (*)(const cycle::Setup&, const pipe::Shape&, const pipe::Shape&,
                           const cycle::Controls&, const cycle::Point<double>*, cycle::CycleResult*,
                           const PointSource&);
#ifdef AIRCHAIN_HAS_AVX2
void run_points_avx2(const cycle::Setup& setup, const pipe::Shape& intake,
                     const pipe::Shape& exhaust, const cycle::Controls& controls,
                     const cycle::Point<double>* points, cycle::CycleResult* out,
                     const PointSource& source);
#endif

}  // namespace airchain::sweep
