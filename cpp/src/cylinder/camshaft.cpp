#include "airchain/cylinder/camshaft.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/base/guards.hpp"

namespace airchain::cylinder {

namespace {

constexpr double kLashTakeUp = 0.05e-3;
constexpr double kGentlest = -1.0, kFlattest = 0.98;

double lobe_shape(double z, double t) {
  if (z >= 1.0) return 0.0;
  const double s = 1.0 - z;
  return s * s * s * (1.0 + 3.0 * t * z + 6.0 * t * t * z * z);
}

/// Place from 0 to 1 at which the lobe has fallen to a share of its lift.
double place_at(double share, double t) {
  double low = 0.0, high = 1.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (lobe_shape(middle * middle, t) > share ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

double duration_ratio(const Lobe& lobe, double t) {
  return place_at(kCheckingLift / lobe.lobe_lift, t) / place_at(lobe.seat_lift / lobe.lobe_lift, t);
}

/// Zero below -width, the number itself above width, twice differentiable between.
double positive_part(double y, double width) {
  if (y <= -width) return 0.0;
  if (y >= width) return y;
  const double s = y + width;
  return s * s * s * (3.0 * width - y) / (16.0 * width * width * width);
}

}  // namespace

void validate(const Lobe& lobe) {
  base::require_fields(lobe);
  base::require(Lobe::kName, "lobe_lift", lobe.lobe_lift, "m", base::above_up_to(2e-3, 0.02));
  base::require_that(lobe.seat_lift < kCheckingLift,
                     {.where = Lobe::kName,
                      .field = "seat_lift",
                      .value = base::quantity_text(lobe.seat_lift, "m"),
                      .rule = "be below the 0.00127 m of the other duration"});
  const std::string duration = base::quantity_text(lobe.duration / base::kDegree, "deg");
  base::require_that(
      lobe.duration < lobe.seat_duration,
      {.where = Lobe::kName,
       .field = "duration",
       .value = duration,
       .rule = "be shorter",
       .hint = "the valve is longer off its seat than 0.050 in up",
       .statement = "duration = " + duration + " at 0.050 in is not below seat_duration = " +
                    base::quantity_text(lobe.seat_duration / base::kDegree, "deg")});
  base::require_that(lobe.lash < 0.5 * lobe.lobe_lift * lobe.rocker_ratio,
                     {.where = Lobe::kName,
                      .field = "lash",
                      .value = base::quantity_text(lobe.lash, "m"),
                      .rule = "be below half the valve lift"});
}

LiftCurve::LiftCurve(const Lobe& lobe) : lobe_(lobe), take_up_(std::min(kLashTakeUp, lobe.lash)) {
  validate(lobe);
  const double wanted = lobe.duration / lobe.seat_duration;
  const double least = duration_ratio(lobe, kGentlest), most = duration_ratio(lobe, kFlattest);
  base::require(Lobe::kName, "duration over seat_duration", wanted, "1", base::between(least, most),
                "check the durations and the seat lift, or give a measured lift file");
  double low = kGentlest, high = kFlattest;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (duration_ratio(lobe, middle) < wanted ? low : high) = middle;
  }
  shape_ = 0.5 * (low + high);
  half_width_ = 0.5 * lobe.duration / place_at(kCheckingLift / lobe.lobe_lift, shape_);
  highest_ = at(0.0);
  const double share = std::max(lobe.lash - take_up_, 0.0) / (lobe.rocker_ratio * lobe.lobe_lift);
  closing_ = half_width_ * place_at(share, shape_);
  opening_ = -closing_;
}

LiftCurve::LiftCurve(const std::vector<double>& angle, const std::vector<double>& lift)
    : points_(angle, lift, "LiftCurve", "angle", "lift", numerics::Slopes::smooth) {
  base::require_that(angle.size() >= 8, "LiftCurve",
                     "there are " + std::to_string(angle.size()) + " points", "at least 8");
  for (double y : lift) base::require("LiftCurve", "lift", y, "m", base::between(0.0, 0.03));
  base::require("LiftCurve", "lift at the first point", lift.front(), "m", base::between(0.0, 2e-5),
                "start on the seat");
  base::require("LiftCurve", "lift at the last point", lift.back(), "m", base::between(0.0, 2e-5),
                "end on the seat");
  opening_ = angle.front();
  closing_ = angle.back();
  base::require("LiftCurve", "angle from first to last point", closing_ - opening_, "rad",
                base::between(1.5, 8.0));
  highest_ = points_.highest();
}

double LiftCurve::tappet(double angle) const {
  const double x = angle / half_width_;
  return lobe_->lobe_lift * lobe_shape(x * x, shape_);
}

double LiftCurve::at(double angle) const {
  if (!lobe_)
    return angle <= opening_ || angle >= closing_ ? 0.0 : std::max(points_.at(angle), 0.0);
  const double free = lobe_->rocker_ratio * tappet(angle) - lobe_->lash;
  return take_up_ > 0.0 ? positive_part(free, take_up_) : free;
}

std::pair<double, double> LiftCurve::span_at(double lift) const {
  base::require("LiftCurve", "lift", lift, "m", base::between(0.0, highest_));
  constexpr int kSteps = 2000;
  const double step = (closing_ - opening_) / kSteps;
  const auto edge = [&](double from, double direction) {
    double angle = from;
    while (at(angle + direction) < lift) angle += direction;
    double low = angle, high = angle + direction;
    for (int i = 0; i < 60; ++i) {
      const double middle = 0.5 * (low + high);
      (at(middle) < lift ? low : high) = middle;
    }
    return 0.5 * (low + high);
  };
  return {edge(opening_, step), edge(closing_, -step)};
}

namespace {

ValveEvents events(const Camshaft& c, double intake_duration, double exhaust_duration) {
  const double half_turn = base::kPi;
  ValveEvents e{};
  e.intake_opens = 0.5 * intake_duration - c.intake_centreline;
  e.intake_closes = 0.5 * intake_duration + c.intake_centreline - half_turn;
  e.exhaust_opens = 0.5 * exhaust_duration + c.exhaust_centreline() - half_turn;
  e.exhaust_closes = 0.5 * exhaust_duration - c.exhaust_centreline();
  e.overlap = e.intake_opens + e.exhaust_closes;
  return e;
}

}  // namespace

ValveEvents events_at_checking_lift(const Camshaft& c) {
  return events(c, c.intake.duration, c.exhaust.duration);
}
ValveEvents events_at_seat_lift(const Camshaft& c) {
  return events(c, c.intake.seat_duration, c.exhaust.seat_duration);
}

void validate(const Camshaft& c) {
  base::require_fields(c);
  validate(c.intake);
  validate(c.exhaust);
  const auto e = events_at_seat_lift(c);
  base::require(Camshaft::kName, "intake closing after bottom centre", e.intake_closes, "rad",
                base::between(-1.0, 2.4), "the valves must be closed at the time of ignition");
  base::require(Camshaft::kName, "exhaust opening before bottom centre", e.exhaust_opens, "rad",
                base::between(-1.0, 2.4), "the valves must be closed at the time of ignition");
}

}  // namespace airchain::cylinder
