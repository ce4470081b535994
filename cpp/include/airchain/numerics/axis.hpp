#pragma once

#include <array>
#include <string>
#include <vector>

#include "airchain/numerics/pack.hpp"

namespace airchain::numerics {

/// How the slopes at the nodes are chosen.
enum class Slopes {
  monotone,  ///< never overshoots the data: Fritsch and Carlson 1980, weights of Fritsch and
             ///< Butland
  smooth,    ///< continuous second derivative: cubic spline, ends sloped by one-sided cubics
};

/// Slopes dy/dx at the nodes; `stride` apart in `y`, for any number of nodes from one upwards.
std::vector<double> node_slopes(const std::vector<double>& x, const double* y, std::size_t stride,
                                Slopes slopes);

/// Increasing nodes of one coordinate. Values are finite and strictly increasing, or InputError.
struct Axis {
  std::vector<double> nodes;
  std::vector<double> inverse_widths;
  bool uniform = false;

  Axis() = default;
  Axis(std::vector<double> nodes, const std::string& where, const std::string& name);

  double front() const { return nodes.front(); }
  double back() const { return nodes.back(); }
  std::size_t size() const { return nodes.size(); }
};

/// Raw view of an axis for the kernels.
struct AxisView {
  const double* nodes;
  const double* inverse_widths;
  int size;
  bool uniform;

  explicit AxisView(const Axis& axis)
      : nodes(axis.nodes.data()),
        inverse_widths(axis.inverse_widths.data()),
        size(static_cast<int>(axis.nodes.size())),
        uniform(axis.uniform) {}
};

/// Interval of every lane, the place in it from 0 to 1, and its width; x is held at the ends.
template <class T>
struct Place {
  int index[kLanes<T>];
  T fraction;
  T width;

  AIRCHAIN_INLINE Place(const AxisView& axis, T x) {
    T start(0.0);
    for (int i = 0; i < kLanes<T>; ++i) {
      int j = 0;
      if (axis.size > 1) {
        const double xi = lane(x, i);
        if (axis.uniform) {
          const double steps = (xi - axis.nodes[0]) * axis.inverse_widths[0];
          const double most = axis.size - 2;
          const double bounded = steps > 0.0 ? (steps < most ? steps : most) : 0.0;
          j = static_cast<int>(bounded);
        } else {
          int past = axis.size - 1;  // the first node known to lie right of x
          while (past - j > 1) {
            const int middle = (j + past) / 2;
            const bool right = xi >= axis.nodes[middle];
            j = right ? middle : j;
            past = right ? past : middle;
          }
        }
        set_lane(width, i, axis.nodes[j + 1] - axis.nodes[j]);
        set_lane(fraction, i, axis.inverse_widths[j]);
        set_lane(start, i, axis.nodes[j]);
      } else {
        set_lane(width, i, 0.0);
        set_lane(fraction, i, 0.0);
      }
      index[i] = j;
    }
    fraction = (x - start) * fraction;
    // NaN passes: a look-up at no number is no number.
    fraction = where(fraction <= T(0.0), T(0.0), where(fraction >= T(1.0), T(1.0), fraction));
  }
};

/// Weights of the cubic Hermite form: value and slope at the left node, then at the right.
template <class T>
struct HermiteWeights {
  T value_left, slope_left, value_right, slope_right;

  AIRCHAIN_INLINE explicit HermiteWeights(const Place<T>& place) {
    const T t = place.fraction;
    const T t2 = t * t;
    const T s = T(1.0) - t;
    value_right = t2 * (T(3.0) - (t + t));
    value_left = T(1.0) - value_right;
    slope_left = t * s * s * place.width;
    slope_right = (t - T(1.0)) * t2 * place.width;
  }
};

/// F cubic curves over one axis at x. `rows[lane]` points at a lane's nodes: for field f the pairs
/// (value, slope) of node j stand at f * 2 * size + 2 * j.
template <class T, int F>
AIRCHAIN_INLINE std::array<T, F> hermite(const AxisView& axis, const double* const* rows, T x) {
  const Place<T> place(axis, x);
  const HermiteWeights<T> weights(place);
  std::array<T, F> result;
  for (int f = 0; f < F; ++f) {
    T v0, s0, v1, s1;
    const int single = axis.size > 1 ? 2 : 0;
    for (int i = 0; i < kLanes<T>; ++i) {
      const double* pair = rows[i] + 2 * (f * axis.size + place.index[i]);
      set_lane(v0, i, pair[0]);
      set_lane(s0, i, pair[1]);
      set_lane(v1, i, pair[single]);
      set_lane(s1, i, pair[single + 1]);
    }
    result[static_cast<std::size_t>(f)] = (weights.value_left * v0 + weights.value_right * v1) +
                                          (weights.slope_left * s0 + weights.slope_right * s1);
  }
  return result;
}

}  // namespace airchain::numerics
