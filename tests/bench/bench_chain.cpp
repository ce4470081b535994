// Cost of a point, `matched` the share that has an answer: alone, the same with every field of the
// chain checked first, and in a grid on one and two threads; `..._surface` breathe by a surface.
// Quote ratios from one run, not times across machines.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cstdint>
#include <stdexcept>
#include <string>
#include <vector>

#include "airchain/chain/solve.hpp"
#include "airchain/sweep/sweep.hpp"
#include "support/demo_surface.hpp"

namespace airchain {
namespace {

int column(const std::string& name) {
  const auto& all = sweep::columns();
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const auto& c) { return c.name == name; });
  return static_cast<int>(found - all.begin());
}

template <class Solve>
void one_by_one(benchmark::State& state, chain::Chain<double> c, Solve&& solve) {
  double speed = 600.0;
  for (auto _ : state) {
    c.operation.engine_speed = speed = speed < 780.0 ? speed + 0.37 : 600.0;
    benchmark::DoNotOptimize(solve(c).power);
  }
  state.SetItemsProcessed(state.iterations());
}
void alone(benchmark::State& state) {
  one_by_one(state, test::boosted_chain(), [](const auto& c) { return chain::solve(c); });
}
BENCHMARK(alone);
void alone_surface(benchmark::State& state) {
  one_by_one(state, test::chain_with_surface(), [](const auto& c) { return chain::solve(c); });
}
BENCHMARK(alone_surface);
void alone_checked(benchmark::State& state) {
  one_by_one(state, test::boosted_chain(), [](const auto& c) { return sweep::solve(c); });
}
BENCHMARK(alone_checked);

void run_grid(benchmark::State& state, const chain::Chain<double>& c) {
  sweep::Axis speed{"engine_speed", {}};
  for (int i = 0; i < 10000; ++i) speed.values.push_back(600.0 + 0.018 * i);
  const std::vector<sweep::Axis> axes{{"drive.drive_ratio", {0.92, 0.96, 1.0, 1.04, 1.08}}, speed};
  const std::size_t points = 5 * speed.values.size();
  std::vector<double> power(points), status(points);
  double* out[] = {power.data(), status.data()};
  const std::vector<int> wanted{column("power"), column("status")};
  const int threads = static_cast<int>(state.range(0));
  for (auto _ : state) {
    if (!sweep::run(c, axes, wanted, out, threads)) throw std::logic_error("stopped");
    benchmark::DoNotOptimize(power.data());
  }
  const auto matched = std::count(status.begin(), status.end(), 0.0);
  state.counters["matched"] = double(matched) / double(points);
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(points));
}
void grid(benchmark::State& state) { run_grid(state, test::boosted_chain()); }
void grid_surface(benchmark::State& state) { run_grid(state, test::chain_with_surface()); }
BENCHMARK(grid)->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);
BENCHMARK(grid_surface)->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace airchain
