#include "airchain/cycle/setup.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/base/guards.hpp"

namespace airchain::cycle {

using base::number_text;

ValveArea valve_area(const cylinder::LiftCurve& lift, double peak, const numerics::Curve& bench) {
  base::require(ValveArea::kName, "highest lift", lift.highest(), "m",
                base::between(1e-4, bench.x().back() * (1.0 + 1e-9)),
                "the flow bench table ends there: measure higher lifts");
  const double open = lift.opening(), close = lift.closing();
  const int count = static_cast<int>(std::ceil((close - open) / (0.5 * base::kDegree)));
  std::vector<double> angle, area;
  for (int i = 0; i <= count; ++i) {
    const double a = open + (close - open) * i / count;
    angle.push_back(peak + a);
    area.push_back(i == 0 || i == count ? 0.0 : bench.at(lift.at(a)));
  }
  return valve_area(std::move(angle), std::move(area));
}

ValveArea valve_area(std::vector<double> angle, std::vector<double> area) {
  const char* where = ValveArea::kName;
  numerics::Curve curve(std::move(angle), std::move(area), where, "angle", "area");
  const auto& y = curve.y();
  for (double a : y) base::require(where, "area", a, "m^2", base::between(0.0, 0.1));
  for (double a : {y.front(), y.back()})
    base::require_that(a == 0.0, where, "area at an end = " + number_text(a) + " m^2", "0");
  base::require(where, "largest area", curve.highest(), "m^2", base::above_up_to(1e-6, 0.1));
  const double opening = curve.x().front(), closing = curve.x().back();
  return {std::move(curve), opening, closing};
}

void validate(const Runner& runner) {
  base::require_fields(runner);
  base::require_fields(runner.taper);
  const bool whole = runner.cells == static_cast<int>(runner.cells);
  base::require_that(whole && (runner.cells == 0.0 || runner.cells >= 4.0),
                     {.where = Runner::kName,
                      .field = "cells",
                      .value = number_text(runner.cells),
                      .rule = "be a whole number of at least 4",
                      .hint = "or 0 for no pipe"});
}

pipe::Shape Runner::shape(double far_correction) const {
  if (cells > 0.0) {
    pipe::Shape(taper, static_cast<int>(cells));  // NOLINT: refuses a cone that is too steep
    const double length = acting_length(far_correction);
    const double before = acting_length() - taper.length;
    const int count = static_cast<int>(cells);
    std::vector<double> diameters;
    for (int i = 0; i <= count; ++i) {
      const double along = std::max(length * i / count - before, 0.0);
      diameters.push_back(along > taper.length && far_correction > 0.0
                              ? taper.far_diameter
                              : taper.diameter +
                                    (taper.far_diameter - taper.diameter) * along / taper.length);
    }
    return {length, diameters, taper.friction_factor};
  }
  return pipe::Shape::none(0.25 * base::kPi * taper.far_diameter * taper.far_diameter);
}

Runner Runner::coarser() const {
  constexpr double kLeastCells = 4.0, kShare = 0.25;
  Runner coarse = *this;
  if (cells > kLeastCells) coarse.cells = std::max(kLeastCells, std::floor(kShare * cells));
  return coarse;
}

namespace {

void check_pipe(const Runner& runner, const ValveArea& valve, const char* name) {
  validate(runner);
  const double d = runner.taper.far_diameter;
  const double area = 0.25 * base::kPi * d * d;
  base::require_that(
      valve.area.highest() < area, name, "area at the valve = " + number_text(area) + " m^2",
      "above the valve's largest effective area, " + number_text(valve.area.highest()) + " m^2",
      "the pipe is thinner than its valve: check its diameter and the flow bench");
}

}  // namespace

Grids::Grids(const Setup& setup)
    : intake(setup.intake.shape()),
      exhaust(setup.exhaust.shape()),
      coarse_intake(setup.intake.coarser().shape()),
      coarse_exhaust(setup.exhaust.coarser().shape()) {}

bool Grids::coarsens() const {
  return coarse_intake.cells() + coarse_exhaust.cells() < intake.cells() + exhaust.cells();
}

void validate(const Setup& s) {
  cylinder::validate(s.crank);
  base::require_fields(s.burn);
  base::require_fields(s.heat_loss);
  check_pipe(s.intake, s.intake_valve, "Intake");
  check_pipe(s.exhaust, s.exhaust_valve, "Exhaust");
  base::require_fields(s);
  base::require_that(s.mixture.heat > 0.0, Setup::kName, "mixture has no heat",
                     "made by charge_mixture");
  const double turn = 2.0 * base::kPi;
  const double closing = s.intake_valve.closing - 2.0 * turn;
  base::require(Setup::kName, "intake closing", closing, "rad after firing top centre",
                base::between(-1.5 * base::kPi, -0.6), "the valve must be closed at ignition");
  base::require(Setup::kName, "exhaust opening", s.exhaust_valve.opening,
                "rad after firing top centre", base::between(0.8, 1.5 * base::kPi),
                "the valve must be closed during the burn");
  base::require_that(s.exhaust_valve.closing < s.intake_valve.closing &&
                         s.intake_valve.opening > s.exhaust_valve.opening,
                     Setup::kName, "the exhaust event is not before the intake event",
                     "exhaust first: check the centrelines");
}

}  // namespace airchain::cycle
