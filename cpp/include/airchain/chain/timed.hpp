#pragma once

#include <functional>
#include <vector>

#include "airchain/chain/chain.hpp"
#include "airchain/chain/result.hpp"
#include "airchain/cooler/ice_tank.hpp"

namespace airchain::chain {

/// One instant of a timed pull.
struct Instant {
  double time;             ///< since the first engine speed [s]
  cooler::TankState tank;  ///< NaN without a tank
  Result<double> result;   ///< solved with the tank's water of this instant as coolant
};

/// A pull at a constant rate of engine speed, as a fold over time: every instant follows from the
/// one before it.
///
///     tank(t + dt) = tank.after(tank(t), (Q(t) + Q(t + dt))/2, dt),   Q = cooler heat
///
/// The mean of both ends' heat is found by iteration in steps of at most 0.25 s, so that the
/// tank's energy rises by the trapezoid of the heat told. The power that speeds up the rotor is
/// taken off (the engine's and the car's own inertia are not). At an instant without a match no
/// heat is put in. Left out: heat stored in the cooler's core, delay in the water lines.
///
/// `engine_speed` [rad/s] rises; `acceleration` [rad/s^2] is above 0. Throws InputError for bad
/// input and for a pull of more than an hour.
std::vector<Instant> timed_pull(const Chain<double>& chain, const cooler::IceTank* tank,
                                const std::vector<double>& engine_speed, double acceleration);

/// Solves a chain whose operation and coolant are those of an instant.
using SolveInstant = std::function<Result<double>(const Chain<double>&)>;
/// The same fold by another way to solve an instant. The chain is not checked.
std::vector<Instant> timed_pull(const Chain<double>& chain, const cooler::IceTank* tank,
                                const std::vector<double>& engine_speed, double acceleration,
                                const SolveInstant& solve_instant);

}  // namespace airchain::chain
