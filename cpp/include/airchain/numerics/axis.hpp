#pragma once

#include <array>
#include <string>
#include <vector>

#include "airchain/numerics/pack.hpp"

namespace airchain::numerics {

/// How the slopes at the nodes are chosen.
enum class Slopes {
  monotone,    ///< never overshoots the data: Fritsch and Carlson 1980, weights of Fritsch and
               ///< Butland
  smooth,      ///< continuous second derivative: cubic spline, ends sloped by one-sided cubics
  polynomial,  ///< those of the one polynomial through all nodes, for few of them
};

/// Slopes dy/dx at the nodes; `stride` apart in `y`, for any number of nodes from one upwards.
std::vector<double> node_slopes(const std::vector<double>& x, const double* y, std::size_t stride,
                                Slopes slopes);

/// Increasing nodes of one coordinate. Values are finite and strictly increasing, or InputError.
struct Axis {
  std::vector<double> nodes;
  std::vector<double> inverse_widths;
  bool uniform = false;
  std::vector<int> hints;  // of long uneven axes: interval at the start of every equal bucket
  double buckets_per_x = 0.0;

  Axis() = default;
  Axis(std::vector<double> nodes, const std::string& where, const std::string& name);

  double front() const { return nodes.front(); }
  double back() const { return nodes.back(); }
  std::size_t size() const { return nodes.size(); }
  /// A single node counts as one interval of no width.
  std::size_t intervals() const { return size() < 2 ? 1 : size() - 1; }
  double width(std::size_t i) const { return size() < 2 ? 0.0 : nodes[i + 1] - nodes[i]; }
};

/// Raw view of an axis for the kernels.
struct AxisView {
  const double* nodes;
  const double* inverse_widths;
  const int* hints;
  double buckets_per_x;
  int size, buckets;
  bool uniform;

  AIRCHAIN_INLINE explicit AxisView(const Axis& axis)
      : nodes(axis.nodes.data()),
        inverse_widths(axis.inverse_widths.data()),
        hints(axis.hints.data()),
        buckets_per_x(axis.buckets_per_x),
        size(static_cast<int>(axis.nodes.size())),
        buckets(static_cast<int>(axis.hints.size())),
        uniform(axis.uniform) {}
};

/// Axes up to this size are searched by counting, all lanes at once.
inline constexpr int kFewNodes = 12;

/// Interval of every lane and the place in it from 0 to 1; x is held at the ends. NaN stays NaN.
template <class T>
struct Place {
  int index[kLanes<T>];
  T fraction;

  AIRCHAIN_INLINE Place(const AxisView& axis, T x) {
    const T zero(0.0);
    const T one(1.0);
    if (axis.size < 2) {
      for (int& i : index) i = 0;
      fraction = where((x >= zero) | (x <= zero), zero, x);
      return;
    }
    if (axis.uniform) {
      const T steps = (x - T(axis.nodes[0])) * T(axis.inverse_widths[0]);
      const T held = max(min(steps, T(axis.size - 2.0)), zero);
      fraction = steps - whole(where(held > zero, held, zero), index);
    } else {
      if (axis.size <= kFewNodes) {
        T passed(0.0);
        for (int k = 1; k < axis.size - 1; ++k) passed += where(x >= T(axis.nodes[k]), one, zero);
        whole(passed, index);
      } else {
        for (int i = 0; i < kLanes<T>; ++i) index[i] = interval(axis, lane(x, i));
      }
      T start, inverse_width;
      gather(start, axis.nodes, index);
      gather(inverse_width, axis.inverse_widths, index);
      fraction = (x - start) * inverse_width;
    }
    // NaN passes: a look-up at no number is no number.
    fraction = where(fraction < zero, zero, where(fraction > one, one, fraction));
  }

 private:
  static AIRCHAIN_INLINE int interval(const AxisView& axis, double x) {
    const double steps = (x - axis.nodes[0]) * axis.buckets_per_x;
    const double most = axis.buckets - 1;
    int j = axis.hints[static_cast<int>(steps > 0.0 ? (steps < most ? steps : most) : 0.0)];
    while (j > 0 && x < axis.nodes[j]) --j;  // where rounding put x a bucket too far
    while (j < axis.size - 2 && x >= axis.nodes[j + 1]) ++j;
    return j;
  }
};

}  // namespace airchain::numerics
