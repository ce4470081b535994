#include "airchain/drive/gear_teeth.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace airchain::drive {

namespace {

struct Row {
  double teeth, factor;
};
constexpr std::array kLewis{Row{12, 0.245}, Row{13, 0.261},  Row{14, 0.277},  Row{15, 0.290},
                            Row{16, 0.296}, Row{17, 0.303},  Row{18, 0.309},  Row{19, 0.314},
                            Row{20, 0.322}, Row{21, 0.328},  Row{22, 0.331},  Row{24, 0.337},
                            Row{26, 0.346}, Row{28, 0.353},  Row{30, 0.359},  Row{34, 0.371},
                            Row{38, 0.384}, Row{43, 0.397},  Row{50, 0.409},  Row{60, 0.422},
                            Row{75, 0.435}, Row{100, 0.447}, Row{150, 0.460}, Row{300, 0.472}};

double exponent(double quality) { return 0.25 * std::pow(12.0 - quality, 2.0 / 3.0); }
double base_of(double quality) { return 50.0 + 56.0 * (1.0 - exponent(quality)); }

double root_factor(const GearTeeth& teeth, double geometry_factor, double count) {
  if (geometry_factor > 0.0) return geometry_factor;
  constexpr double kStandard = 20.0 * base::kPi / 180.0;
  base::require_that(std::abs(teeth.pressure_angle - kStandard) < 1e-3,
                     {.where = GearTeeth::kName,
                      .field = "pressure_angle",
                      .value = base::quantity_text(teeth.pressure_angle, "rad"),
                      .rule = "be 20 degrees where no geometry factor is given",
                      .hint = "Lewis' form factors are of 20 degree teeth"});
  return lewis_form_factor(count);
}

}  // namespace

GearTeeth GearTeeth::flipped() const {
  GearTeeth other = *this;
  std::swap(other.driving_geometry_factor, other.driven_geometry_factor);
  return other;
}

double GearTeeth::fastest_pitch_line() const {
  const double reach = base_of(quality) + quality - 3.0;
  return reach * reach / 200.0;
}

double GearTeeth::dynamic_factor(double pitch_line_speed) const {
  const double a = base_of(quality);
  return std::pow((a + std::sqrt(200.0 * pitch_line_speed)) / a, exponent(quality));
}

double lewis_form_factor(double teeth) {
  base::require(GearTeeth::kName, "teeth", teeth, "1", base::between(kLewis.front().teeth, 1e4),
                "Lewis' form factor starts there; give a geometry factor");
  const auto above = std::find_if(kLewis.begin(), kLewis.end(),
                                  [teeth](const Row& row) { return row.teeth >= teeth; });
  if (above == kLewis.begin()) return above->factor;
  if (above == kLewis.end()) return kLewis.back().factor;
  const auto below = above - 1;
  const double share = (teeth - below->teeth) / (above->teeth - below->teeth);
  return below->factor + share * (above->factor - below->factor);
}

GearStress stress(const GearPair& pair, const GearTeeth& teeth, double pitch_line_speed,
                  double tangential_force) {
  validate(Link(pair));
  base::require_fields(teeth);
  base::require(GearPair::kName, "module", pair.module, "m",
                base::above_up_to(0.0, base::kInfinity), "teeth are rated by their module");
  base::require("GearStress", "pitch_line_speed", pitch_line_speed, "m/s",
                base::between(0.0, base::kInfinity));
  base::require("GearStress", "tangential_force", tangential_force, "N",
                base::between(0.0, base::kInfinity));
  GearStress found{};
  found.dynamic_factor = teeth.dynamic_factor(pitch_line_speed);
  const double force = tangential_force * teeth.torsional_factor * found.dynamic_factor *
                       teeth.size_factor * teeth.load_distribution;
  const double root = force / (teeth.face_width * pair.module);
  found.driving_bending =
      root / root_factor(teeth, teeth.driving_geometry_factor, pair.driving_teeth);
  found.driven_bending = root / root_factor(teeth, teeth.driven_geometry_factor, pair.driven_teeth);
  const double pinion = std::min(pair.driving_teeth, pair.driven_teeth);
  const double u = std::max(pair.driving_teeth, pair.driven_teeth) / pinion;
  const double geometry =
      0.5 * std::cos(teeth.pressure_angle) * std::sin(teeth.pressure_angle) * u / (u + 1.0);
  found.contact = teeth.elastic_coefficient *
                  std::sqrt(force / (pinion * pair.module * teeth.face_width * geometry));
  found.bending_capacity =
      teeth.allowable_bending / std::max(found.driving_bending, found.driven_bending);
  const double ratio = teeth.allowable_contact / found.contact;
  found.contact_capacity = ratio * ratio;
  return found;
}

}  // namespace airchain::drive
