#include "airchain/sweep/sweep.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <numeric>
#include <random>

#include "airchain/sweep/kernel.hpp"
#include "support/bad_input.hpp"
#include "support/demo_surface.hpp"
#include "support/lanes.hpp"

namespace airchain::sweep {
namespace {

std::vector<Axis> grid_axes() {
  Axis speed{"engine_speed", {}};
  for (int i = 0; i < 61; ++i) speed.values.push_back(300.0 + 8.0 * i);
  return {{"drive.drive_ratio", {0.6, 0.9, 1.0, 1.15, 1.4}},
          {"ambient.relative_humidity", {0.0, 1.0}},
          {"cooler.coolant_temperature", {274.0, 310.0}},
          speed};
}

std::size_t power_column() {
  std::size_t k = 0;
  while (columns()[k].name != "power") ++k;
  return k;
}

std::vector<std::vector<double>> run_all(
    const std::vector<Axis>& axes, int threads,
    const chain::Chain<double>& chain = test::boosted_chain()) {
  std::size_t points = 1;
  for (const auto& axis : axes) points *= axis.values.size();
  std::vector<std::vector<double>> results(columns().size(), std::vector<double>(points));
  std::vector<double*> out;
  std::vector<int> wanted;
  for (auto& column : results) {
    wanted.push_back(static_cast<int>(out.size()));
    out.push_back(column.data());
  }
  EXPECT_TRUE(run(chain, axes, wanted, out.data(), threads));
  return results;
}

TEST(Sweep, IsBitwiseTheSameForAnyNumberOfThreads) {
  const auto one = run_all(grid_axes(), 1);
  for (int threads : {2, 3, 7}) {
    const auto many = run_all(grid_axes(), threads);
    for (std::size_t k = 0; k < one.size(); ++k)
      EXPECT_EQ(0, std::memcmp(one[k].data(), many[k].data(), 8 * one[k].size()))
          << columns()[k].name;
  }
}

void expect_batch_is_every_point_alone(const chain::Chain<double>& chain) {
  const auto axes = grid_axes();
  const auto all = run_all(axes, 2, chain);
  std::size_t index = 0;
  int solved = 0;
  for (double ratio : axes[0].values)
    for (double humidity : axes[1].values)
      for (double coolant : axes[2].values)
        for (double speed : axes[3].values) {
          auto c = chain;
          c.drive.drive_ratio = ratio;
          c.ambient.relative_humidity = humidity;
          c.cooler.coolant_temperature = coolant;
          c.operation.engine_speed = speed;
          const auto r = solve(c);
          std::size_t k = 0;
          std::apply(
              [&](const auto&... column) {
                const auto check = [&](double value) {
                  const double batch = all[k++][index];
                  EXPECT_TRUE(test::same_bits(value, batch) ||
                              (std::isnan(value) && std::isnan(batch)))
                      << columns()[k - 1].name << " " << value << " " << batch;
                };
                (check(r.*(column.member)), ...);
              },
              chain::Result<double>::columns());
          solved += r.status == 0.0;
          ++index;
        }
  EXPECT_GT(solved, 300);
  EXPECT_LT(solved, int(index));  // the grid also holds points without an answer
}

TEST(Sweep, IsBitwiseThePointSolvedAlone) {
  expect_batch_is_every_point_alone(test::boosted_chain());
}

TEST(Sweep, IsBitwiseThePointSolvedAloneOnASurface) {
  expect_batch_is_every_point_alone(test::chain_with_surface());
}

TEST(Sweep, IsBitwiseThePointSolvedAloneWithAllCylinders) {
  expect_batch_is_every_point_alone(test::chain_with_all_cylinders());
}

/// Columns of a chain at speeds, in the lanes of a set.
template <class Tag, class Tile>
std::vector<std::vector<double>> in_lanes_of(const chain::Chain<double>& chain,
                                             const std::vector<double>& speeds, Tile tile) {
  auto lanes = chain::broadcast<Lanes<Tag>>(chain);
  const Slot<Lanes<Tag>> slot{&lanes.operation.engine_speed, false};
  const Grid grid{1, {speeds.data()}, {speeds.size()}};
  std::vector<std::vector<double>> results(columns().size(), std::vector<double>(speeds.size()));
  std::vector<double*> out;
  std::vector<int> wanted;
  for (auto& column : results) {
    wanted.push_back(static_cast<int>(out.size()));
    out.push_back(column.data());
  }
  tile(lanes, &slot, grid, 0, speeds.size(), wanted.data(), static_cast<int>(wanted.size()),
       out.data());
  return results;
}

void expect_same_bits(const std::vector<std::vector<double>>& a,
                      const std::vector<std::vector<double>>& b,
                      const std::vector<std::size_t>& place_in_b) {
  for (std::size_t k = 0; k < a.size(); ++k)
    for (std::size_t i = 0; i < place_in_b.size(); ++i) {
      const double one = a[k][i], other = b[k][place_in_b[i]];
      ASSERT_TRUE(test::same_bits(one, other) || (std::isnan(one) && std::isnan(other)))
          << columns()[k].name << ' ' << one << ' ' << other;
    }
}

// Points without an answer too, wet ones and those that vent: nothing may leak from lane to lane.
TEST(Sweep, IsBitwiseTheSameInAnyOrderAndInLanesOfAnyWidth) {
  std::mt19937_64 draw(5);
  const auto within = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(draw);
  };
  for (int trial = 0; trial < 60; ++trial) {
    auto c = test::boosted_chain();
    c.ambient.relative_humidity = within(0.0, 1.0);
    c.bypass = {std::pow(10.0, within(2.5, 5.5)), std::pow(10.0, within(-6.0, -2.0))};
    if (trial % 2) c.discharge.loss_coefficient = std::pow(10.0, within(0.0, 4.0));
    if (trial % 4 > 1) c.compressor.flow_scale = within(0.5, 2.0);
    if (trial % 4 > 1) c.compressor.head_scale = within(0.5, 1.5);
    c.drive.step_up = within(1.0, 12.0);
    std::vector<double> speeds(200);
    for (double& speed : speeds) speed = within(20.0, 2500.0);
    std::vector<std::size_t> order(speeds.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto first = in_lanes_of<Baseline>(c, speeds, run_tile_baseline);
#ifdef AIRCHAIN_HAS_AVX2
    if (has_avx2()) expect_same_bits(first, in_lanes_of<Avx2>(c, speeds, run_tile_avx2), order);
#endif
#ifdef AIRCHAIN_HAS_AVX512
    if (has_avx512())
      expect_same_bits(first, in_lanes_of<Avx512>(c, speeds, run_tile_avx512), order);
#endif
    auto mixed = order;
    std::shuffle(mixed.begin(), mixed.end(), draw);
    std::vector<double> there(speeds.size());
    std::vector<std::size_t> place(speeds.size());
    for (std::size_t i = 0; i < mixed.size(); ++i) {
      there[i] = speeds[mixed[i]];
      place[mixed[i]] = i;
    }
    expect_same_bits(first, run_all({{"engine_speed", there}}, 2, c), place);
    if (HasFatalFailure()) FAIL() << "trial " << trial;
  }
}

TEST(Sweep, StopsWhenToldTo) {
  Axis speed{"engine_speed", std::vector<double>(200000, 700.0)};
  std::vector<double> power(speed.values.size());
  double* out[] = {power.data()};
  std::size_t seen = 0;
  const bool finished = run(test::boosted_chain(), {speed}, {3}, out, 1, [&](std::size_t done) {
    seen = done;
    return false;
  });
  EXPECT_FALSE(finished);
  EXPECT_GT(seen, 0u);
  EXPECT_LE(seen, speed.values.size());
}

TEST(Sweep, NamesTheBadInput) {
  const auto refuse = [](const Axis& axis, const char* words) {
    double value;
    double* out[] = {&value};
    test::expect_refusal([&] { run(test::boosted_chain(), {axis}, {0}, out, 1); }, words);
  };
  refuse({"drive.drive_ration", {1.0}}, "axis = \"drive.drive_ration\"; must be engine_speed or");
  refuse({"drive.drive_ratio", {}}, "axis drive.drive_ratio has no values");
  refuse({"drive.drive_ratio", {1.0, -1.0}}, "drive.drive_ratio = -1; must be between 0.05 and 20");
  refuse({"engine_speed", {std::nan("")}}, "engine_speed = nan rad/s");
  double value;
  double* out[] = {&value};
  for (int threads : {-1, 1000000})
    test::expect_refusal([&] { run(test::boosted_chain(), {}, {0}, out, threads); },
                         "Sweep: threads = ");
}

TEST(Sweep, EveryNumberOfEveryStationMayBeSwept) {
  const auto names = axis_names();
  EXPECT_GT(names.size(), 60u);
  for (const char* name : {"ambient.pressure", "cooler.effectiveness", "engine.compression_ratio",
                           "injection.lambda", "compressor.flow_scale", "throttle.opening"})
    EXPECT_NE(std::find(names.begin(), names.end(), name), names.end()) << name;
}

// A pull shares what depends on neither speed nor drive: an axis wrongly counted among the shared
// would leave the second pull with the first one's numbers.
TEST(Sweep, EveryAxisIsSeenAtEveryPoint) {
  const auto base = test::boosted_chain();
  const Axis speed{"engine_speed", {600.0, 640.0, 680.0}};
  chain::for_each_station(base, base, [&](const char* station, const auto& s, const auto&) {
    base::for_each_field<std::decay_t<decltype(s)>>([&](const auto& f) {
      const std::string name = std::string(station) + "." + f.name;
      if (name == "operation.engine_speed") return;
      const double value = s.*(f.member);
      const double other = f.range.holds(value * 1.01 + 1e-3) ? value * 1.01 + 1e-3 : value * 0.99;
      if (!f.range.holds(other) || !std::isfinite(other)) return;
      double power[6], alone[3];
      double* out[] = {power};
      double* out_alone[] = {alone};
      const std::vector<int> wanted{static_cast<int>(power_column())};
      run(base, {{name, {value, other}}, speed}, wanted, out, 1);
      run(base, {{name, {other}}, speed}, wanted, out_alone, 1);
      for (int i = 0; i < 3; ++i)
        EXPECT_TRUE(test::same_bits(power[3 + i], alone[i]) || std::isnan(alone[i])) << name;
    });
  });
}

}  // namespace
}  // namespace airchain::sweep
