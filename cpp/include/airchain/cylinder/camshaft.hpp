#pragma once

#include <optional>
#include <vector>

#include "airchain/base/constants.hpp"
#include "airchain/base/field.hpp"
#include "airchain/numerics/curve.hpp"

namespace airchain::cylinder {

inline constexpr double kInch = 0.0254;
inline constexpr double kCheckingLift = 0.050 * kInch;  ///< durations are compared at this lift

/// One lobe and what moves the valve, in the trade's terms. Durations are crank angles between two
/// tappet lifts.
struct Lobe {
  static constexpr const char* kName = "Lobe";
  double duration = base::kRequired;
  double seat_duration = base::kRequired;
  double seat_lift = 0.006 * kInch;
  double lobe_lift = base::kRequired;
  double rocker_ratio = 1.6;
  double lash = 0.0;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("duration", &Lobe::duration, "rad", between(1.0, 6.5),
              "crank angle between the 0.050 in (1.27 mm) tappet lifts"),
        field("seat_duration", &Lobe::seat_duration, "rad", between(1.5, 8.0),
              "crank angle between the seat lifts, the advertised duration"),
        field("seat_lift", &Lobe::seat_lift, "m", between(0.00005, 0.001),
              "tappet lift at which the seat duration is told; common practice 0.004 to 0.020 in"),
        field("lobe_lift", &Lobe::lobe_lift, "m", between(0.003, 0.02), "highest tappet lift"),
        field("rocker_ratio", &Lobe::rocker_ratio, "1", between(0.8, 2.5),
              "valve lift over tappet lift"),
        field("lash", &Lobe::lash, "m", between(0.0, 0.0015), "clearance at the valve")};
  }
};

/// Checks the numbers and that the seat duration is the longer one.
void validate(const Lobe& lobe);

/// Intake and exhaust lobe on their shaft. Crank angles; top centre is that of gas exchange.
struct Camshaft {
  static constexpr const char* kName = "Camshaft";
  double lobe_separation = base::kRequired;
  double intake_centreline = base::kRequired;
  Lobe intake, exhaust;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("lobe_separation", &Camshaft::lobe_separation, "rad", between(1.5, 2.3),
              "cam angle between the lobes' peaks"),
        field("intake_centreline", &Camshaft::intake_centreline, "rad", between(1.4, 2.4),
              "crank angle of the intake lobe's peak after top centre, as installed")};
  }
  /// Crank angle of the exhaust lobe's peak before top centre [rad]: 2 lobe_separation =
  /// exhaust_centreline + intake_centreline.
  double exhaust_centreline() const { return 2.0 * lobe_separation - intake_centreline; }
};

/// Lift of a valve over crank angle from its peak, in metres; smooth, with continuous acceleration.
class LiftCurve {
 public:
  /// A symmetric lobe
  ///
  ///     lift/lobe_lift = (1 - z)^3 (1 + 3 t z + 6 t^2 z^2),   z = (angle/half width)^2
  ///
  /// whose t and width meet both durations; t near 0 is gentle, near 1 a flat-topped racing lobe.
  /// Acceleration is continuous, also at the seat. Lash is taken up smoothly over the 0.05 mm
  /// around it. Throws InputError when no such lobe has both durations.
  explicit LiftCurve(const Lobe& lobe);
  /// From measured points: crank angle from the peak (any zero), valve lift; a cubic spline.
  /// Throws InputError unless angles rise, lifts are not negative, and both ends are closed.
  LiftCurve(const std::vector<double>& angle, const std::vector<double>& lift);

  /// Valve lift [m] at a crank angle from the peak [rad]: the points' spline, or y = rocker_ratio
  /// tappet - lash, 0 below -w and between with w = 0.05 mm, or the lash if less,
  ///
  ///     (y + w)^3 (3 w - y)/(16 w^3)
  double at(double angle) const;
  /// Angles between which the valve is off its seat.
  double opening() const { return opening_; }
  double closing() const { return closing_; }
  double highest() const { return highest_; }
  /// What it was made of: a lobe, or without one the points.
  const std::optional<Lobe>& lobe() const { return lobe_; }
  const numerics::Curve& points() const { return points_; }
  /// Opening and closing angle at a valve lift. Throws InputError when the lift is not reached.
  std::pair<double, double> span_at(double lift) const;

 private:
  /// lift = lobe_lift (1 - z)^3 (1 + 3 t z + 6 t^2 z^2) [m], z = (angle/half width)^2.
  double tappet(double angle) const;

  std::optional<Lobe> lobe_;
  double take_up_ = 0.0;
  double half_width_ = 0.0, shape_ = 0.0;
  numerics::Curve points_{0.0};
  double opening_ = 0.0, closing_ = 0.0, highest_ = 0.0;
};

/// When a camshaft opens and closes its valves, crank angles as the trade tells them.
struct ValveEvents {
  double intake_opens;    ///< before top centre
  double intake_closes;   ///< after bottom centre
  double exhaust_opens;   ///< before bottom centre
  double exhaust_closes;  ///< after top centre
  double overlap;         ///< crank angle both are open
};
/// At 0.050 in tappet lift. With d the duration there of each lobe:
///
///     intake opens = d_i/2 - intake_centreline,   closes = d_i/2 + intake_centreline - pi
///     exhaust opens = d_e/2 + exhaust_centreline - pi,   closes = d_e/2 - exhaust_centreline
///     overlap = intake opens + exhaust closes
ValveEvents events_at_checking_lift(const Camshaft& camshaft);
/// The same at the seat lift of each lobe, d = seat_duration.
ValveEvents events_at_seat_lift(const Camshaft& camshaft);

/// Checks the numbers, and that both valves close between the others' cycles.
void validate(const Camshaft& camshaft);

}  // namespace airchain::cylinder
