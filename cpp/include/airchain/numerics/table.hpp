#pragma once

#include <memory>

#include "airchain/numerics/axis.hpp"

namespace airchain::numerics {

/// F quantities over a grid (u, v), bicubic Hermite. It knows its edge: values outside are those
/// at the nearest edge, and `inside_u` / `inside_v` say so.
///
/// Kernels take a line first: `line(u)` blends the two neighbouring rows once per point, then
/// `line.at(v)` is a one-dimensional look-up, cheap enough for every iteration.
template <int F>
class Table {
 public:
  static constexpr int kMostColumns = 33;

  /// `values[iu * nv + iv]`. Throws InputError unless axes increase and all values are finite.
  Table(std::vector<double> u, std::vector<double> v, std::vector<std::array<double, F>> values,
        Slopes slopes = Slopes::smooth, const std::string& where = "Table",
        const std::string& u_name = "u", const std::string& v_name = "v");

  /// The curve over v at one u in every lane.
  template <class T>
  class Line {
   public:
    AIRCHAIN_INLINE Line(const Table& table, T u) : axis_(table.v_) {
      const Place<T> place(AxisView(table.u_), u);
      const HermiteWeights<T> weights(place);
      const int row = 2 * F * axis_.size;
      const int next = table.u_.nodes.size() > 1 ? 2 * row : 0;
      for (int i = 0; i < kLanes<T>; ++i) {
        // A row holds its (value, slope) pairs, then their derivatives along u.
        const double* left = table.data_.data() + 2 * row * place.index[i];
        const double* right = left + next;
        const double w0 = lane(weights.value_left, i);
        const double w1 = lane(weights.slope_left, i);
        const double w2 = lane(weights.value_right, i);
        const double w3 = lane(weights.slope_right, i);
        double* out = blended_[i];
        for (int k = 0; k < row; ++k)
          out[k] = (w0 * left[k] + w2 * right[k]) + (w1 * left[k + row] + w3 * right[k + row]);
      }
    }

    AIRCHAIN_INLINE std::array<T, F> at(T v) const {
      const double* rows[kLanes<T>];
      for (int i = 0; i < kLanes<T>; ++i) rows[i] = blended_[i];
      return hermite<T, F>(axis_, rows, v);
    }

   private:
    AxisView axis_;
    double blended_[kLanes<T>][2 * F * kMostColumns];
  };

  template <class T>
  AIRCHAIN_INLINE Line<T> line(T u) const {
    return Line<T>(*this, u);
  }
  template <class T>
  AIRCHAIN_INLINE std::array<T, F> at(T u, T v) const {
    return line(u).at(v);
  }
  template <class T>
  AIRCHAIN_INLINE auto inside_u(T u) const {
    return u_.size() < 2 ? u >= u : (u >= T(u_.front())) & (u <= T(u_.back()));
  }
  template <class T>
  AIRCHAIN_INLINE auto inside_v(T v) const {
    return v_.size() < 2 ? v >= v : (v >= T(v_.front())) & (v <= T(v_.back()));
  }

  const std::vector<double>& u() const { return u_.nodes; }
  const std::vector<double>& v() const { return v_.nodes; }
  /// The typed value of field f at node (iu, iv).
  double node(std::size_t f, std::size_t iu, std::size_t iv) const {
    return data_[iu * 4 * F * v_.size() + 2 * (f * v_.size() + iv)];
  }

 private:
  Axis u_;
  Axis v_;
  std::vector<double> data_;
};

extern template class Table<1>;
extern template class Table<3>;

}  // namespace airchain::numerics
