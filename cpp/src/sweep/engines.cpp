#include "airchain/sweep/engines.hpp"

#include "airchain/base/guards.hpp"
#include "airchain/sweep/courses.hpp"
#include "airchain/sweep/engine_kernel.hpp"

namespace airchain::sweep {

namespace {

RunEngine best_engine_runner() {
#ifdef AIRCHAIN_HAS_AVX512
  if (has_avx512()) return run_engine_avx512;
#endif
#ifdef AIRCHAIN_HAS_AVX2
  if (has_avx2()) return run_engine_avx2;
#endif
  return run_engine<double>;
}

/// A point that runs: where it keeps its rows, and whom it asks.
struct Running {
  Watch* watch;
  engine::EngineTrace* trace;
  std::vector<double> row;

  static bool ask(void* running) { return static_cast<Running*>(running)->watch->count(0); }
  static void keep(void* running) {
    auto& self = *static_cast<Running*>(running);
    auto& values = self.trace->values;
    values.insert(values.end(), self.row.begin(), self.row.end());
  }
};

}  // namespace

bool run_engines(const engine::Engine& engine, const std::vector<engine::EnginePoint>& points,
                 const cycle::Controls& controls, engine::EngineResult* out, int threads,
                 const Progress& progress, engine::EngineTrace* traces) {
  engine::validate(engine, points, controls);
  const engine::Prepared prepared(engine);
  const RunEngine run = best_engine_runner();
  threads = threads_of(threads);
  const std::size_t team = std::min(static_cast<std::size_t>(threads), points.size());
  Watch watch(progress);
  std::atomic<std::size_t> taken{0};
  {
    const auto work = [&] {
      for (std::size_t i = 0; !watch.stopped() && (i = taken.fetch_add(1)) < points.size();) {
        Running running{&watch, traces == nullptr ? nullptr : traces + i,
                        std::vector<double>(prepared.row_size())};
        engine::Summary summary{};
        engine::Task task = prepared.task(points[i], controls, out[i], summary);
        task.context = &running;
        task.go_on = Running::ask;
        task.row = running.row.data();
        if (running.trace != nullptr) {
          *running.trace = {{}, prepared.row_size()};
          task.watch = Running::keep;
        }
        if (!run(task)) return;
        engine::Prepared::finish(summary, out[i]);
        watch.count(1);
      }
    };
    std::vector<std::jthread> others;
    for (std::size_t i = 1; i < team; ++i) others.emplace_back(work);
    work();
  }
  return watch.finish();
}

}  // namespace airchain::sweep
