#pragma once

#include <functional>
#include <vector>

#include "airchain/cycle/cycle.hpp"

// A whole engine over crank angle: its cylinders with plenum and collectors between them.
namespace airchain::engine {

/// A volume that pipes of several cylinders open into: a plenum, or the merge of a collector, with
/// a pipe of its own to the outside or without one.
struct Room {
  static constexpr const char* kName = "EngineRoom";
  double volume = base::kRequired;
  /// From the room (near end) to the outside (far end). Without cells there is none: the room's
  /// flow to the outside is steady, as behind a long duct, and such that its mean pressure is that
  /// of the point.
  cycle::Runner pipe = none();

  static cycle::Runner none();
  static constexpr auto fields() {
    return std::tuple{base::field("volume", &Room::volume, "m^3", base::between(2e-5, 0.2),
                                  "of the gas in it, pipes left out")};
  }
};
void validate(const Room& room);

/// Every cylinder of an engine. Rooms that are not told hold the point's gas whatever flows, as
/// rooms of infinite volume would.
struct Engine {
  static constexpr const char* kName = "WholeEngine";
  std::vector<cycle::Setup> kinds;       ///< cylinders that differ, by pipes or mixture
  std::vector<int> kind;                 ///< of each cylinder, from 0
  std::vector<double> firing;            ///< crank angle of each after the first [rad], 0 to 4 pi
  std::vector<int> collector;            ///< of each cylinder, from 0
  std::vector<Room> plenum, collectors;  ///< one or none: what stands for every room of its side

  std::size_t cylinders() const { return kind.size(); }
  int collector_count() const;
};
/// Throws InputError for numbers out of range and for cylinders without a kind, angle or collector.
void validate(const Engine& engine);

/// Operating point; the burn of each cylinder may be moved.
struct EnginePoint {
  cycle::Point<double> point;
  std::vector<double> later;  ///< [rad] by which each cylinder burns later; none: 0 for all
};

/// A room's state, mean over time of the last round.
struct RoomState {
  double pressure, temperature, burned;
};

/// A round is two turns of the crank.
struct EngineResult {
  std::vector<cycle::CycleResult> cylinders;
  std::vector<RoomState> rooms;  ///< plenum, then the collectors
  double rounds = 0.0;
  double change = 0.0;        ///< what the changes still to come would sum up to
  double mass_error = 0.0;    ///< mass of the whole unbalanced in the last round over that trapped
  double energy_error = 0.0;  ///< energy of the whole unbalanced over the heat of the charges
  bool converged = false;
};

/// Pressures of a settled round, row by row: crank angle after the first cylinder's firing [rad],
/// pressure of plenum and collectors, then of each cylinder inside, in the runner and in the
/// primary beside the valves [Pa].
struct EngineTrace {
  std::vector<double> values;
  std::size_t columns = 0;
};

/// Solves one point with plain numbers; `sweep::run_engines` is the same in lanes, to the last bit.
/// `go_on` is asked now and then: false ends the work, with nothing told.
EngineResult solve(const Engine& engine, const EnginePoint& point,
                   const cycle::Controls& controls = {}, EngineTrace* trace = nullptr,
                   const std::function<bool()>& go_on = {});

void validate(const Engine& engine, const std::vector<EnginePoint>& points,
              const cycle::Controls& controls);

}  // namespace airchain::engine
