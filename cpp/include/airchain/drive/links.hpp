#pragma once

#include <tuple>
#include <variant>
#include <vector>

#include "airchain/base/guards.hpp"

namespace airchain::drive {

/// Two spur or helical gears in external mesh: reverses the sense of rotation.
struct GearPair {
  static constexpr const char* kName = "GearPair";
  double driving_teeth{base::kRequired};
  double driven_teeth{base::kRequired};
  double efficiency{0.98};
  double module{0.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("driving_teeth", &GearPair::driving_teeth, "1", base::between(8.0, 200.0),
              "teeth of the gear on the crank's side, a whole number"),
        field("driven_teeth", &GearPair::driven_teeth, "1", base::between(8.0, 200.0),
              "teeth of the gear on the impeller's side, a whole number"),
        field("efficiency", &GearPair::efficiency, "1", base::above_up_to(0.5, 1.0),
              "power out over power in"),
        field("module", &GearPair::module, "m", base::between(0.0, 0.05),
              "pitch diameter over teeth; 0 when not known")};
  }
  /// Speed out over speed in [1]: i = z_driving/z_driven.
  double ratio() const { return driving_teeth / driven_teeth; }
  bool reverses() const { return true; }
  /// The same two gears changed over: the reciprocal ratio on the same centres.
  GearPair flipped() const { return {driven_teeth, driving_teeth, efficiency, module}; }
  /// Between the shafts [m]: a = m (z_driving + z_driven)/2; 0 when the module is not known.
  double centre_distance() const { return 0.5 * module * (driving_teeth + driven_teeth); }
};

/// A step-up inside the compressor's case.
struct StepUp {
  static constexpr const char* kName = "StepUp";
  double speed_ratio{base::kRequired};
  double efficiency{0.98};
  double reversing{0.0};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{field("speed_ratio", &StepUp::speed_ratio, "1", base::between(0.05, 50.0),
                            "impeller speed over input shaft speed"),
                      field("efficiency", &StepUp::efficiency, "1", base::above_up_to(0.5, 1.0),
                            "power out over power in"),
                      field("reversing", &StepUp::reversing, "1", base::between(0.0, 1.0),
                            "1 when the impeller turns against the input shaft, else 0")};
  }
  /// Speed out over speed in [1].
  double ratio() const { return speed_ratio; }
  bool reverses() const { return reversing > 0.5; }
};

/// Two pulleys and a belt. A ribbed belt holds by friction and slips; a toothed one does not slip
/// but jumps or shears at its rated tension.
struct PulleyPair {
  static constexpr const char* kName = "PulleyPair";
  double driving_diameter{base::kRequired};
  double driven_diameter{base::kRequired};
  double slip{0.0};
  double efficiency{0.97};
  double centre_distance{0.0};
  double friction_coefficient{0.0};
  double static_tension{0.0};
  double rated_tension{0.0};
  double belt_mass_per_length{0.0};

  static constexpr auto fields() {
    using base::field;
    using P = PulleyPair;
    return std::tuple{
        field("driving_diameter", &P::driving_diameter, "m", base::between(0.02, 1.0),
              "pitch diameter on the crank's side"),
        field("driven_diameter", &P::driven_diameter, "m", base::between(0.02, 1.0),
              "pitch diameter on the impeller's side"),
        field("slip", &P::slip, "1", base::between(0.0, 0.3),
              "share of the driven speed lost; 0 for a toothed belt"),
        field("efficiency", &P::efficiency, "1", base::above_up_to(0.5, 1.0),
              "torque that arrives over torque without losses, slip apart"),
        field("centre_distance", &P::centre_distance, "m", base::between(0.0, 2.0),
              "between the shafts; 0 when not known"),
        field("friction_coefficient", &P::friction_coefficient, "1", base::between(0.0, 3.0),
              "effective, of a ribbed belt in its grooves; 0 for a toothed belt"),
        field("static_tension", &P::static_tension, "N", base::between(0.0, 2e4),
              "of one strand of a ribbed belt at rest; 0 when not known"),
        field("rated_tension", &P::rated_tension, "N", base::between(0.0, 5e4),
              "working tension of a toothed belt; 0 for a ribbed belt"),
        field("belt_mass_per_length", &P::belt_mass_per_length, "kg/m", base::between(0.0, 5.0),
              "0 neglects the tension that centrifugal force takes")};
  }
  /// Speed out over speed in [1]: i = d_driving/d_driven (1 - slip).
  double ratio() const { return driving_diameter / driven_diameter * (1.0 - slip); }
  bool reverses() const { return false; }
  bool toothed() const { return rated_tension > 0.0; }
  /// Wrap on the smaller pulley [rad]; half a turn when the centre distance is not known.
  ///
  ///     theta = pi - 2 asin((D - d)/(2 C))                      [Shigley, eq. 17-1, from memory]
  double wrap_angle() const;
  /// Length [m] of the open belt around both; NaN when the centre distance is not known.
  ///
  ///     L = sqrt(4 C^2 - (D - d)^2) + (D theta_D + d theta_d)/2              [Shigley, eq. 17-2]
  double belt_length() const;
  /// Effective tension [N] it can carry at rest; infinite when nothing was given.
  ///
  ///     ribbed: 2 T0 (e^(mu theta) - 1)/(e^(mu theta) + 1)     [capstan, Euler and Eytelwein]
  ///     toothed: the rated tension
  double tension_capacity() const;
  /// Capacity lost per belt speed squared [N s^2/m^2]: the strand's own centrifugal tension,
  /// which it takes from T0, and from the rated tension of a toothed belt.
  ///
  ///     ribbed: m tension_capacity/T0     toothed: m,   m = belt_mass_per_length [kg/m]
  double capacity_lost_to_speed() const;
};

using Link = std::variant<GearPair, StepUp, PulleyPair>;

/// Speed out over speed in of any link [1].
double ratio(const Link& link);
/// Throws InputError for a link that cannot be (teeth not whole, pulleys that overlap).
void validate(const Link& link);

/// +1 when the last shaft turns with the crank, -1 when against it. Every external mesh reverses.
int rotation(const std::vector<Link>& links);

}  // namespace airchain::drive
