#pragma once

#include <vector>

#include "airchain/base/guards.hpp"
#include "airchain/chain/chain.hpp"
#include "airchain/chain/result.hpp"

namespace airchain::surge {

/// How a throttle shuts, and what stands between compressor and engine.
struct LiftOff {
  static constexpr const char* kName = "LiftOff";
  double volume = base::kRequired;
  double plenum_volume = base::kRequired;
  double length = base::kRequired;
  double flow_area = base::kRequired;
  double closing_time = 0.1;
  double shut_opening = 0.01;
  double deceleration = 0.0;
  double duration = 0.6;
  double lag = 2.0;
  double shut_off_head = 0.8;
  double step = 2e-4;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    using L = LiftOff;
    return std::tuple{
        field("volume", &L::volume, "m^3", between(5e-4, 1.0),
              "of the air between compressor and throttle, the cooler's with it"),
        field("plenum_volume", &L::plenum_volume, "m^3", between(5e-4, 1.0),
              "of the air between throttle and inlet valves"),
        field("length", &L::length, "m", between(0.05, 20.0),
              "of the way from the compressor to where most of that volume is"),
        field("flow_area", &L::flow_area, "m^2", between(1e-4, 1.0), "along that way"),
        field("closing_time", &L::closing_time, "s", between(0.005, 5.0),
              "in which the throttle's area falls evenly from open to shut"),
        field("shut_opening", &L::shut_opening, "1", between(1e-6, 1.0),
              "share of its open area that the throttle leaves when shut"),
        field("deceleration", &L::deceleration, "rad/s^2", between(0.0, 1e4),
              "of the crank from the moment the throttle begins to shut; 0 is held speed"),
        field("duration", &L::duration, "s", between(0.1, 20.0),
              "looked at after throttle and bypass have moved"),
        field("lag", &L::lag, "1", between(0.1, 20.0),
              "turns of the rotor in which the pressure follows the characteristic"),
        field("shut_off_head", &L::shut_off_head, "1", between(0.3, 0.98),
              "logarithm of the pressure ratio at no flow over that at the left end of the map"),
        field("step", &L::step, "s", between(1e-6, 1e-3), "of the integration, at most")};
  }
};

/// A valve ahead of the throttle that lets the air out to the open as the throttle shuts.
struct ReliefValve {
  static constexpr const char* kName = "ReliefValve";
  double effective_area = 0.0;
  double delay = 0.02;
  double opening_time = 0.05;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    using R = ReliefValve;
    return std::tuple{
        field("effective_area", &R::effective_area, "m^2", between(0.0, 1.0),
              "flow area fully open times discharge coefficient; 0 is no valve"),
        field("delay", &R::delay, "s", between(0.0, 5.0),
              "from the moment the throttle begins to shut until the valve begins to open"),
        field("opening_time", &R::opening_time, "s", between(0.001, 5.0),
              "in which its area grows evenly from none to all")};
  }
};

/// One moment. Flows are of everything: air, water and fuel that the compressor carries.
struct Moment {
  double time;  ///< since the throttle began to shut [s]
  double compressor_flow, throttle_flow, bypass_flow, engine_flow;
  double corrected_flow, surge_flow;  ///< at the map's reference state, the second at the left end
  double pressure_ratio;
  double pressure, temperature;  ///< ahead of the throttle
  double plenum_pressure;
  double throttle_opening, bypass_opening;
  double engine_speed, rotor_speed;

  static constexpr auto columns() {
    using chain::column;
    using M = Moment;
    return std::tuple{
        column("time", &M::time, "s", "since the throttle began to shut"),
        column("compressor_flow", &M::compressor_flow, "kg/s",
               "through the compressor; below 0 it runs backwards"),
        column("throttle_flow", &M::throttle_flow, "kg/s", "through the throttle"),
        column("bypass_flow", &M::bypass_flow, "kg/s", "through the valve to the open air"),
        column("engine_flow", &M::engine_flow, "kg/s", "into the cylinders, fuel left out"),
        column("corrected_flow", &M::corrected_flow, "kg/s", "at the map's reference state"),
        column("surge_flow", &M::surge_flow, "kg/s",
               "at the left end of the speed line, at the map's reference state"),
        column("pressure_ratio", &M::pressure_ratio, "1", "of the compressor, total to total"),
        column("pressure", &M::pressure, "Pa", "ahead of the throttle, absolute"),
        column("temperature", &M::temperature, "K", "ahead of the throttle"),
        column("plenum_pressure", &M::plenum_pressure, "Pa", "behind the throttle, absolute"),
        column("throttle_opening", &M::throttle_opening, "1", "share of its area that is open"),
        column("bypass_opening", &M::bypass_opening, "1", "share of its area that is open"),
        column("engine_speed", &M::engine_speed, "rad/s", "crank speed"),
        column("rotor_speed", &M::rotor_speed, "rad/s", "of the impeller")};
  }
};

/// What the compressor does.
enum class Kind {
  none,     ///< it stays right of the left end of its map
  passing,  ///< it goes left of it for a while, and comes back without a reversal
  mild,     ///< it stays or swings left of it at the end, without a reversal
  deep,     ///< its flow runs backwards at least once
};
inline constexpr const char* kKindNames[] = {"none", "passing", "mild", "deep"};

/// A throttle that shuts, told in numbers: NaN unless matched.
struct Course {
  double status, flags;  ///< of the point at which the throttle is still open
  Kind kind = Kind::none;
  double lowest_share, held_share, lowest_flow, time_left, reversals;
  double pressure_swing, frequency, helmholtz, b_parameter;
  double surge_flow, highest_pressure, mass_error;

  static constexpr auto numbers() {
    using chain::column;
    using C = Course;
    return std::tuple{
        column("lowest_share", &C::lowest_share, "1",
               "lowest flow over that at the left end of the map"),
        column("held_share", &C::held_share, "1",
               "the same in the later half of what is looked at once throttle and valve stand"),
        column("lowest_flow", &C::lowest_flow, "kg/s", "through the compressor"),
        column("time_left", &C::time_left, "s", "spent left of the left end"),
        column("reversals", &C::reversals, "1", "times that the flow turned back"),
        column("pressure_swing", &C::pressure_swing, "Pa",
               "ahead of the throttle, highest less lowest of that later half"),
        column("frequency", &C::frequency, "1/s", "of that swing; NaN where there is none"),
        column("helmholtz", &C::helmholtz, "1/s",
               "of small swings of the pipe's air on the volume: a/(2 pi) sqrt(A/(l V))"),
        column("b_parameter", &C::b_parameter, "1",
               "U/(2 a) sqrt(V/(A l)) [Greitzer 1976]; NaN where the map has no tip diameter"),
        column("surge_flow", &C::surge_flow, "kg/s",
               "at the left end of the map, at the first moment"),
        column("highest_pressure", &C::highest_pressure, "Pa", "ahead of the throttle"),
        column("mass_error", &C::mass_error, "1", "air that came, went and stayed")};
  }
  std::vector<Moment> moments;
};

/// Solves a chain whose throttle shuts, in time. The state before is the chain's own match.
///
/// Lumped, after [Greitzer 1976, J. Eng. Power 98, from memory]; W of dry air, m all it carries:
///
///     m (length/flow_area) dW/dt = p_end(W, Psi) - p_1,   dPsi/dt = (n^2 L(phi) - Psi)/tau
///     tau = lag 2 pi/omega_rotor,   p_end = p_01 exp(Psi) less ducts and cooler
///     dm_i/dt = sum of W,   dp_i/dt = gamma R/V_i sum of W T          two volumes
///     dW_x/dt = (W_engine - W_x) omega/(4 pi)                         through the exhaust
///
/// The classical Runge-Kutta method, fourth order, in fixed steps; volumes that fill faster take
/// shorter ones. Left out: waves in the pipes (their mass is one piston, their spring one volume),
/// heat that the walls give back, a cooler that cools less as air surges to and fro, hot air that
/// came back through the compressor, water that condenses, and the inertia of the rotor, which is
/// geared to the crank. Throws InputError without a compressor and for numbers out of range.
Course lift_off(const chain::Chain<double>& chain, const LiftOff& how, const ReliefValve& valve);

/// Smallest effective area [m^2] of a valve that moves as `valve` does and is enough: the lowest
/// share is at least 1, the held one at least what is wanted (1 to 3). 0 where none is needed,
/// infinite where a valve moving so cannot do it, NaN without an answer. The search begins at the
/// area of `valve`, so that it never contradicts that valve's own course.
double needed_area(const chain::Chain<double>& chain, const LiftOff& how, const ReliefValve& valve,
                   double wanted);
/// Longest opening time [s] of a valve of that area and delay, up to 5 s; NaN where no opening time
/// is short enough, or without an answer.
double longest_opening(const chain::Chain<double>& chain, const LiftOff& how,
                       const ReliefValve& valve, double wanted);

}  // namespace airchain::surge
