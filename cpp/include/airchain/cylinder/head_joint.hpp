#pragma once

#include <tuple>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"

namespace airchain::cylinder {

/// The joint of cylinder head and block at one cylinder: what its fasteners clamp against what the
/// gas lifts.
///
///     clamp = torque / (nut_factor diameter)                [Shigley, eq. 8-27]
///     lift = p_peak pi/4 sealing_diameter^2
///
/// The worst case of a joint: its members are taken as rigid against the fasteners, so that all of
/// the lift unloads the gasket. Left out: heat that stretches fasteners and head unlike, settling
/// of the gasket, a head that bends between fasteners, ambient pressure on the head.
struct HeadJoint {
  static constexpr const char* kName = "HeadJoint";
  double fasteners_per_cylinder{base::kRequired};
  double sealing_diameter{base::kRequired};
  double fastener_diameter{0.0};
  double torque{0.0};
  double nut_factor{0.2};
  double clamp{0.0};
  double scatter{0.25};
  double gasket_area{0.0};
  double gasket_pressure{0.0};

  static constexpr auto fields() {
    using base::between;
    using base::field;
    using H = HeadJoint;
    return std::tuple{
        field("fasteners_per_cylinder", &H::fasteners_per_cylinder, "1", between(1.0, 12.0),
              "one shared by two cylinders counts half for each"),
        field("sealing_diameter", &H::sealing_diameter, "m", between(0.02, 0.3),
              "of the ring that the gas reaches in the gasket, bore or more"),
        field("fastener_diameter", &H::fastener_diameter, "m", between(0.0, 0.03),
              "nominal; needed with a torque"),
        field("torque", &H::torque, "N m", between(0.0, 500.0), "on each fastener"),
        field("nut_factor", &H::nut_factor, "1", between(0.05, 0.5),
              "torque over clamp and diameter: 0.2 dry, 0.12 to 0.15 lubricated (common practice, "
              "no source); follow the fastener's maker"),
        field("clamp", &H::clamp, "N", between(0.0, 5e5),
              "of each fastener, where its stretch was measured; goes before a torque"),
        field("scatter", &H::scatter, "1", between(0.0, 0.6),
              "share by which a fastener may fall short of it: 0.25 by torque, 0.05 to 0.1 by "
              "stretch (common practice, no source)"),
        field("gasket_area", &H::gasket_area, "m^2", between(0.0, 0.1),
              "that must stay pressed around one cylinder"),
        field("gasket_pressure", &H::gasket_pressure, "Pa", between(0.0, 2e8),
              "that keeps this area tight; 0 where only lifting counts")};
  }

  /// Clamp of a fastener [N]: F = clamp if given, else torque/(nut_factor diameter).
  double fastener_clamp() const {
    return clamp > 0.0 ? clamp : torque / (nut_factor * fastener_diameter);
  }
  /// Least clamp around one cylinder [N], less what the gasket needs to stay tight.
  ///
  ///     F_hold = fasteners F (1 - scatter) - gasket_area gasket_pressure
  double holding_force() const {
    return fasteners_per_cylinder * fastener_clamp() * (1.0 - scatter) -
           gasket_area * gasket_pressure;
  }
  /// Of the gas [N] at a peak pressure [Pa]: F = p pi/4 sealing_diameter^2.
  double lifting_force(double peak_pressure) const {
    return peak_pressure * 0.25 * base::kPi * sealing_diameter * sealing_diameter;
  }
};

/// Throws InputError unless there is a clamp: of its own, or a torque on a diameter.
inline void validate(const HeadJoint& joint) {
  base::require_fields(joint);
  if (joint.clamp > 0.0) return;
  base::require_that(joint.torque > 0.0, {.where = HeadJoint::kName,
                                          .field = "torque",
                                          .value = "0 N m",
                                          .rule = "be above 0 where no clamp is given"});
  base::require_that(joint.fastener_diameter > 0.0, {.where = HeadJoint::kName,
                                                     .field = "fastener_diameter",
                                                     .value = "0 m",
                                                     .rule = "be above 0 with a torque"});
}

}  // namespace airchain::cylinder
