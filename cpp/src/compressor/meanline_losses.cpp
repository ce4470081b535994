#include "airchain/compressor/meanline_losses.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace airchain::compressor {
namespace {

using base::kPi;
namespace k = meanline_constants;
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

double mean_inlet_cosine(const Impeller& i) {
  return 0.5 * (std::cos(i.inlet_tip_blade_angle) + std::cos(i.inlet_hub_blade_angle));
}

}  // namespace

Passage passage_of(const Impeller& i) {
  const double eye = i.inlet_tip_radius + i.inlet_hub_radius;  // mean inlet diameter
  const double exit = 2.0 * i.exit_radius * std::cos(i.exit_backsweep);
  const double inlet_cosine = mean_inlet_cosine(i);
  const double length = kPi / 8.0 *
                        (2.0 * i.exit_radius - eye - i.exit_width + 2.0 * i.axial_length) * 2.0 /
                        (inlet_cosine + std::cos(i.exit_backsweep));
  const double aspect = eye / (i.inlet_tip_radius - i.inlet_hub_radius) * inlet_cosine;
  const double diameter = exit / (effective_blades(i) / kPi + exit / i.exit_width) +
                          eye * inlet_cosine / (i.full_blades / kPi + aspect);
  return {length, diameter};
}

VelocityTriangle velocities(double radius, double blade_speed, double meridional,
                            double tangential) {
  const double relative_tangential = blade_speed - tangential;
  const double square = meridional * meridional;
  return {radius,
          blade_speed,
          meridional,
          tangential,
          std::sqrt(square + tangential * tangential),
          std::sqrt(square + relative_tangential * relative_tangential),
          kNan,
          kNan,
          kNan};
}

VelocityTriangle velocity_triangle(const PerfectGas& gas, double radius, double blade_speed,
                                   double meridional, double tangential, double temperature) {
  VelocityTriangle triangle = velocities(radius, blade_speed, meridional, tangential);
  triangle.absolute_angle = std::atan2(tangential, meridional);
  triangle.relative_angle = std::atan2(blade_speed - tangential, meridional);
  triangle.mach = triangle.absolute / gas.sonic_speed(temperature);
  return triangle;
}

double best_incidence_angle(const Impeller& impeller) {
  const double beta = inlet_mean_blade_angle(impeller);
  const double blocked = impeller.full_blades * impeller.inlet_blade_thickness /
                         (2.0 * kPi * inlet_mean_radius(impeller) * std::cos(beta));
  const double tangent = std::tan(beta);
  return beta - std::atan(blocked * tangent / (1.0 + (1.0 - blocked) * tangent * tangent));
}

double incidence_loss(const Impeller& impeller, const VelocityTriangle& mean) {
  const double lost =
      mean.relative * std::sin(mean.relative_angle - best_incidence_angle(impeller));
  return k::kIncidence * 0.5 * lost * lost;
}

double choking_loss_coefficient(double flow_over_choke) {
  const double x = 11.0 - 10.0 / flow_over_choke;
  return x > 0.0 ? 0.5 * (0.05 * x + std::pow(x, 7)) : 0.0;
}

double diffusion_factor(const Impeller& impeller, const ImpellerState& s) {
  const double radius_ratio = impeller.inlet_tip_radius / impeller.exit_radius;
  const double ratio = s.tip.relative / s.exit.relative;
  const double work = s.exit.tangential / s.exit.blade_speed;
  return 1.0 - 1.0 / ratio +
         0.75 * work /
             (ratio *
              (effective_blades(impeller) / kPi * (1.0 - radius_ratio) + 2.0 * radius_ratio));
}

double skin_friction_loss(const Impeller& impeller, const ImpellerState& s) {
  const Passage& p = s.passage;
  const double speed = (s.tip.absolute + s.exit.absolute + s.tip.relative + 2.0 * s.hub.relative +
                        3.0 * s.exit.relative) /
                       8.0;
  const double viscosity = air_viscosity(0.5 * (s.inlet_temperature + s.exit_temperature));
  const double reynolds = 0.5 * (s.inlet_density + s.exit_density) * speed * p.diameter / viscosity;
  const double friction = friction_factor(reynolds, impeller.roughness / p.diameter);
  return 2.0 * friction * p.length / p.diameter * speed * speed;
}

double clearance_loss(const Impeller& i, const ImpellerState& s) {
  const double tangential = std::max(s.exit.tangential, 0.0);
  const double shape =
      (i.inlet_tip_radius * i.inlet_tip_radius - i.inlet_hub_radius * i.inlet_hub_radius) /
      ((i.exit_radius - i.inlet_tip_radius) * (1.0 + s.exit_density / s.inlet_density));
  return k::kClearance * i.tip_clearance / i.exit_width * tangential *
         std::sqrt(4.0 * kPi / (i.exit_width * effective_blades(i)) * shape * tangential *
                   s.mean.meridional);
}

double mixing_loss(double width_ratio, const VelocityTriangle& exit) {
  const double open = 1.0 - k::kWakeFraction;
  const double jump = (open - width_ratio) / open;
  return 0.5 * jump * jump * exit.meridional * exit.meridional;
}

double disc_friction_work(const Impeller& impeller, const ImpellerState& s) {
  const double r = impeller.exit_radius;
  const double u = s.exit.blade_speed;
  const double reynolds = u * r * s.exit_density / air_viscosity(s.exit_temperature);
  const double factor =
      reynolds < 3e5 ? 2.67 / std::sqrt(reynolds) : 0.0622 / std::pow(reynolds, 0.2);
  const double density = 0.5 * (s.inlet_density + s.exit_density);
  return factor * density * r * r * u * u * u / (4.0 * s.mass_flow);
}

double recirculation_work(double diffusion, const VelocityTriangle& exit) {
  const double tangent = std::max(exit.tangential / exit.meridional, 0.0);
  return k::kRecirculation * std::sqrt(tangent) * diffusion * diffusion * exit.blade_speed *
         exit.blade_speed;
}

double leakage_work(const Impeller& i, const ImpellerState& s) {
  const double length = s.passage.length;
  const double blades = effective_blades(i);
  const double mean_radius = 0.5 * (s.mean.radius + i.exit_radius);
  const double mean_width = 0.5 * (i.inlet_tip_radius - i.inlet_hub_radius + i.exit_width);
  const double moment = std::max(s.mass_flow * i.exit_radius * s.exit.tangential, 0.0);
  const double pressure_rise = moment / (blades * mean_radius * mean_width * length);
  const double speed = 0.816 * std::sqrt(2.0 * pressure_rise / s.exit_density);
  const double leak = s.exit_density * blades * i.tip_clearance * length * speed;
  return leak * speed * s.exit.blade_speed / (2.0 * s.mass_flow);
}

}  // namespace airchain::compressor
