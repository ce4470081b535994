#pragma once

#include "airchain/cycle/course.hpp"
#include "airchain/cycle/warm_up.hpp"

namespace airchain::cycle {

/// What a lane keeps of its cycles.
template <class T>
struct LaneCycles {
  int cycles = 0;
  double unrest = 0.0;  // of the cycle before
  double stored_mass = 0.0, stored_energy = 0.0;
  CollectorSearch collector;
};

/// Solves courses of operating points in the lanes of a kernel. A lane that has finished its course
/// takes the next. A course starts on a coarse grid, as many courses at a time as there are lanes.
template <class T>
class CourseRunner {
 public:
  /// Setup and grids must outlive it.
  CourseRunner(const Setup& setup, const Grids& grids, const Controls& controls)
      : controls_(controls),
        coarsens_(grids.coarsens()),
        kernel_(setup, grids.intake, grids.exhaust, controls),
        warm_up_(setup, grids, controls) {}

  /// `next` gives the next course, or none when there is none left. `go_on` is asked now and then,
  /// within a point too: false leaves the work as it is.
  template <class Next, class GoOn>
  void run(Next&& next, GoOn&& go_on) {
    const auto step = [&](Kernel<T>& kernel) { return stepped(kernel) || go_on(); };
    int active = 0;
    for (int i = 0; i < kLanes; ++i) {
      lanes_[i] = {};
      if (!begin_course(i, next, step)) continue;
      ++active;
    }
    if (active == 0) return;
    for (int i = 0; i < kLanes; ++i)
      if (lanes_[i].course == nullptr) idle_like_the_first(i);
    while (active > 0) {
      if (!step(kernel_)) return;
      for (int i = 0; i < kLanes; ++i) {
        if (!at_end(kernel_, i)) continue;
        if (lanes_[i].course == nullptr) {
          begin_cycle(i);
        } else if (end_cycle(i) && !begin_course(i, next, step)) {
          --active;
          begin_cycle(i);
        }
      }
    }
  }
  template <class Next>
  void run(Next&& next) {
    run(next, [] { return true; });
  }

  Kernel<T>& kernel() { return kernel_; }
  /// For one watched cycle of a plain kernel after `run`: the cycle starts afresh.
  void begin_cycle(int i);

 private:
  static constexpr int kLanes = numerics::kLanes<T>;
  /// Steps between two questions whether to go on: some milliseconds on the finest grid.
  static constexpr int kStepsUnasked = 256;

  struct Lane : LaneCycles<T> {
    Course* course = nullptr;
  };
  struct Warm {
    Course* course = nullptr;
    StoredLane<T> start;
  };

  double of(const T& value, int i) const { return numerics::lane(value, i); }

  /// One step; false when it is time to ask whether to go on. Not inlined: once for both grids.
  __attribute__((noinline)) bool stepped(Kernel<T>& kernel) {
    kernel.step([](const auto&...) {});
    return ++steps_ % kStepsUnasked != 0;
  }

  /// Gives a lane the next course, which may have to be warmed up first; false when there is none.
  template <class Next, class Step>
  bool begin_course(int i, Next& next, Step& step) {
    if (warm_place_ == warm_count_ && !warm_next(next, step)) {
      lanes_[i].course = nullptr;
      return false;
    }
    const Warm& warm = warm_[warm_place_++];
    lanes_[i].course = warm.course;
    take_point(i, warm.course->point());
    if (coarsens_ && warm.start.sound()) {
      restore_lane(kernel_, i, warm.start);
    } else {
      fill_lane(kernel_, i);
    }
    begin_cycle(i);
    return true;
  }
  template <class Next, class Step>
  bool warm_next(Next& next, Step& step);
  void take_point(int i, const Point<double>& point);
  /// Another point for a lane whose gas runs on.
  void move_point(int i, const Point<double>& point);
  void idle_like_the_first(int i);
  /// True when the lane's course is done.
  bool end_cycle(int i);

  Controls controls_;
  bool coarsens_;
  Kernel<T> kernel_;
  WarmUp<T> warm_up_;
  Lane lanes_[kLanes];
  Warm warm_[kLanes];
  int warm_place_ = 0, warm_count_ = 0;
  unsigned steps_ = 0;
};

}  // namespace airchain::cycle

#include "airchain/cycle/lane_cycle.hpp"
