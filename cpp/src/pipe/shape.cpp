#include "airchain/pipe/shape.hpp"

#include <cmath>
#include <limits>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"

namespace airchain::pipe {

namespace {

constexpr int kMostCells = 2000;

std::vector<double> faces_of(const Taper& taper, int cells) {
  base::require_fields(taper);
  base::require(Taper::kName, "cells", cells, "1", base::between(4, kMostCells));
  std::vector<double> faces;
  for (int i = 0; i <= cells; ++i)
    faces.push_back(taper.diameter + (taper.far_diameter - taper.diameter) * i / cells);
  return faces;
}

double area_of(double diameter) { return 0.25 * base::kPi * diameter * diameter; }

}  // namespace

Shape::Shape(const Taper& taper, int cells)
    : Shape(taper.length, faces_of(taper, cells), taper.friction_factor) {}

Shape::Shape(double length, const std::vector<double>& face_diameters, double friction_factor)
    : friction_factor_(friction_factor) {
  const auto count = static_cast<double>(face_diameters.size()) - 1.0;
  base::require(Taper::kName, "cells", count, "1", base::between(4, kMostCells));
  base::require(Taper::kName, "length", length, "m", base::between(0.02, 100.0));
  for (double d : face_diameters)
    base::require(Taper::kName, "diameter", d, "m", base::between(0.003, 2.0));
  width_ = length / count;
  left_area_ = area_of(face_diameters.front());
  right_area_ = area_of(face_diameters.back());
  for (std::size_t i = 0; i + 1 < face_diameters.size(); ++i) {
    const double d0 = face_diameters[i];
    const double d1 = face_diameters[i + 1];
    base::require(Taper::kName, "slope of the wall", 0.5 * std::abs(d1 - d0) / width_, "1",
                  base::between(0.0, 0.5), "the flow separates: use a gentler cone");
    const double volume = width_ * base::kPi / 12.0 * (d0 * d0 + d0 * d1 + d1 * d1);
    volume_.push_back(volume);
    entry_.push_back(area_of(d0) / volume);
    exit_.push_back(area_of(d1) / volume);
    widening_.push_back((area_of(d1) - area_of(d0)) / volume);
    wetted_.push_back(0.5 * base::kPi * (d0 + d1) * width_ / volume);
  }
}

Shape Shape::none(double area) {
  Shape shape;
  shape.left_area_ = shape.right_area_ = area;
  shape.width_ = std::numeric_limits<double>::infinity();
  return shape;
}

ShapeView Shape::view() const {
  return {cells(),        width_,        1.0 / width_, friction_factor_, left_area_,    right_area_,
          volume_.data(), entry_.data(), exit_.data(), widening_.data(), wetted_.data()};
}

}  // namespace airchain::pipe
