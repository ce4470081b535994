#pragma once

#include <cstdint>

#include "airchain/base/status.hpp"
#include "airchain/chain/chain.hpp"

namespace airchain::chain {

/// The moment the throttle shuts at speed, and the opening that keeps the compressor from surge.
/// Numbers but the rotor's speed are NaN unless `status` is matched.
struct LiftOff {
  base::Status status;
  std::uint32_t flags;  ///< whether the surge line is measured, estimated or not known, and
                        ///< whether the compressor is odd
  double rotor_speed;   ///< [rad/s]
  double left_flow;     ///< through the compressor at the left end of its speed line [kg/s]
  double flow;          ///< that must leave through the bypass [kg/s]
  double pressure;      ///< total, ahead of throttle and bypass [Pa]
  double temperature;   ///< total, there [K]
  double
      effective_area;  ///< of the bypass to the open air, geometric times discharge
                       ///< coefficient [m^2]; infinite where the pressure does not exceed ambient
};

/// Solves a chain with its throttle shut at its operation's speed, held, the bypass open ahead of
/// the throttle and just wide enough that the compressor passes `flow_over_left` times the flow at
/// the left end of its speed line (surge, where the map knows it):
///
///     A = W sqrt(R T) / (p psi(p_ambient / p))                    [St Venant and Wantzel]
///
/// Steady, which is the worst of a geared rotor that follows the crank down. Left out: how quickly
/// the valve opens against the throttle, the charge held by pipes and cooler, water that condenses.
/// The closing check of the chain looks at compressor, ducts and cooler. Throws InputError without
/// a compressor or for a factor outside 1 to 3.
LiftOff lift_off(const Chain<double>& chain, double flow_over_left);

}  // namespace airchain::chain
