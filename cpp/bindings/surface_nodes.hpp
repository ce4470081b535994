#pragma once

#include "airchain/cylinder/surface.hpp"
#include "arrays.hpp"

namespace airchain::bindings {

/// What a surface was made of.
cylinder::SurfaceNodes nodes_of(const cylinder::Surface& surface);
/// Values at the nodes over wave speed, pressure ratio and temperature.
Array array_over_axes(const cylinder::SurfaceNodes& nodes, const std::vector<double>& values);

}  // namespace airchain::bindings
