#include "airchain/sweep/engines.hpp"

#include <gtest/gtest.h>

#include "airchain/sweep/engine_kernel.hpp"
#include "support/demo_engine.hpp"
#include "support/lanes.hpp"

namespace airchain::sweep {

namespace {

engine::Engine small_engine() {
  test::DemoEngine size;
  size.intake_cells = size.exhaust_cells = 8;
  auto e = test::demo_v_eight("crossplane", size);
  size.primary = 0.9;  // two kinds, so that lanes stay idle
  e.kinds.push_back(test::demo_cycle(size));
  e.kind = {0, 0, 1, 0, 0, 0, 0, 1};
  e.plenum = {test::demo_plenum()};
  e.collectors = {test::demo_collector(1e-3, 0.1016, 6.0)};
  return e;
}

void expect_same(const engine::EngineResult& a, const engine::EngineResult& b) {
  ASSERT_EQ(a.cylinders.size(), b.cylinders.size());
  for (std::size_t c = 0; c < a.cylinders.size(); ++c)
    for (const auto& number : cycle::kResultNumbers)
      EXPECT_TRUE(test::same_bits(a.cylinders[c].*number.member, b.cylinders[c].*number.member))
          << number.name << " of cylinder " << c + 1;
  EXPECT_TRUE(test::same_bits(a.rooms[0].pressure, b.rooms[0].pressure));
  EXPECT_TRUE(test::same_bits(a.rooms[2].temperature, b.rooms[2].temperature));
  EXPECT_EQ(a.rounds, b.rounds);
}

[[maybe_unused]] engine::EngineResult by(RunEngine run, const engine::Engine& e,
                                         const engine::EnginePoint& point) {
  const engine::Prepared prepared(e);
  engine::EngineResult result;
  engine::Summary summary{};
  auto task = prepared.task(point, {}, result, summary);
  task.go_on = [](void*) { return true; };
  EXPECT_TRUE(run(task));
  engine::Prepared::finish(summary, result);
  return result;
}

}  // namespace

TEST(Engines, LanesOfEverySetAgreeWithPlainNumbersToTheLastBit) {
  const auto e = small_engine();
  const auto point = test::demo_engine_point(5100, 130e3, 110e3);
  const auto plain = engine::solve(e, point);
  ASSERT_TRUE(plain.converged);
  std::vector<engine::EngineResult> best(1);
  EXPECT_TRUE(run_engines(e, {point}, {}, best.data(), 1));
  expect_same(plain, best[0]);
#ifdef AIRCHAIN_HAS_AVX2
  if (has_avx2()) expect_same(plain, by(run_engine_avx2, e, point));
#endif
#ifdef AIRCHAIN_HAS_AVX512
  if (has_avx512()) expect_same(plain, by(run_engine_avx512, e, point));
#endif
}

TEST(Engines, ThreadsAndNeighboursMoveNothing) {
  const auto e = small_engine();
  std::vector<engine::EnginePoint> points;
  for (const double rpm : {3100.0, 4700.0, 6300.0}) points.push_back(test::demo_engine_point(rpm));
  std::vector<engine::EngineResult> one(3), two(3), alone(1);
  std::vector<engine::EngineTrace> traces(3);
  EXPECT_TRUE(run_engines(e, points, {}, one.data(), 1));
  std::size_t told = 0;
  EXPECT_TRUE(run_engines(
      e, points, {}, two.data(), 2,
      [&](std::size_t done) {
        told = done;
        return true;
      },
      traces.data()));
  EXPECT_EQ(told, 3u);
  EXPECT_TRUE(run_engines(e, {points[1]}, {}, alone.data(), 1));
  for (std::size_t i = 0; i < 3; ++i) {
    expect_same(one[i], two[i]);
    EXPECT_GT(traces[i].values.size(), 200 * traces[i].columns);
  }
  expect_same(one[1], alone[0]);
}

TEST(Engines, StopWithinAPoint) {
  std::vector<engine::EngineResult> out(1);
  std::size_t calls = 0;
  EXPECT_FALSE(run_engines(small_engine(), {test::demo_engine_point(1000)}, {}, out.data(), 1,
                           [&](std::size_t) { return ++calls < 1; }));
  EXPECT_GE(calls, 1u);
}

}  // namespace airchain::sweep
