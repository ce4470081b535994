#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "airchain/cycle/cycle.hpp"
#include "airchain/throttle/throttle.hpp"

// A whole engine over crank angle: its cylinders with plenum and collectors between them.
namespace airchain::engine {

/// A volume that several pipes open into: a plenum, or a merge of primaries, with a pipe of its own
/// or an opening to the outside, or with neither.
struct Room {
  static constexpr const char* kName = "EngineRoom";
  double volume = base::kRequired;
  double outer_correction = cycle::kPlainEnd;
  /// From the room (near end) to the outside or into another room (far end). Its own
  /// `end_correction` is that of the near end. With neither cells nor `opening` the room's flow to
  /// the outside is steady, as behind a long duct, and such that its mean pressure is that of the
  /// point.
  cycle::Runner pipe = none();
  std::optional<throttle::Throttle<double>> opening = {};

  static cycle::Runner none();
  bool has_pipe() const { return pipe.cells > 0.0; }
  static constexpr auto fields() {
    return std::tuple{
        base::field("volume", &Room::volume, "m^3", base::between(2e-5, 0.2),
                    "of the gas in it, pipes left out"),
        base::field("outer_correction", &Room::outer_correction, "1", base::between(0.0, 1.0),
                    "length by which the far end of its pipe acts longer, over its radius; 0.61 "
                    "for a plain end, 0 for one that goes over into another merge")};
  }
};
void validate(const Room& room);

/// Every cylinder of an engine. Rooms that are not told hold the point's gas whatever flows, as
/// rooms of infinite volume would.
struct Engine {
  static constexpr const char* kName = "WholeEngine";
  std::vector<cycle::Setup> kinds;  ///< cylinders that differ, by pipes or mixture
  std::vector<int> kind;            ///< of each cylinder, from 0
  std::vector<double> firing;       ///< crank angle of each after the first [rad], 0 to 4 pi
  std::vector<int> collector;       ///< of each cylinder, from 0
  std::vector<Room> plenum;         ///< one or none
  /// None, one that stands for all, or each: what cylinders open into, and what these open into.
  std::vector<Room> collectors;
  /// Of each collector, the one before it in the list that its pipe ends in, -1 for the outside:
  /// so primaries meet in pairs, and these again. None: all end outside.
  std::vector<int> into = {};
  /// Steps end at crank marks this far apart, counted from the start of the first cylinder's cycle
  /// [rad], 0 for none. With marks close enough that no step ends before one, cylinders that fire
  /// whole marks apart take the same steps; without rooms they then agree to rounding.
  double mark = 0.0;

  std::size_t cylinders() const { return kind.size(); }
  int collector_count() const;
};
/// Throws InputError for numbers out of range, for cylinders without a kind, angle or collector,
/// and for collectors that nothing opens into.
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
