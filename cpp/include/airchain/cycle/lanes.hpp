#pragma once

#include "airchain/cycle/course.hpp"
#include "airchain/cycle/kernel.hpp"

namespace airchain::cycle {

/// Solves courses of operating points in the lanes of a kernel. A lane that has finished its course
/// takes the next.
template <class T>
class CourseRunner {
 public:
  CourseRunner(const Setup& setup, const pipe::Shape& intake, const pipe::Shape& exhaust,
               const Controls& controls)
      : controls_(controls), kernel_(setup, intake, exhaust, controls) {}

  /// `next` gives the next course, or none when there is none left.
  template <class Next>
  void run(Next&& next) {
    int active = 0;
    for (int i = 0; i < kLanes; ++i) {
      lanes_[i] = {};
      lanes_[i].course = next();
      if (lanes_[i].course == nullptr) continue;
      ++active;
      begin_course(i);
    }
    if (active == 0) return;
    for (int i = 0; i < kLanes; ++i)
      if (lanes_[i].course == nullptr) idle_like_the_first(i);
    while (active > 0) {
      kernel_.step([](const auto&...) {});
      for (int i = 0; i < kLanes; ++i) {
        if (numerics::lane(kernel_.angle, i) < kernel_.end_angle() - 1e-9) continue;
        if (lanes_[i].course == nullptr) {
          begin_cycle(i);
          continue;
        }
        if (!end_cycle(i)) continue;
        lanes_[i].course = next();
        if (lanes_[i].course == nullptr) {
          --active;
          begin_cycle(i);
        } else {
          begin_course(i);
        }
      }
    }
  }

  Kernel<T>& kernel() { return kernel_; }
  /// For one watched cycle of a plain kernel after `run`: the cycle starts afresh.
  void begin_cycle(int i);

 private:
  static constexpr int kLanes = numerics::kLanes<T>;

  struct Lane {
    Course* course = nullptr;
    int cycles = 0, calm = 0;
    double fresh = 0.0, work = 0.0;  // of the cycle before
    double stored_mass = 0.0, stored_energy = 0.0;
  };

  double of(const T& value, int i) const { return numerics::lane(value, i); }
  static void put(T& value, int i, double x) { numerics::set_lane(value, i, x); }

  void begin_course(int i) {
    take_point(i, lanes_[i].course->point());
    fill(i);
    begin_cycle(i);
  }
  void take_point(int i, const Point<double>& point);
  void fill(int i);
  void idle_like_the_first(int i);
  /// True when the lane's course is done.
  bool end_cycle(int i);
  CycleResult result_of(int i, double fresh_now) const;
  double leaving_temperature(int i) const;
  double stored(int i, T pipe::Cell<T>::*member, const T& in_vessel) const;

  Controls controls_;
  Kernel<T> kernel_;
  Lane lanes_[kLanes];
};

}  // namespace airchain::cycle

#include "airchain/cycle/lane_cycle.hpp"
