#pragma once

#include <array>
#include <optional>

#include "airchain/chain/match.hpp"
#include "airchain/compressor/beyond_map.hpp"
#include "airchain/surge/lift_off.hpp"

namespace airchain::surge {

/// Numbers that change in time, in the order of `Loop::rates`; the last three are air that has come
/// through the compressor and gone through valve and engine, to balance the books.
struct State {
  enum Part : std::size_t {
    flow,       ///< dry air through the compressor [kg/s]
    log_ratio,  ///< Psi, of the compressor
    mass,
    pressure,  ///< dry air [kg] and [Pa] ahead of the throttle
    plenum_mass,
    plenum_pressure,  ///< and behind it
    exhaust_flow,     ///< dry air that the exhaust passes [kg/s]
    came,
    vented,
    drawn,  ///< dry air since the beginning [kg]
    parts
  };
  std::array<double, parts> y{};
};

/// Compressor, pipes, throttle, plenum and engine as one lumped system.
class Loop {
 public:
  /// `open` is the solved point of `chain` with its throttle open. Chain, `how` and `valve` are
  /// kept by reference.
  Loop(const chain::Chain<double>& chain, const chain::Result<double>& open, const LiftOff& how,
       const ReliefValve& valve);

  State start() const { return start_; }
  /// dy/dt at a time, and the moment itself where it is asked for.
  State rates(double time, const State& state, Moment* told = nullptr);
  /// One step of the classical Runge-Kutta method.
  State after(double time, const State& state, double step);
  /// A step that the faster of both volumes bears with the throttle as it stands [s].
  double longest_step(double time) const;

  double throttle_opening(double time) const;
  double bypass_opening(double time) const;
  /// Throttle and valve stand still from here on [s].
  double still_from() const;
  /// Of sound ahead of the throttle at the start [m/s].
  double sound_speed() const;
  /// Everything that flows over dry air [1].
  double carried() const { return setup_.mass; }
  /// phi over phi at the left end of the map [1].
  double share(const State& state) const;
  /// Total pressure that the compressor's air has where the volume begins [Pa]: `hot` before the
  /// cooler and `cool` behind it; what runs backwards is `cool` all the way.
  double end_pressure(double flow, double log_ratio, double pressure, double hot,
                      double cool) const;
  /// Compressor's Psi at a flow of dry air, at the speed of the last `rates`.
  double steady_log_ratio(double flow);

 private:
  struct Flows;
  void set_speed(double time);
  double inlet_pressure(double flow) const;
  double corrected(double flow) const;
  double throttle_flow(double opening, double p1, double t1, double p2, double t2) const;
  double bypass_flow(double opening, double p1, double t1) const;
  double engine_flow(double p2, double t2, double exhaust_flow) const;

  const chain::Chain<double>& chain_;
  const LiftOff& how_;
  const ReliefValve& valve_;
  chain::Chain<double> here_;
  chain::Setup<double> setup_;
  std::optional<cylinder::Breathing<double>::Line> breathing_;
  std::optional<compressor::BeyondMap> characteristic_;
  double gamma_ = 0.0, straight_ = 0.0;  // of the air ahead of the throttle; see Loop::Loop
  double vent_ = 0.0, vent_limit_ = 0.0;
  State start_;
};

}  // namespace airchain::surge
