#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "airchain/engine/engine.hpp"

// What a run in lanes is handed: plain pointers, since an instruction set shares no code with the
// plain build.
namespace airchain::engine {

/// Cylinders of one kind.
struct Group {
  const cycle::Setup* setup;
  const pipe::Shape *intake, *exhaust, *coarse_intake, *coarse_exhaust;
  const int* cylinders;
  int count;
};

struct RoomPlan {
  double volume;
  double mouths;                      ///< area of all that opens into it [m^2]
  double pipes;                       ///< volume of the cylinders' pipes among these [m^3]
  double opening;                     ///< effective area to the outside, 0 for none [m^2]
  const pipe::Shape *shape, *coarse;  ///< of its pipe; null where there is none
  double wall_temperature;
  int into;  ///< the room that its pipe ends in, -1 for the outside
};

/// Rooms of one side.
struct Side {
  int count;
  bool still;             ///< of infinite volume
  const RoomPlan* rooms;  ///< where not still
};

struct Summary {
  double rounds, change, mass_error, energy_error;
  bool converged, finite;
};

struct Task {
  const Group* groups;
  int group_count;
  int cylinders;
  const double* firing;
  const double* later;
  const int* collector;
  double mark;  ///< steps end at these [rad], 0 for none
  Side plenum, collectors;
  cycle::Point<double> point;
  cycle::Controls controls;
  bool coarsens;
  cycle::CycleResult* results;  ///< by cylinder
  RoomState* rooms;
  Summary* summary;
  void* context;
  bool (*go_on)(void* context);
  void (*watch)(void* context);  ///< after each step of a further round; null for none
  double* row;                   ///< what `watch` finds
};

/// Keeps what a task points to.
class Prepared {
 public:
  explicit Prepared(const Engine& engine);
  /// A task of one point; `result` is written as it runs, and finished by `finish`.
  Task task(const EnginePoint& point, const cycle::Controls& controls, EngineResult& result,
            Summary& summary) const;
  /// Into words of the result; false where the work was stopped.
  static void finish(const Summary& summary, EngineResult& result);
  std::size_t row_size() const;

 private:
  const Engine* engine_;
  std::vector<std::unique_ptr<cycle::Grids>> grids_;
  std::vector<std::vector<int>> members_;
  std::vector<Group> groups_;
  /// Plans of a side's rooms and the shapes of their pipes, equal pipes' once.
  struct Plans {
    std::vector<RoomPlan> rooms;
    std::vector<cycle::Runner> pipes;
    std::vector<double> outer;
    std::vector<std::unique_ptr<pipe::Shape>> shapes, coarse;

    void add(const Room& room, int into);
  };
  static Side side_of(const Plans& plans, int count);

  std::vector<double> nothing_;
  Plans plenum_plans_, collector_plans_;
  Side plenum_{}, collectors_{};
  bool coarsens_ = false;
};

}  // namespace airchain::engine
