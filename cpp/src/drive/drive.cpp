#include "airchain/drive/drive.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/base/constants.hpp"

namespace airchain::drive {

namespace {

template <class L>
double transmitted(const L& link) {
  return link.efficiency;
}
double transmitted(const PulleyPair& link) { return link.efficiency * (1.0 - link.slip); }

double efficiency(const Link& link) {
  return std::visit([](const auto& l) { return transmitted(l); }, link);
}

void require_whole(double teeth, const char* name) {
  base::require_that(teeth == std::floor(teeth), {.where = GearPair::kName,
                                                  .field = name,
                                                  .value = base::number_text(teeth),
                                                  .rule = "be a whole number from 8 to 200"});
}

void check(const GearPair& pair) {
  require_whole(pair.driving_teeth, "driving_teeth");
  require_whole(pair.driven_teeth, "driven_teeth");
}
void check(const StepUp&) {}
void check(const PulleyPair& pair) {
  const double least = 0.5 * (pair.driving_diameter + pair.driven_diameter);
  base::require_that(
      pair.centre_distance == 0.0 || pair.centre_distance > least,
      {.where = PulleyPair::kName,
       .field = "centre_distance",
       .value = base::quantity_text(pair.centre_distance, "m"),
       .rule = "be above " + base::quantity_text(least, "m") + ", or the pulleys overlap"});
  base::require_that(!(pair.toothed() && pair.slip > 0.0),
                     {.where = PulleyPair::kName,
                      .field = "slip",
                      .value = base::number_text(pair.slip) + " with a rated_tension",
                      .rule = "be 0 for a toothed belt",
                      .hint = "toothed belts do not slip, they jump or shear"});
}

}  // namespace

double PulleyPair::wrap_angle() const {
  if (centre_distance == 0.0) return base::kPi;
  const double half = 0.5 * std::abs(driving_diameter - driven_diameter);
  return base::kPi - 2.0 * std::asin(half / centre_distance);
}

double PulleyPair::belt_length() const {
  if (centre_distance == 0.0) return std::nan("");
  const double large = std::max(driving_diameter, driven_diameter);
  const double small = std::min(driving_diameter, driven_diameter);
  const double straight =
      std::sqrt(4.0 * centre_distance * centre_distance - (large - small) * (large - small));
  const double wrap = wrap_angle();
  return straight + 0.5 * (large * (2.0 * base::kPi - wrap) + small * wrap);
}

double PulleyPair::tension_capacity() const {
  if (toothed()) return rated_tension;
  if (static_tension == 0.0 || friction_coefficient == 0.0) return base::kInfinity;
  const double grip = std::exp(friction_coefficient * wrap_angle());
  return 2.0 * static_tension * (grip - 1.0) / (grip + 1.0);
}

double PulleyPair::capacity_lost_to_speed() const {
  if (toothed()) return belt_mass_per_length;
  const double capacity = tension_capacity();
  return std::isfinite(capacity) ? belt_mass_per_length * capacity / static_tension : 0.0;
}

double ratio(const Link& link) {
  return std::visit([](const auto& l) { return l.ratio(); }, link);
}

void validate(const Link& link) {
  std::visit(
      [](const auto& l) {
        base::require_fields(l);
        check(l);
      },
      link);
}

int rotation(const std::vector<Link>& links) {
  int sense = 1;
  for (const auto& link : links)
    if (std::visit([](const auto& l) { return l.reverses(); }, link)) sense = -sense;
  return sense;
}

Drive<double> reduce(const std::vector<Link>& links, const Drive<double>& rest) {
  Drive<double> drive = rest;
  drive.drive_ratio = drive.step_up = drive.efficiency = 1.0;
  double speed_before = 1.0;
  int belts = 0;
  double efficiency_from[kMostBelts] = {};
  for (const auto& link : links) {
    validate(link);
    (std::holds_alternative<StepUp>(link) ? drive.step_up : drive.drive_ratio) *= ratio(link);
    if (const auto* pair = std::get_if<PulleyPair>(&link)) {
      base::require_that(belts < kMostBelts, "Drive", "the train has a third pulley pair",
                         "at most two");
      auto& belt = drive.belts[belts];
      belt.speed_per_crank_speed = 0.5 * pair->driving_diameter * speed_before;
      belt.capacity = pair->tension_capacity();
      belt.mass_term = pair->capacity_lost_to_speed();
      efficiency_from[belts++] = drive.efficiency;
    }
    drive.efficiency *= efficiency(link);
    speed_before *= ratio(link);
  }
  for (int i = 0; i < belts; ++i)
    drive.belts[i].power_per_rotor_power = efficiency_from[i] / drive.efficiency;
  base::require_fields(drive);
  return drive;
}

std::vector<LinkLoad> loads(const std::vector<Link>& links, double crank_speed,
                            double rotor_torque) {
  base::require("Drive", "crank_speed", crank_speed, "rad/s", base::above_up_to(0.0, 5e3));
  const double unknown = std::nan("");
  std::vector<LinkLoad> table(links.size());
  double speed = crank_speed;
  for (std::size_t i = 0; i < links.size(); ++i) {
    validate(links[i]);
    table[i].speed_in = speed;
    speed *= ratio(links[i]);
    table[i].speed_out = speed;
  }
  double power = rotor_torque * speed;
  for (std::size_t i = links.size(); i-- > 0;) {
    auto& row = table[i];
    const double power_out = power;
    row.power_in = power_out / efficiency(links[i]);
    row.power_loss = row.power_in - power_out;
    row.torque_out = power_out / row.speed_out;
    row.torque_in = row.power_in / row.speed_in;
    row.pitch_line_speed = row.effective_tension = row.shaft_load = unknown;
    row.tension_capacity = base::kInfinity;
    if (const auto* gears = std::get_if<GearPair>(&links[i]); gears && gears->module > 0.0) {
      row.pitch_line_speed = 0.5 * gears->module * gears->driving_teeth * row.speed_in;
      row.effective_tension = row.power_in / row.pitch_line_speed;
    }
    if (const auto* pair = std::get_if<PulleyPair>(&links[i])) {
      const double v = 0.5 * pair->driving_diameter * row.speed_in;
      row.pitch_line_speed = v;
      row.effective_tension = row.power_in / v;
      row.tension_capacity = pair->tension_capacity() - pair->capacity_lost_to_speed() * v * v;
      if (pair->static_tension > 0.0) row.shaft_load = 2.0 * pair->static_tension;
    }
    power = row.power_in;
  }
  return table;
}

double reflected_inertia(double rotor_inertia, double speed_ratio) {
  return rotor_inertia * speed_ratio * speed_ratio;
}

}  // namespace airchain::drive
