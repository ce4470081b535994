// Nanoseconds a matched point: alone, and in a grid on one and two threads.
// Quote ratios from one run, not times across machines.
#include <benchmark/benchmark.h>

#include "airchain/sweep/sweep.hpp"
#include "support/demo_chain.hpp"

namespace airchain {
namespace {

void alone(benchmark::State& state) {
  auto c = test::boosted_chain();
  double speed = 600.0;
  for (auto _ : state) {
    c.operation.engine_speed = speed = speed < 780.0 ? speed + 0.37 : 600.0;
    benchmark::DoNotOptimize(sweep::solve(c).power);
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(alone);

void grid(benchmark::State& state) {
  constexpr int kPoints = 50000;
  const auto c = test::boosted_chain();
  sweep::Axis speed{"engine_speed", {}};
  for (int i = 0; i < kPoints; ++i) speed.values.push_back(600.0 + 180.0 * i / kPoints);
  std::vector<double> power(speed.values.size());
  double* out[] = {power.data()};
  const int threads = static_cast<int>(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(sweep::run(c, {speed}, {3}, out, threads));
  state.SetItemsProcessed(state.iterations() * kPoints);
}
BENCHMARK(grid)->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace airchain
