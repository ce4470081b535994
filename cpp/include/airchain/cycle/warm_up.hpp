#pragma once

#include "airchain/cycle/course.hpp"
#include "airchain/cycle/lane_start.hpp"

namespace airchain::cycle {

/// Cycles that a point first runs on the coarse grid.
inline constexpr int kCoarseCycles = 3;

/// Longer steps on the coarse grid, where waves allow them: its cycles only lead near the answer.
inline Controls on_coarse_grid(Controls controls) {
  constexpr double kLonger = 3.0;
  controls.largest_step *= kLonger;
  return controls;
}

/// Runs the first cycles of points on a coarse grid, as many points at a time as there are lanes.
/// A lane knows nothing of the others.
template <class T>
class WarmUp {
 public:
  WarmUp(const Setup& setup, const Grids& grids, const Controls& controls)
      : kernel_(setup, grids.coarse_intake, grids.coarse_exhaust, on_coarse_grid(controls)) {}

  /// Lanes without a point repeat the first one's. `step` steps a kernel; false ends the work.
  template <class Step>
  bool run(const Point<double>* points, int count, StoredLane<T>* out, Step&& step) {
    constexpr int kLanes = numerics::kLanes<T>;
    int cycles[kLanes] = {};
    CollectorSearch collectors[kLanes];
    for (int i = 0; i < kLanes; ++i) {
      put_point(kernel_, i, points[i < count ? i : 0]);
      fill_lane(kernel_, i);
      start_cycle(kernel_, i);
    }
    for (int done = 0; done < count;) {
      if (!step(kernel_)) return false;
      for (int i = 0; i < kLanes; ++i) {
        if (!at_end(kernel_, i)) continue;
        follow_collector(kernel_, i, collectors[i]);
        if (++cycles[i] == kCoarseCycles && i < count) {
          out[i] = stored_lane(kernel_, i);
          ++done;
        }
        start_cycle(kernel_, i);
      }
    }
    return true;
  }

 private:
  Kernel<T> kernel_;
};

}  // namespace airchain::cycle
