#pragma once

#include <optional>
#include <tuple>

#include "airchain/base/constants.hpp"
#include "airchain/base/field.hpp"

namespace airchain::compressor {

/// Dimensions of a centrifugal impeller with an axial inducer and no inlet swirl.
/// Lengths in m; inlet angles from the axis, backsweep from the radius, all in rad.
struct Impeller {
  static constexpr const char* kName = "Impeller";
  double inlet_hub_radius = base::kRequired;
  double inlet_tip_radius = base::kRequired;
  double inlet_hub_blade_angle = base::kRequired;
  double inlet_tip_blade_angle = base::kRequired;
  double inlet_blade_thickness = base::kRequired;
  double inducer_throat_area = base::kRequired;
  double exit_radius = base::kRequired;
  double exit_width = base::kRequired;
  double exit_backsweep = base::kRequired;
  double exit_blade_thickness = base::kRequired;
  double axial_length = base::kRequired;
  double tip_clearance = base::kRequired;
  double full_blades = base::kRequired;
  double splitter_blades = 0.0;
  double splitter_length_ratio = 0.7;
  double roughness = 10e-6;
  double inlet_blockage = 0.02;
  double exit_blockage = 0.05;

  static constexpr auto fields() {
    using I = Impeller;
    using base::above_up_to;
    using base::between;
    using base::field;
    return std::tuple{
        field("inlet_hub_radius", &I::inlet_hub_radius, "m", above_up_to(0.0, 1.0),
              "hub radius at the blade leading edge"),
        field("inlet_tip_radius", &I::inlet_tip_radius, "m", above_up_to(0.0, 1.0),
              "shroud radius at the blade leading edge"),
        field("inlet_hub_blade_angle", &I::inlet_hub_blade_angle, "rad", between(0.0, 1.4),
              "blade angle at the hub, from the axis"),
        field("inlet_tip_blade_angle", &I::inlet_tip_blade_angle, "rad", between(0.2, 1.4),
              "blade angle at the shroud, from the axis"),
        field("inlet_blade_thickness", &I::inlet_blade_thickness, "m", between(0.0, 0.02),
              "blade thickness at the leading edge"),
        field("inducer_throat_area", &I::inducer_throat_area, "m^2", above_up_to(0.0, 1.0),
              "smallest area between full blades, all passages"),
        field("exit_radius", &I::exit_radius, "m", above_up_to(0.0, 1.0), "tip radius at the exit"),
        field("exit_width", &I::exit_width, "m", above_up_to(0.0, 0.2), "blade height at the exit"),
        field("exit_backsweep", &I::exit_backsweep, "rad", between(-0.5, 1.2),
              "blade angle at the exit, from the radius, positive against rotation"),
        field("exit_blade_thickness", &I::exit_blade_thickness, "m", between(0.0, 0.02),
              "blade thickness at the exit"),
        field("axial_length", &I::axial_length, "m", above_up_to(0.0, 1.0),
              "axial length of the blades"),
        field("tip_clearance", &I::tip_clearance, "m", between(0.0, 0.01),
              "running clearance to the shroud"),
        field("full_blades", &I::full_blades, "1", between(3.0, 40.0), "number of full blades"),
        field("splitter_blades", &I::splitter_blades, "1", between(0.0, 40.0),
              "number of splitter blades"),
        field("splitter_length_ratio", &I::splitter_length_ratio, "1", between(0.0, 1.0),
              "splitter length over full-blade length"),
        field("roughness", &I::roughness, "m", between(0.0, 5e-4),
              "equivalent sand-grain roughness of the wetted surfaces"),
        field("inlet_blockage", &I::inlet_blockage, "1", between(0.0, 0.3),
              "share of the inlet annulus lost to boundary layers"),
        field("exit_blockage", &I::exit_blockage, "1", between(0.0, 0.4),
              "share of the exit area lost to boundary layers, besides blade metal")};
  }
};

/// Vanes and what follows them, if any.
struct Vanes {
  static constexpr const char* kName = "Vanes";
  double leading_edge_angle = base::kRequired;
  double throat_area = base::kRequired;
  double area_ratio = base::kRequired;
  double exit_radius = base::kRequired;
  double exit_angle = base::kRequired;
  double downstream_loss_coefficient = 0.0;

  static constexpr auto fields() {
    using V = Vanes;
    using base::above_up_to;
    using base::between;
    using base::field;
    return std::tuple{
        field("leading_edge_angle", &V::leading_edge_angle, "rad", between(0.5, 1.5),
              "vane angle at the leading edge, from the radius"),
        field("throat_area", &V::throat_area, "m^2", above_up_to(0.0, 1.0),
              "smallest area between vanes, all passages"),
        field("area_ratio", &V::area_ratio, "1", between(1.0, 6.0),
              "passage exit area over throat area"),
        field("exit_radius", &V::exit_radius, "m", above_up_to(0.0, 2.0), "trailing-edge radius"),
        field("exit_angle", &V::exit_angle, "rad", between(0.0, 1.5),
              "flow angle leaving the vanes, from the radius"),
        field("downstream_loss_coefficient", &V::downstream_loss_coefficient, "1",
              between(0.0, 2.0),
              "total pressure lost after the vanes (bend, straighteners) over their exit dynamic "
              "pressure")};
  }
};

/// The vaneless space behind the impeller, alone or up to the vanes. Width runs linearly.
struct Diffuser {
  static constexpr const char* kName = "Diffuser";
  double inlet_width = base::kRequired;
  double exit_radius = base::kRequired;
  double exit_width = base::kRequired;
  std::optional<Vanes> vanes{};

  static constexpr auto fields() {
    using D = Diffuser;
    using base::above_up_to;
    using base::field;
    return std::tuple{
        field("inlet_width", &D::inlet_width, "m", above_up_to(0.0, 0.2),
              "passage width at the impeller exit"),
        field("exit_radius", &D::exit_radius, "m", above_up_to(0.0, 2.0),
              "radius where the vaneless space ends (the vane leading edge, if vaned)"),
        field("exit_width", &D::exit_width, "m", above_up_to(0.0, 0.2),
              "passage width where the vaneless space ends")};
  }
};

/// A collecting volute and its exit cone.
struct Volute {
  static constexpr const char* kName = "Volute";
  double throat_radius = base::kRequired;
  double throat_area = base::kRequired;
  double exit_area = base::kRequired;
  double roughness = 50e-6;

  static constexpr auto fields() {
    using V = Volute;
    using base::above_up_to;
    using base::between;
    using base::field;
    return std::tuple{field("throat_radius", &V::throat_radius, "m", above_up_to(0.0, 2.0),
                            "radius of the centre of the full-collection section"),
                      field("throat_area", &V::throat_area, "m^2", above_up_to(0.0, 1.0),
                            "area of the full-collection section"),
                      field("exit_area", &V::exit_area, "m^2", above_up_to(0.0, 1.0),
                            "area at the discharge flange"),
                      field("roughness", &V::roughness, "m", between(0.0, 1e-3),
                            "equivalent sand-grain roughness of the casting")};
  }
};

/// Impeller, diffuser and, where there is one, volute.
struct Stage {
  Impeller impeller{};
  Diffuser diffuser{};
  std::optional<Volute> volute{};
};

/// Throws InputError naming the first dimension that is out of range or at odds with another.
void validate(const Stage& stage);

/// Root-mean-square radius of the inducer eye [m]: r = sqrt((r_hub^2 + r_tip^2)/2).
double inlet_mean_radius(const Impeller& impeller);

/// Blade angle at that radius [rad]: its tangent runs linearly from hub to tip.
///
///     tan(beta) = tan(beta_h) + (r - r_hub)/(r_tip - r_hub) (tan(beta_t) - tan(beta_h))
double inlet_mean_blade_angle(const Impeller& impeller);

/// Inducer throat area [m^2] from blade angle and thickness at the mean radius. For an impeller not
/// yet measured; `inducer_throat_area` itself is not read.
///
///     A = (r_tip - r_hub) (2 pi r cos(beta) - Z t),   Z of the full blades
double estimated_inducer_throat_area(const Impeller& impeller);

/// Blades as slip and loading see them: splitters count by their length.
///
///     Z = Z_full + Z_splitter (splitter length/full length)                         [Aungier2000]
inline double effective_blades(const Impeller& impeller) {
  return impeller.full_blades + impeller.splitter_blades * impeller.splitter_length_ratio;
}

}  // namespace airchain::compressor
