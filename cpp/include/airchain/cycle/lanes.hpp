#pragma once

#include <cstddef>
#include <vector>

#include "airchain/cycle/kernel.hpp"

namespace airchain::cycle {

/// Points solved one after the other, each from the one before; the first from gas at rest.
struct Line {
  std::size_t first, count;
};

/// Solves lines of operating points in the lanes of a kernel. A lane that has finished its line
/// takes the next; what it computes depends on its line alone.
template <class T>
class LineRunner {
 public:
  LineRunner(const Setup& setup, const pipe::Shape& intake, const pipe::Shape& exhaust,
             const Controls& controls)
      : controls_(controls), kernel_(setup, intake, exhaust, controls) {}

  /// `next` gives the next line, or one of no points when there is none left.
  template <class Next>
  void run(const Point<double>* points, CycleResult* results, Next&& next) {
    points_ = points;
    results_ = results;
    int active = 0;
    for (int i = 0; i < kLanes; ++i) {
      lanes_[i] = {};
      lanes_[i].line = next();
      if (lanes_[i].line.count == 0) continue;
      ++active;
      begin_line(i);
    }
    if (active == 0) return;
    for (int i = 0; i < kLanes; ++i)
      if (lanes_[i].line.count == 0) idle_like_the_first(i);
    while (active > 0) {
      kernel_.step([](const auto&...) {});
      for (int i = 0; i < kLanes; ++i) {
        if (numerics::lane(kernel_.angle, i) < kernel_.end_angle() - 1e-9) continue;
        if (lanes_[i].line.count == 0) {
          begin_cycle(i);
          continue;
        }
        if (!end_cycle(i)) continue;
        lanes_[i].line = next();
        if (lanes_[i].line.count == 0) {
          --active;
          begin_cycle(i);
        } else {
          begin_line(i);
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
    Line line{0, 0};
    std::size_t place = 0;  // of the point in its line
    int cycles = 0, calm = 0;
    double fresh = 0.0, work = 0.0;  // of the cycle before
    double stored_mass = 0.0, stored_energy = 0.0;
  };

  double of(const T& value, int i) const { return numerics::lane(value, i); }
  static void put(T& value, int i, double x) { numerics::set_lane(value, i, x); }

  void begin_line(int i) {
    lanes_[i].place = 0;
    take_point(i);
    fill(i);
    begin_cycle(i);
  }
  void take_point(int i);
  void fill(int i);
  void idle_like_the_first(int i);
  /// True when the lane's line is done.
  bool end_cycle(int i);
  CycleResult result_of(int i, double fresh_now) const;
  double stored(int i, T pipe::Cell<T>::*member, const T& in_vessel) const;

  Controls controls_;
  Kernel<T> kernel_;
  Lane lanes_[kLanes];
  const Point<double>* points_ = nullptr;
  CycleResult* results_ = nullptr;
};

}  // namespace airchain::cycle

#include "airchain/cycle/lane_cycle.hpp"
