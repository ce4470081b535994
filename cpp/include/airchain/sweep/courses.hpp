#pragma once

#include <algorithm>
#include <atomic>
#include <chrono>
#include <numeric>
#include <thread>
#include <vector>

#include "airchain/cycle/course.hpp"
#include "airchain/sweep/cycle_kernel.hpp"
#include "airchain/sweep/sweep.hpp"

// Courses of one cylinder's points over threads and lanes.
namespace airchain::sweep {

using Points = std::vector<cycle::Point<double>>;
using Clock = std::chrono::steady_clock;

/// Counts what is done and tells the caller now and then, on the thread that called.
class Watch {
 public:
  explicit Watch(const Progress& progress) : progress_(progress) {}

  /// False when the caller wants to stop.
  bool count(std::size_t done) {
    const std::size_t all = done_.fetch_add(done) + done;
    if (progress_ && std::this_thread::get_id() == caller_) {
      const auto now = Clock::now();
      if (now - told_ > std::chrono::milliseconds(50)) {
        told_ = now;
        if (!progress_(all)) stopped_ = true;
      }
    }
    return !stopped_;
  }
  bool finish() {
    if (progress_ && !stopped_ && !progress_(done_)) stopped_ = true;
    return !stopped_;
  }
  bool stopped() const { return stopped_; }

 private:
  const Progress& progress_;
  std::thread::id caller_ = std::this_thread::get_id();
  Clock::time_point told_ = Clock::now();
  std::atomic<std::size_t> done_{0};
  std::atomic<bool> stopped_{false};
};

/// A course that is counted when it ends, and cut short where the caller wants to stop.
template <class Inner>
class Watched final : public cycle::Course {
 public:
  Watched(Inner inner, Watch& watch, std::size_t points)
      : inner_(std::move(inner)), watch_(&watch), points_(points) {}

  cycle::Point<double> point() const override { return inner_.point(); }
  bool moves(const cycle::CycleResult& result) override { return inner_.moves(result); }
  bool take(const cycle::CycleResult& result) override {
    const bool more = inner_.take(result);
    return watch_->count(more ? 0 : points_) && more;
  }

 private:
  Inner inner_;
  Watch* watch_;
  std::size_t points_;
};

/// Courses in order of falling cost, so that no thread begins a long one last.
template <class Course>
struct Queue {
  std::vector<Course>& courses;
  std::vector<std::size_t> order;
  Watch& watch;
  std::atomic<std::size_t> taken{0};

  Queue(std::vector<Course>& all, const Points& points, Watch& w)
      : courses(all), order(all.size()), watch(w) {
    const std::size_t line = points.size() / all.size();
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return points[a * line].speed < points[b * line].speed;
    });
  }
  static bool go_on(void* queue) { return static_cast<Queue*>(queue)->watch.count(0); }
  static cycle::Course* next(void* queue) {
    auto& q = *static_cast<Queue*>(queue);
    const std::size_t place = q.watch.stopped() ? q.order.size() : q.taken.fetch_add(1);
    return place < q.order.size() ? &q.courses[q.order[place]] : nullptr;
  }
};

/// How a thread runs courses, and how many at a time.
struct Runner {
  RunLanes run;
  std::size_t lanes;
};
inline Runner best_runner() {
#ifdef AIRCHAIN_HAS_AVX512
  if (has_avx512()) return {run_lanes_avx512, 8};
#endif
#ifdef AIRCHAIN_HAS_AVX2
  if (has_avx2()) return {run_lanes_avx2, 4};
#endif
  // Plain numbers: lanes of two registers gain nothing where a step is bound by its own latency.
  return {run_lanes<double>, 1};
}

/// Runs courses of as many points each; false when `progress` stopped it.
template <class Inner>
bool run_courses(const cycle::Setup& setup, const Points& points, const cycle::Controls& controls,
                 int threads, const Progress& progress, std::vector<Inner> inner) {
  const cycle::Grids grids(setup);
  threads = threads_of(threads);
  const Runner runner = best_runner();
  const std::size_t most = (inner.size() + runner.lanes - 1) / runner.lanes;
  const std::size_t team = std::min(static_cast<std::size_t>(threads), most);
  Watch watch(progress);
  std::vector<Watched<Inner>> courses;
  courses.reserve(inner.size());
  for (Inner& course : inner)
    courses.emplace_back(std::move(course), watch, points.size() / inner.size());
  Queue<Watched<Inner>> queue(courses, points, watch);
  {
    const auto work = [&] {
      runner.run(setup, grids, controls, {&queue, &queue.go_on, &queue.next});
    };
    std::vector<std::jthread> others;
    for (std::size_t i = 1; i < team; ++i) others.emplace_back(work);
    work();
  }
  return watch.finish();
}

}  // namespace airchain::sweep
