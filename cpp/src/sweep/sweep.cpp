#include "airchain/sweep/sweep.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <string_view>
#include <thread>

#include "airchain/sweep/direct.hpp"
#include "airchain/sweep/kernel.hpp"

namespace airchain::sweep {

namespace {

constexpr std::size_t kTile = 512;

// "engine_speed" is short for its station's field.
std::string_view field_of(std::string_view axis) {
  return axis == "engine_speed" ? "operation.engine_speed" : axis;
}
std::string_view station_of(std::string_view axis) {
  const auto name = field_of(axis);
  return name.substr(0, name.find('.'));
}

// Where an axis lies in a chain, or null.
template <class T>
T* slot_of(chain::Chain<T>& lanes, std::string_view axis, base::Range& range, const char*& unit) {
  T* found = nullptr;
  const auto name = field_of(axis);
  const auto station_name = station_of(axis);
  const auto field = name.substr(std::min(name.size(), station_name.size() + 1));
  chain::for_each_station(lanes, lanes, [&](const char* station, auto& s, auto&) {
    if (station != station_name) return;
    base::for_each_field<std::decay_t<decltype(s)>>([&](const auto& f) {
      if (f.name != field) return;
      found = &(s.*(f.member));
      range = f.range;
      unit = f.unit;
    });
  });
  return found;
}

void check_axes(const chain::Chain<double>& chain, const std::vector<Axis>& axes) {
  if (axes.size() > kMostAxes)
    base::require_that(false, "Sweep", "there are " + std::to_string(axes.size()) + " axes",
                       "at most 16");
  auto probe = chain;
  bool has_speed = chain.operation.engine_speed > 0.0;
  for (std::size_t i = 0; i < axes.size(); ++i) {
    const auto& axis = axes[i];
    base::Range range;
    const char* unit = "";
    if (!slot_of(probe, axis.name, range, unit))
      base::refuse({.where = "Sweep",
                    .field = "axis",
                    .value = "\"" + axis.name + "\"",
                    .rule = "be engine_speed or <station>.<field> of the chain"});
    if (axis.values.empty())
      base::refuse({.where = "Sweep",
                    .field = axis.name,
                    .rule = "be at least one",
                    .statement = "axis " + axis.name + " has no values"});
    for (double value : axis.values)
      if (!range.holds(value)) base::require("Sweep", axis.name, value, unit, range);
    for (std::size_t k = 0; k < i; ++k)
      if (field_of(axes[k].name) == field_of(axis.name))
        base::refuse({.where = "Sweep",
                      .field = axis.name,
                      .rule = "be given once",
                      .statement = "axis " + axis.name + " stands twice"});
    if (field_of(axis.name) == field_of("engine_speed")) has_speed = true;
    if (axis.name == "cooler.effectiveness") {
      const double most = *std::max_element(axis.values.begin(), axis.values.end());
      base::require("Cooler", "effectiveness", most * chain.cooler.shape->highest(), "1",
                    base::between(0.0, 1.0));
    }
  }
  base::require_that(has_speed, {.where = "Sweep",
                                 .field = "engine_speed",
                                 .rule = "be an axis, or set in the chain's operation",
                                 .statement = "engine_speed is missing"});
}

template <class Tag>
struct Worker {
  chain::Chain<Lanes<Tag>> lanes;
  std::vector<Slot<Lanes<Tag>>> slots;

  Worker(const chain::Chain<double>& chain, const std::vector<Axis>& axes)
      : lanes(chain::broadcast<Lanes<Tag>>(chain)) {
    base::Range range;
    const char* unit;
    for (const auto& axis : axes)
      slots.push_back({slot_of(lanes, axis.name, range, unit),
                       chain::Setup<Lanes<Tag>>::depends_on(station_of(axis.name))});
  }
};

template <class Tag, class Tile>
bool run_tiles(const chain::Chain<double>& chain, const std::vector<Axis>& axes, const Grid& grid,
               std::size_t points, const std::vector<int>& wanted, double* const* out, int threads,
               const Progress& progress, Tile tile) {
  std::atomic<std::size_t> next{0};
  std::atomic<std::size_t> finished{0};
  std::atomic<bool> stop{false};
  const auto work = [&](bool watches) {
    Worker<Tag> worker(chain, axes);
    auto told = std::chrono::steady_clock::now();
    while (!stop) {
      const std::size_t first = next.fetch_add(kTile);
      if (first >= points) return;
      const std::size_t count = std::min(kTile, points - first);
      tile(worker.lanes, worker.slots.data(), grid, first, count, wanted.data(),
           static_cast<int>(wanted.size()), out);
      finished += count;
      const auto now = std::chrono::steady_clock::now();
      if (watches && progress && now - told > std::chrono::milliseconds(50)) {
        told = now;
        if (!progress(finished)) stop = true;
      }
    }
  };
  const std::size_t tiles = (points + kTile - 1) / kTile;
  const auto team = std::min<std::size_t>(std::size_t(threads), tiles);
  {
    std::vector<std::jthread> others;
    for (std::size_t i = 1; i < team; ++i) others.emplace_back(work, false);
    work(true);
  }
  if (progress && !stop && !progress(finished)) stop = true;
  return !stop;
}

// The kernel of a single point is that of plain numbers: the same to the last bit, and quicker
// than lanes that repeat it.
void run_point(chain::Chain<double> chain, const std::vector<Axis>& axes,
               const std::vector<int>& wanted, double* const* out) {
  base::Range range;
  const char* unit;
  for (const auto& axis : axes) *slot_of(chain, axis.name, range, unit) = axis.values[0];
  const auto result = chain::solve(chain);
  constexpr auto members = column_members<double>();
  for (std::size_t k = 0; k < wanted.size(); ++k) *out[k] = result.*(members.begin()[wanted[k]]);
}

/// Stations that the cylinder's cycle was made of beside the chain: an axis through one of them
/// would leave the cylinder behind.
bool part_of_the_cylinder(std::string_view axis) {
  const auto station = station_of(axis);
  return station == "fuel" || station == "injection" ||
         (station == "engine" && field_of(axis) != "engine.speed_limit");
}

/// Points of the grid, each a chain with the values of its axes.
std::vector<chain::Chain<double>> chains_of(const chain::Chain<double>& chain,
                                            const std::vector<Axis>& axes, std::size_t points) {
  for (const Axis& axis : axes)
    base::require_that(!part_of_the_cylinder(axis.name), "Sweep", "axis = \"" + axis.name + "\"",
                       "an input that the cylinder's cycle does not depend on; sweep it with a "
                       "breathing surface");
  std::vector<chain::Chain<double>> all(points, chain);
  for (std::size_t i = 0; i < points; ++i) {
    std::size_t rest = i;
    for (std::size_t a = axes.size(); a-- > 0;) {
      base::Range range;
      const char* unit;
      *slot_of(all[i], axes[a].name, range, unit) = axes[a].values[rest % axes[a].values.size()];
      rest /= axes[a].values.size();
    }
  }
  return all;
}

/// The grid of a chain that breathes by cycles.
bool run_cycles_of(const chain::Chain<double>& chain, const std::vector<Axis>& axes,
                   std::size_t points, const std::vector<int>& wanted, double* const* out,
                   int threads, const Progress& progress) {
  std::vector<chain::Result<double>> results(points);
  const bool whole = run_direct(chains_of(chain, axes, points), results.data(), threads, progress);
  constexpr auto members = column_members<double>();
  for (std::size_t k = 0; whole && k < wanted.size(); ++k)
    for (std::size_t i = 0; i < points; ++i) out[k][i] = results[i].*(members.begin()[wanted[k]]);
  return whole;
}

}  // namespace

std::vector<std::string> axis_names() {
  std::vector<std::string> names{"engine_speed"};
  const chain::Chain<double> chain;
  chain::for_each_station(chain, chain, [&](const char* station, const auto& s, const auto&) {
    base::for_each_field<std::decay_t<decltype(s)>>(
        [&](const auto& f) { names.push_back(std::string(station) + "." + f.name); });
  });
  return names;
}

const std::vector<ColumnInfo>& columns() {
  static const std::vector<ColumnInfo> all = [] {
    std::vector<ColumnInfo> list;
    std::apply(
        [&](const auto&... c) {
          (list.push_back({c.name, c.unit, c.words}), ...);
        },
        chain::Result<double>::columns());
    return list;
  }();
  return all;
}

bool has_avx2() {
#ifdef AIRCHAIN_HAS_AVX2
  return __builtin_cpu_supports("avx2");
#else
  return false;
#endif
}

bool has_avx512() {
#ifdef AIRCHAIN_HAS_AVX512
  return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") &&
         __builtin_cpu_supports("avx512vl");
#else
  return false;
#endif
}

std::string instruction_set() { return has_avx512() ? "avx512" : has_avx2() ? "avx2" : "baseline"; }

int threads_of(int threads) {
  base::require("Sweep", "threads", threads, "1", base::between(0, 1024),
                "0 for one on each processor");
  return threads > 0 ? threads
                     : static_cast<int>(std::max(1u, std::thread::hardware_concurrency()));
}

bool run(const chain::Chain<double>& chain, const std::vector<Axis>& axes,
         const std::vector<int>& wanted, double* const* out, int threads,
         const Progress& progress) {
  chain::validate(chain, chain::Cycles::are_run);
  check_axes(chain, axes);
  threads = threads_of(threads);
  for (int column : wanted)
    base::require("Sweep", "column", column, "1", base::between(0, double(columns().size() - 1)));
  Grid grid{static_cast<int>(axes.size()), {}, {}};
  std::size_t points = 1;
  for (std::size_t a = 0; a < axes.size(); ++a) {
    grid.values[a] = axes[a].values.data();
    grid.counts[a] = axes[a].values.size();
    points *= axes[a].values.size();
  }
  if (chain.cylinder) return run_cycles_of(chain, axes, points, wanted, out, threads, progress);
  if (points == 1) {
    run_point(chain, axes, wanted, out);
    return !progress || progress(1);
  }
#ifdef AIRCHAIN_HAS_AVX512
  if (has_avx512())
    return run_tiles<Avx512>(chain, axes, grid, points, wanted, out, threads, progress,
                             run_tile_avx512);
#endif
#ifdef AIRCHAIN_HAS_AVX2
  if (has_avx2())
    return run_tiles<Avx2>(chain, axes, grid, points, wanted, out, threads, progress,
                           run_tile_avx2);
#endif
  return run_tiles<Baseline>(chain, axes, grid, points, wanted, out, threads, progress,
                             run_tile_baseline);
}

chain::Result<double> solve(const chain::Chain<double>& chain) {
  if (chain.cylinder) {
    chain::Result<double> result;
    run_direct({chain}, &result, 1);
    return result;
  }
  chain::validate(chain);
  base::require_fields(chain.operation);
  return chain::solve(chain);
}

}  // namespace airchain::sweep
