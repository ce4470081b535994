// Cost of a converged operating point of one cylinder with its pipes (30 + 30 cells): plain
// numbers, and in lanes on one and two threads; a curve of 13 points and a surface of 13 x 5 x 3.
// Quote ratios from one run, not times across machines.
#include <benchmark/benchmark.h>

#include <stdexcept>

#include "airchain/sweep/cycles.hpp"
#include "support/demo_cycle.hpp"

namespace airchain {
namespace {

using Points = std::vector<cycle::Point<double>>;

Points curve() {
  Points points;
  for (int rpm = 2000; rpm <= 8000; rpm += 500) points.push_back(test::demo_point(rpm));
  return points;
}

Points surface() {
  Points points;
  for (const double exhaust : {101e3, 115e3, 130e3})
    for (const double plenum : {70e3, 100e3, 140e3, 180e3, 230e3})
      for (int rpm = 2000; rpm <= 8000; rpm += 500)
        points.push_back(test::demo_point(rpm, plenum, exhaust));
  return points;
}

void solve(benchmark::State& state, const Points& points, int threads) {
  const auto setup = test::demo_cycle();
  std::vector<cycle::CycleResult> out(points.size());
  double converged = 0.0, cycles = 0.0;
  for (auto _ : state) {
    if (!sweep::run_cycles(setup, points, {}, out.data(), threads))
      throw std::logic_error("stopped");
    benchmark::DoNotOptimize(out.data());
  }
  for (const auto& r : out) {
    converged += r.converged ? 1.0 : 0.0;
    cycles += r.cycles;
  }
  state.counters["converged"] = converged / double(points.size());
  state.counters["cycles"] = cycles / double(points.size());
  state.counters["points"] = double(points.size());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(points.size()));
}

void plain_point(benchmark::State& state) {
  const auto setup = test::demo_cycle();
  const auto points = curve();
  std::size_t i = 0;
  for (auto _ : state) {
    benchmark::DoNotOptimize(cycle::solve_line(setup, {points[i]})[0].imep);
    i = (i + 1) % points.size();
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(plain_point)->Unit(benchmark::kMillisecond)->Iterations(26);

void curve_in_lanes(benchmark::State& state) { solve(state, curve(), int(state.range(0))); }
BENCHMARK(curve_in_lanes)->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);

void surface_in_lanes(benchmark::State& state) { solve(state, surface(), int(state.range(0))); }
BENCHMARK(surface_in_lanes)->Arg(1)->Arg(2)->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace airchain
