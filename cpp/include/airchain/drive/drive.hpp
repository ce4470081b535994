#pragma once

#include "airchain/base/guards.hpp"
#include "airchain/drive/links.hpp"
#include "airchain/numerics/pack.hpp"

namespace airchain::drive {

/// A belt as the chain sees it: what it must pull and what it can.
template <class T>
struct BeltLoad {
  T speed_per_crank_speed{0.0};  ///< belt speed over crank angular speed [m]
  T power_per_rotor_power{0.0};  ///< power through this belt over power at the impeller
  T capacity{base::kInfinity};   ///< effective tension it can carry at rest [N]
  T mass_term{0.0};              ///< capacity lost per belt speed squared [N s^2/m^2]
};
inline constexpr int kMostBelts = 2;

/// The train from crank to impeller, reduced to what a match needs.
///
///     rotor speed = drive_ratio step_up crank speed,   P_crank = P_rotor / efficiency
///
/// The efficiency is taken as constant with load; what the bearings and seals drag even without
/// boost is the separate `drag_torque` at the impeller.
template <class T>
struct Drive {
  static constexpr const char* kName = "Drive";
  T drive_ratio{1.0};
  T step_up{1.0};
  T efficiency{0.97};
  T drag_torque{0.0};
  T inertia{0.0};
  T rotor_speed_limit{base::kInfinity};
  BeltLoad<T> belts[kMostBelts];

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("drive_ratio", &Drive::drive_ratio, "1", base::between(0.05, 20.0),
              "compressor input shaft speed over crank speed: gears and pulleys outside it"),
        field("step_up", &Drive::step_up, "1", base::between(0.05, 50.0),
              "impeller speed over compressor input shaft speed"),
        field("efficiency", &Drive::efficiency, "1", base::above_up_to(0.3, 1.0),
              "power at the impeller over power taken from the crank, without the drag"),
        field("drag_torque", &Drive::drag_torque, "N m", base::between(0.0, 5.0),
              "torque of bearings and seals at the impeller, present without boost"),
        field("inertia", &Drive::inertia, "kg m^2", base::between(0.0, 1.0),
              "of everything that turns at impeller speed"),
        field("rotor_speed_limit", &Drive::rotor_speed_limit, "rad/s",
              base::above_up_to(0.0, base::kInfinity), "the maker's limit of impeller speed")};
  }

  /// Impeller over crank speed [1]: i = drive_ratio step_up.
  AIRCHAIN_INLINE T speed_ratio() const { return drive_ratio * step_up; }
};

/// Reduces an ordered train (crank first). Throws InputError for more than two belts.
///
///     drive_ratio, step_up = products of the links' ratios;   efficiency = product of theirs,
///     a belt's times 1 - slip
///     belt speed/crank speed = d_driving/2 (shaft speed/crank speed)
///     P_belt/P_rotor = efficiency of the links before the belt/whole efficiency
Drive<double> reduce(const std::vector<Link>& links, const Drive<double>& rest = {});

/// What one link of the train sees at a running point.
struct LinkLoad {
  double speed_in;    ///< [rad/s]
  double speed_out;   ///< [rad/s]
  double torque_in;   ///< [N m]
  double torque_out;  ///< [N m]
  double power_in;    ///< [W]
  double power_loss;  ///< [W]
  double
      pitch_line_speed;  ///< gears: at the pitch circle; belts: of the belt [m/s]; NaN if unknown
  double effective_tension;  ///< belts: tight minus slack side [N]; gears: tangential tooth force
  double tension_capacity;   ///< belts: what it can carry here [N]; infinite when not given
  double shaft_load;         ///< belts: sum of both sides on the shaft [N]; NaN when unknown
};

/// Loads of every link when the impeller takes `rotor_torque` [N m] at `crank_speed` [rad/s].
///
///     P_in = P_out/efficiency,   torque = P/omega,   v = d_driving/2 omega_in,   F = P_in/v
///     capacity of a belt = its capacity at rest - capacity_lost_to_speed v^2,   shaft load = 2 T0
std::vector<LinkLoad> loads(const std::vector<Link>& links, double crank_speed,
                            double rotor_torque);

/// Inertia [kg m^2] that the rotor adds at the crank: its own times the whole ratio squared,
/// J = J_rotor i^2.
double reflected_inertia(double rotor_inertia, double speed_ratio);

}  // namespace airchain::drive
