#pragma once

#include <cmath>

#include "airchain/compressor/meanline_map.hpp"

namespace airchain::compressor {

inline constexpr double kRadian = base::kPi / 180.0;

inline constexpr double kHeccDesignSpeed = 21789.0 * base::kRpm;

/// NASA's High Efficiency Centrifugal Compressor, vaned [NASA CR-2014-218114], every dimension from
/// memory of published descriptions or by the rule said beside it; nothing is fitted to the map but
/// the vane throat area, from one measured flow.
inline Stage hecc_stage() {
  Stage stage;
  Impeller& i = stage.impeller;
  i.exit_radius = 0.2159;                    // from memory: 17.0 in diameter
  i.exit_backsweep = 34.0 * kRadian;         // from memory
  i.full_blades = 15.0;                      // from memory
  i.splitter_blades = 15.0;                  // from memory
  i.tip_clearance = 0.0003;                  // from memory: 12 mil
  i.exit_width = 0.017;                      // from memory, of the sister machine CC3
  i.inlet_hub_radius = 0.0414;               // from memory, of CC3
  i.axial_length = 0.115;                    // guessed from pictures
  i.inlet_tip_radius = 0.110;                // least relative tip Mach number at 5.0 kg/s
  i.inlet_tip_blade_angle = 60.5 * kRadian;  // 1 to 2 degrees over the flow angle at 5.0 kg/s
  i.inlet_hub_blade_angle = 34.0 * kRadian;  // likewise
  i.inlet_blade_thickness = 0.0015;          // guessed
  i.exit_blade_thickness = 0.0015;           // guessed
  i.inducer_throat_area = estimated_inducer_throat_area(i);
  Vanes vanes;
  vanes.throat_area = 0.00565;  // from the choke flow measured at 100 % speed, by hand
  vanes.leading_edge_angle = 76.9 * kRadian;       // cos = throat over leading-edge annulus
  vanes.area_ratio = 2.6;                          // common practice, no source
  vanes.exit_radius = 0.30;                        // within 1.45 tip diameters, from memory
  vanes.exit_angle = 60.0 * kRadian;               // guessed; has no effect without a volute
  vanes.downstream_loss_coefficient = 0.3;         // bend and straightening vanes, common practice
  stage.diffuser = {0.017, 0.2331, 0.017, vanes};  // leading edge at 1.08 tip radii as in CC3
  return stage;
}

inline constexpr double kRaceDesignSpeed = 4000.0;  // tip speed 400 m/s

/// An invented race blower: 0.2 m impeller, vaneless diffuser, volute, about 1 kg/s. Sized by hand
/// from the usual proportions; nothing about it was tuned.
inline Stage race_blower(double backsweep_degrees) {
  Stage stage;
  Impeller& i = stage.impeller;
  i.inlet_hub_radius = 0.020;
  i.inlet_tip_radius = 0.052;
  i.inlet_hub_blade_angle = 36.0 * kRadian;
  i.inlet_tip_blade_angle = 62.0 * kRadian;
  i.inlet_blade_thickness = 0.0012;
  i.exit_radius = 0.100;
  i.exit_width = 0.0085;
  i.exit_backsweep = backsweep_degrees * kRadian;
  i.exit_blade_thickness = 0.0012;
  i.axial_length = 0.055;
  i.tip_clearance = 0.0004;
  i.full_blades = 9.0;
  i.splitter_blades = 9.0;
  i.inducer_throat_area = estimated_inducer_throat_area(i);
  stage.diffuser = {0.0085, 0.16, 0.0085, {}};
  stage.volute = Volute{0.19, 0.0037, 0.0045};
  return stage;
}

/// Eckardt's impeller O [Eckardt 1976, 1980], all from memory: 0.4 m, 20 radial blades, 14,000 rpm,
/// 5.31 kg/s, constant-area vaneless diffuser.
inline Stage eckardt_o() {
  Stage stage;
  Impeller& i = stage.impeller;
  i.inlet_hub_radius = 0.045;
  i.inlet_tip_radius = 0.140;
  i.inlet_tip_blade_angle = 63.0 * kRadian;
  i.inlet_hub_blade_angle = std::atan(std::tan(63.0 * kRadian) * 0.045 / 0.140);
  i.inlet_blade_thickness = 0.0021;
  i.exit_radius = 0.200;
  i.exit_width = 0.026;
  i.exit_backsweep = 0.0;
  i.exit_blade_thickness = 0.002;
  i.axial_length = 0.130;
  i.tip_clearance = 0.00037;
  i.full_blades = 20.0;
  i.inducer_throat_area = estimated_inducer_throat_area(i);
  stage.diffuser = {0.026, 0.3374, 0.026 / 1.687, {}};
  return stage;
}

}  // namespace airchain::compressor
