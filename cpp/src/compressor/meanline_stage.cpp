#include "airchain/compressor/meanline_stage.hpp"

#include <cmath>
#include <string>

#include "airchain/base/guards.hpp"

namespace airchain::compressor {
namespace {

/// Diffuser width over radius up to which the chart of stall is stretched.
constexpr double kWidestDiffuser = 0.4;

void require_order(const char* where, const char* low_name, double low, const char* high_name,
                   double high) {
  base::require_that(low < high, {.where = where,
                                  .field = low_name,
                                  .value = base::quantity_text(low, "m"),
                                  .rule = std::string("be below ") + high_name + " = " +
                                          base::quantity_text(high, "m")});
}

void require_whole(const char* where, const char* name, double value) {
  base::require_that(value == std::round(value), {.where = where,
                                                  .field = name,
                                                  .value = base::number_text(value),
                                                  .rule = "be a whole number"});
}

void validate(const Impeller& impeller) {
  base::require_fields(impeller);
  const char* where = Impeller::kName;
  require_order(where, "inlet_hub_radius", impeller.inlet_hub_radius, "inlet_tip_radius",
                impeller.inlet_tip_radius);
  require_order(where, "inlet_tip_radius", impeller.inlet_tip_radius, "exit_radius",
                impeller.exit_radius);
  require_order(where, "tip_clearance", impeller.tip_clearance, "exit_width", impeller.exit_width);
  require_whole(where, "full_blades", impeller.full_blades);
  require_whole(where, "splitter_blades", impeller.splitter_blades);
  const double metal = effective_blades(impeller) * impeller.exit_blade_thickness /
                       (std::cos(impeller.exit_backsweep) * 2.0 * base::kPi * impeller.exit_radius);
  base::require_that(metal + impeller.exit_blockage < 0.6, where,
                     "blade metal and exit_blockage take " + base::number_text(metal * 100.0) +
                         " % and " + base::number_text(impeller.exit_blockage * 100.0) +
                         " % of the exit",
                     "below 60 % together", "check exit_blade_thickness and the blade count");
  const double annulus = base::kPi * (impeller.inlet_tip_radius * impeller.inlet_tip_radius -
                                      impeller.inlet_hub_radius * impeller.inlet_hub_radius);
  base::require_that(
      impeller.inducer_throat_area < annulus,
      {.where = where,
       .field = "inducer_throat_area",
       .value = base::quantity_text(impeller.inducer_throat_area, "m^2"),
       .rule = "be below the inlet annulus of " + base::quantity_text(annulus, "m^2")});
}

void validate(const Diffuser& diffuser, double impeller_radius) {
  base::require_fields(diffuser);
  require_order(Diffuser::kName, "impeller exit_radius", impeller_radius, "exit_radius",
                diffuser.exit_radius);
  base::require_that(
      diffuser.inlet_width < kWidestDiffuser * impeller_radius,
      {.where = Diffuser::kName,
       .field = "inlet_width",
       .value = base::quantity_text(diffuser.inlet_width, "m"),
       .rule = "be below " + base::number_text(kWidestDiffuser) + " times the impeller radius"});
  if (!diffuser.vanes) return;
  base::require_fields(*diffuser.vanes);
  require_order(Vanes::kName, "diffuser exit_radius", diffuser.exit_radius, "exit_radius",
                diffuser.vanes->exit_radius);
  const double annulus = 2.0 * base::kPi * diffuser.exit_radius * diffuser.exit_width;
  base::require_that(diffuser.vanes->throat_area < annulus,
                     {.where = Vanes::kName,
                      .field = "throat_area",
                      .value = base::quantity_text(diffuser.vanes->throat_area, "m^2"),
                      .rule = "be below the annulus at the leading edge of " +
                              base::quantity_text(annulus, "m^2")});
}

}  // namespace

void validate(const Stage& stage) {
  validate(stage.impeller);
  validate(stage.diffuser, stage.impeller.exit_radius);
  if (!stage.volute) return;
  base::require_fields(*stage.volute);
  const auto& vanes = stage.diffuser.vanes;
  const double radius = vanes ? vanes->exit_radius : stage.diffuser.exit_radius;
  require_order(Volute::kName, "diffuser exit_radius", radius, "throat_radius",
                stage.volute->throat_radius);
}

double inlet_mean_radius(const Impeller& impeller) {
  const double hub = impeller.inlet_hub_radius;
  const double tip = impeller.inlet_tip_radius;
  return std::sqrt(0.5 * (hub * hub + tip * tip));
}

double inlet_mean_blade_angle(const Impeller& impeller) {
  const double hub = std::tan(impeller.inlet_hub_blade_angle);
  const double tip = std::tan(impeller.inlet_tip_blade_angle);
  const double share = (inlet_mean_radius(impeller) - impeller.inlet_hub_radius) /
                       (impeller.inlet_tip_radius - impeller.inlet_hub_radius);
  return std::atan(hub + share * (tip - hub));
}

double estimated_inducer_throat_area(const Impeller& impeller) {
  const double height = impeller.inlet_tip_radius - impeller.inlet_hub_radius;
  const double opening =
      2.0 * base::kPi * inlet_mean_radius(impeller) * std::cos(inlet_mean_blade_angle(impeller)) -
      impeller.full_blades * impeller.inlet_blade_thickness;
  return height * opening;
}

}  // namespace airchain::compressor
