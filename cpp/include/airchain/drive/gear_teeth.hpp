#pragma once

#include <tuple>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/drive/links.hpp"

namespace airchain::drive {

/// What the teeth of a gear pair are made of and how well they are cut and mounted.
struct GearTeeth {
  static constexpr const char* kName = "GearTeeth";
  double face_width{base::kRequired};
  double allowable_bending{base::kRequired};
  double allowable_contact{base::kRequired};
  double torsional_factor{base::kRequired};
  double quality{8.0};
  double load_distribution{1.3};
  double size_factor{1.0};
  double pressure_angle{20.0 * base::kPi / 180.0};
  double driving_geometry_factor{0.0};
  double driven_geometry_factor{0.0};
  double elastic_coefficient{191e3};

  static constexpr auto fields() {
    using base::between;
    using base::field;
    using G = GearTeeth;
    return std::tuple{
        field("face_width", &G::face_width, "m", between(0.002, 0.2), "of the narrower gear"),
        field("allowable_bending", &G::allowable_bending, "Pa", between(1e7, 2e9),
              "bending stress the root carries for the life, temperature and reliability wanted"),
        field("allowable_contact", &G::allowable_contact, "Pa", between(1e8, 5e9),
              "contact stress the flank carries, likewise"),
        field("torsional_factor", &G::torsional_factor, "1", between(1.0, 5.0),
              "peak over mean tooth force: what the crank's torsional vibration adds (the overload "
              "factor of AGMA)"),
        field("quality", &G::quality, "1", between(5.0, 11.0), "AGMA quality number, higher finer"),
        field("load_distribution", &G::load_distribution, "1", between(1.0, 4.0),
              "load at the worst place of the face over its mean"),
        field("size_factor", &G::size_factor, "1", between(1.0, 2.0), "1 for small teeth"),
        field("pressure_angle", &G::pressure_angle, "rad", between(0.2, 0.6), "of the teeth"),
        field("driving_geometry_factor", &G::driving_geometry_factor, "1", between(0.0, 1.0),
              "AGMA's J of the driving gear; 0 takes Lewis' form factor, loaded at the tip"),
        field("driven_geometry_factor", &G::driven_geometry_factor, "1", between(0.0, 1.0),
              "the same of the driven gear"),
        field("elastic_coefficient", &G::elastic_coefficient, "Pa^0.5", between(1e4, 1e6),
              "191 MPa^0.5 for steel on steel")};
  }

  /// The same teeth with the gears changed over.
  GearTeeth flipped() const;
  /// Pitch-line speed [m/s] up to which gears of this quality are rated:
  ///
  ///     V = (A + Q - 3)^2 / 200,   A = 50 + 56 (1 - B),   B = (12 - Q)^(2/3) / 4   [AGMA 2001]
  double fastest_pitch_line() const;
  /// Real over nominal tooth force from the teeth's own errors at a pitch-line speed V [m/s]:
  ///
  ///     Kv = ((A + sqrt(200 V)) / A)^B                                             [AGMA 2001]
  double dynamic_factor(double pitch_line_speed) const;
};

/// Lewis' form factor of a full-depth tooth of 20 degrees loaded at its tip: Shigley's Mechanical
/// Engineering Design, table 14-2 (from memory), straight between its rows; 12 teeth or more.
double lewis_form_factor(double teeth);

/// Stresses of a mesh, and by how much the load could grow until each is allowable.
struct GearStress {
  double dynamic_factor;    ///< [1]
  double driving_bending;   ///< at the root of the driving gear [Pa]
  double driven_bending;    ///< [Pa]
  double contact;           ///< at the flanks [Pa]
  double bending_capacity;  ///< load that the weaker root carries over the load [1]
  double contact_capacity;  ///< load that the flanks carry over the load [1]
};

/// Rates a mesh as spur teeth of its own module:
///
///     bending  s = F Ko Kv Ks KH / (b m J)
///     contact  s = Ze sqrt(F Ko Kv Ks KH / (d1 b I)),   I = cos phi sin phi / 2 u / (u + 1)
///
///     capacity of bending = allowable/s of the weaker root, of contact = (allowable/s)^2
///
/// [AGMA 2001-D04 and 2101-D04 as in Shigley, ch. 14]. F is the mean tooth force [N], d1 the pitch
/// diameter of the smaller gear, u the larger over the smaller tooth number. Contact grows with the
/// root of the load, so its capacity is the square of the ratio of stresses. Left out: helix angle
/// (helical teeth carry more), profile shift, thin rims, scuffing, wear, idlers loaded both ways;
/// life and temperature are in the allowable stresses. Throws InputError without a module, with
/// fewer than 12 teeth, or with Lewis' factor at another pressure angle than 20 degrees.
GearStress stress(const GearPair& pair, const GearTeeth& teeth, double pitch_line_speed,
                  double tangential_force);

}  // namespace airchain::drive
