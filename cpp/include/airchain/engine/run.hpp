#pragma once

#include <vector>

#include "airchain/cycle/lanes.hpp"
#include "airchain/engine/rooms.hpp"

// One operating point of a whole engine: its cylinders in lanes, step by step together.
namespace airchain::engine {

/// Rounds on the coarse grid before those on the fine one: where all rooms are still, as many as a
/// point of one cylinder takes; else up to so many, until the rooms have nearly settled too.
inline constexpr int kCoarseRounds = 12;
inline constexpr double kCoarseTolerance = 3e-3;
inline constexpr int kStepsUnasked = 64;

/// Sums over cycles, so that a round's balance may begin and end within them.
template <class T>
struct LaneSums {
  double walls_and_fuel = 0.0;  ///< heat into the gas less work of it, of the cycles that are over
};

/// As many cylinders of one kind as there are lanes; idle lanes repeat the last one.
template <class T>
struct Bundle {
  static constexpr int kLanes = numerics::kLanes<T>;

  cycle::Kernel<T> kernel;
  double mouth, outlet;  ///< area of a runner's mouth and of a primary's end [m^2]
  int count = 0;
  int cylinder[kLanes];
  cycle::LaneCycles<T> cycles[kLanes];
  LaneSums<T> sums[kLanes];

  Bundle(const Group& group, int first, bool coarse, const cycle::Controls& controls)
      : kernel(*group.setup, coarse ? *group.coarse_intake : *group.intake,
               coarse ? *group.coarse_exhaust : *group.exhaust, controls),
        mouth(group.intake->left_area()),
        outlet(group.exhaust->left_area()) {
    for (int i = 0; i < kLanes; ++i) {
      const bool real = first + i < group.count;
      if (real) ++count;
      cylinder[i] = group.cylinders[real ? first + i : group.count - 1];
    }
  }
};

/// All cylinders at one time step: the least `longest_step` of any lane, so that every cylinder
/// keeps its place in the firing order, cut where any cycle ends. A lane whose cycle has ended
/// tells its result and begins the next; the others go on. A round ends with the first cylinder's
/// cycle. Bundles and rooms are gone through in the order of the cylinders, so that an engine's
/// result does not depend on how many lanes there are.
template <class T>
class Run {
 public:
  explicit Run(const Task& task)
      : task_(task),
        fine_(task, false),
        coarse_(task, task.coarsens),
        in_pipes_(1 + static_cast<std::size_t>(task.collectors.count)) {}

  /// False where `go_on` stopped it.
  bool operator()();

 private:
  static constexpr int kLanes = numerics::kLanes<T>;

  struct Grid {
    std::vector<Bundle<T>> bundles;
    Rooms<T> plenum, collectors;

    Grid(const Task& task, bool coarse)
        : bundles(bundled(task, coarse)),
          plenum(task.plenum, coarse, bundles[0].kernel.gas()),
          collectors(task.collectors, coarse, bundles[0].kernel.gas()) {}

    static std::vector<Bundle<T>> bundled(const Task& task, bool coarse) {
      std::vector<Bundle<T>> made;
      std::size_t needed = 0;
      for (int g = 0; g < task.group_count; ++g)
        needed += static_cast<std::size_t>((task.groups[g].count + kLanes - 1) / kLanes);
      made.reserve(needed);
      for (int g = 0; g < task.group_count; ++g)
        for (int first = 0; first < task.groups[g].count; first += kLanes)
          made.emplace_back(task.groups[g], first, coarse,
                            coarse ? cycle::on_coarse_grid(task.controls) : task.controls);
      return made;
    }
  };

  double of(const T& value, int i) const { return numerics::lane(value, i); }
  bool still() const { return task_.plenum.still && task_.collectors.still; }

  void fill(Grid& grid);
  void place_lane(Bundle<T>& b, int i);
  void move_to_fine();
  /// One step of everything.
  AIRCHAIN_INLINE void step(Grid& grid);
  __attribute__((noinline)) void stepped(Grid& grid) { step(grid); }
  double longest_step(const Grid& grid) const;
  AIRCHAIN_INLINE typename cycle::Kernel<T>::Outside outside(const Grid& grid,
                                                             const Bundle<T>& b) const;
  /// Ends the cycles that are over; true where the first cylinder's is.
  bool end_cycles(Grid& grid);
  void end_cycle(Bundle<T>& b, int i);
  void begin_round(Grid& grid);
  /// Unrest of the whole in the round that ended; rooms are adjusted for the next.
  void end_round(Grid& grid);
  /// Contents of all cylinders, pipes and rooms; heat into the gas less work, since ever.
  Amount<T> stored(const Grid& grid) const;
  double gained(const Grid& grid) const;
  /// Adds the mass in all runners, then in the primaries of each collector, to `in_pipes_`.
  void weigh_pipes(const Grid& grid, double sign);
  static double gain_of(const Bundle<T>& b, int i);
  void tell_balance(const Grid& grid);
  bool run_rounds(Grid& grid, int most, double tolerance);
  void watch_round(Grid& grid);
  void write_row(const Grid& grid);
  void tell_rooms(const Grid& grid);

  const Task& task_;
  Grid fine_, coarse_;
  double unrest_ = 0.0, change_ = 0.0;
  int rounds_ = 0;
  bool finite_ = true;
  Amount<T> begun_;
  std::vector<Amount<T>> in_pipes_;
  double gained_ = 0.0;
  unsigned steps_ = 0;
};

}  // namespace airchain::engine

#include "airchain/engine/run_rounds.hpp"
#include "airchain/engine/run_steps.hpp"
