#include "airchain/sweep/cycles.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <numeric>
#include <thread>

#include "airchain/sweep/cycle_kernel.hpp"

namespace airchain::sweep {

namespace {

/// The points in order of falling cost, so that no thread begins a long one last.
struct Queue {
  std::vector<std::size_t> order;
  std::atomic<std::size_t> taken{0};
  std::atomic<bool> stop{false};
  std::size_t lanes_ahead;
  const Progress* progress;
  std::chrono::steady_clock::time_point told = std::chrono::steady_clock::now();

  Queue(const std::vector<cycle::Point<double>>& points, const Progress& wanted)
      : order(points.size()), lanes_ahead(0), progress(&wanted) {
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return points[a].speed < points[b].speed;
    });
  }

  long long next(bool watches) {
    if (stop) return -1;
    const std::size_t place = taken.fetch_add(1);
    if (watches && *progress) {
      const auto now = std::chrono::steady_clock::now();
      if (now - told > std::chrono::milliseconds(50)) {
        told = now;
        const std::size_t begun = std::min(place, order.size());
        if (!(*progress)(begun > lanes_ahead ? begun - lanes_ahead : 0)) stop = true;
      }
    }
    return place < order.size() ? static_cast<long long>(order[place]) : -1;
  }
};

template <bool Watches>
long long next_of(void* queue) {
  return static_cast<Queue*>(queue)->next(Watches);
}

RunPoints best_runner() {
#ifdef AIRCHAIN_HAS_AVX2
  if (__builtin_cpu_supports("avx2")) return run_points_avx2;
#endif
  // Plain numbers: lanes of two registers gain nothing where a step is bound by its own latency.
  return [](const cycle::Setup& setup, const pipe::Shape& intake, const pipe::Shape& exhaust,
            const cycle::Controls& controls, const cycle::Point<double>* points,
            cycle::CycleResult* out, const PointSource& source) {
    cycle::LineRunner<double> runner(setup, intake, exhaust, controls);
    runner.run(points, out, [&] {
      const long long next = source.next(source.context);
      return next < 0 ? cycle::Line{0, 0} : cycle::Line{static_cast<std::size_t>(next), 1};
    });
  };
}

}  // namespace

bool run_cycles(const cycle::Setup& setup, const std::vector<cycle::Point<double>>& points,
                const cycle::Controls& controls, cycle::CycleResult* out, int threads,
                const Progress& progress) {
  cycle::validate(setup, points, controls);
  const pipe::Shape intake(setup.intake.taper, setup.intake.cells);
  const pipe::Shape exhaust(setup.exhaust.taper, setup.exhaust.cells);
  if (threads <= 0) threads = static_cast<int>(std::max(1u, std::thread::hardware_concurrency()));
  const std::size_t most = (points.size() + kCycleWidth - 1) / kCycleWidth;
  const std::size_t team = std::min(static_cast<std::size_t>(threads), most);
  Queue queue(points, progress);
  queue.lanes_ahead = team * kCycleWidth;
  const RunPoints run = best_runner();
  {
    std::vector<std::jthread> others;
    const auto work = [&](PointSource source) {
      run(setup, intake, exhaust, controls, points.data(), out, source);
    };
    for (std::size_t i = 1; i < team; ++i)
      others.emplace_back(work, PointSource{&queue, next_of<false>});
    work({&queue, next_of<true>});
  }
  if (progress && !queue.stop && !progress(points.size())) queue.stop = true;
  return !queue.stop;
}

}  // namespace airchain::sweep
