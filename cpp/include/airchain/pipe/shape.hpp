#pragma once

#include <vector>

#include "airchain/base/field.hpp"

namespace airchain::pipe {

/// A straight or conical pipe as built.
struct Taper {
  static constexpr const char* kName = "Pipe";
  double length = base::kRequired;
  double diameter = base::kRequired;
  double far_diameter = base::kRequired;
  double friction_factor = 0.006;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{field("length", &Taper::length, "m", between(0.02, 10.0), "from end to end"),
                      field("diameter", &Taper::diameter, "m", between(0.003, 0.5),
                            "inner diameter at the near end"),
                      field("far_diameter", &Taper::far_diameter, "m", between(0.003, 0.5),
                            "inner diameter at the far end; linear between"),
                      field("friction_factor", &Taper::friction_factor, "1", between(0.0, 0.1),
                            "Fanning's, a quarter of Darcy's; common practice 0.004 to 0.01")};
  }
};

/// Raw view of a shape for the kernels; per cell where it is a pointer.
struct ShapeView {
  int cells;
  double width, inverse_width, friction_factor;
  double left_area, right_area;
  const double* volume;
  const double* entry;     ///< area of the left face over the volume [1/m]
  const double* exit;      ///< the same of the right face
  const double* widening;  ///< their difference
  const double* wetted;    ///< wall area over the volume [1/m]
};

/// A pipe of round section cut into cells of equal length. Throws InputError for fewer than 4
/// cells, a dimension out of range or a cone steeper than 1 in 2 on the radius, where flow
/// separates.
class Shape {
 public:
  /// Face i of n at d = d_near + (d_far - d_near) i/n; cells dx = length/n long.
  Shape(const Taper& taper, int cells);
  /// From the diameters of all faces. A cell between d0 and d1 is a cone:
  ///
  ///     V = pi/12 dx (d0^2 + d0 d1 + d1^2),   A = pi/4 d^2,   wetted = pi/2 (d0 + d1) dx/V
  Shape(double length, const std::vector<double>& face_diameters, double friction_factor);

  /// No pipe, an opening alone.
  static Shape none(double area);

  ShapeView view() const;
  int cells() const { return static_cast<int>(volume_.size()); }
  double left_area() const { return left_area_; }
  double right_area() const { return right_area_; }
  double width() const { return width_; }

 private:
  Shape() = default;

  double width_ = 0.0, friction_factor_ = 0.0, left_area_ = 0.0, right_area_ = 0.0;
  std::vector<double> volume_, entry_, exit_, widening_, wetted_;
};

}  // namespace airchain::pipe
