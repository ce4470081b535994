#pragma once

#include <cstring>
#include <memory>

#include "airchain/numerics/axis.hpp"
#include "airchain/numerics/cubic.hpp"

namespace airchain::numerics {

/// F quantities over a grid (u, v), bicubic Hermite. It knows its edge: values outside are those
/// at the nearest edge, and `inside_u` / `inside_v` say so. NaN gives NaN.
///
/// Kernels take a line first: `line(u)` finds the rows once per point, then `line.at(v)` needs
/// only the place in v, cheap enough for every iteration.
template <int F>
class Table {
 public:
  /// `values[iu * nv + iv]`. Throws InputError unless axes increase and all values are finite.
  Table(std::vector<double> u, std::vector<double> v, std::vector<std::array<double, F>> values,
        Slopes slopes = Slopes::smooth, const std::string& where = "Table",
        const std::string& u_name = "u", const std::string& v_name = "v");

  /// The curves over v at one u in every lane. It keeps the cubics of the cells asked last, since
  /// a search soon stays in one.
  template <class T>
  class Line {
   public:
    AIRCHAIN_INLINE Line(const Table& table, T u)
        : axis_(table.v_), rows_(AxisView(table.u_), u), cells_(table.cells_.data()) {
      for (int& row : rows_.index) row *= table.columns();
    }

    AIRCHAIN_INLINE std::array<T, F> at(T v) {
      const T t = go_to(v);
      std::array<T, F> result;
      for (std::size_t f = 0; f < F; ++f) result[f] = cubics_[f].at(t);
      return result;
    }

    /// The same, and the derivatives along v.
    AIRCHAIN_INLINE std::array<T, F> at(T v, std::array<T, F>& slopes) {
      const T t = go_to(v);
      T per_width(0.0);
      if (axis_.uniform)
        per_width = T(axis_.inverse_widths[0]);
      else if (axis_.size > 1)
        gather(per_width, axis_.inverse_widths, last_);
      std::array<T, F> result;
      for (std::size_t f = 0; f < F; ++f) {
        result[f] = cubics_[f].at(t);
        slopes[f] = cubics_[f].slope(t) * per_width;
      }
      return result;
    }

    /// One of the quantities alone, the cells kept as they are.
    template <int f>
    AIRCHAIN_INLINE T one_at(T v) const {
      const Place<T> place(axis_, v);
      Four rows[kLanes<T>];
      for (int i = 0; i < kLanes<T>; ++i) rows[i] = row(f, i, place.index[i]);
      return Cubic<T>::from(rows).at(place.fraction);
    }

   private:
    AIRCHAIN_INLINE T go_to(T v) {
      const Place<T> place(axis_, v);
      if (!started_ || std::memcmp(last_, place.index, sizeof last_) != 0) blend(place.index);
      return place.fraction;
    }
    AIRCHAIN_INLINE void blend(const int* index) {
      started_ = true;
      std::memcpy(last_, index, sizeof last_);
      Four rows[F][kLanes<T>];
      for (int f = 0; f < F; ++f)
        for (int i = 0; i < kLanes<T>; ++i) rows[f][i] = row(f, i, index[i]);
      for (int f = 0; f < F; ++f) cubics_[f] = Cubic<T>::from(rows[f]);
    }
    AIRCHAIN_INLINE Four row(int f, int i, int column) const {
      const auto* power =
          reinterpret_cast<const Four*>(cells_ + kCell * (rows_.index[i] + column) + 16 * f);
      return cubic_at(power[0], power[1], power[2], power[3], lane(rows_.fraction, i));
    }

    AxisView axis_;
    Place<T> rows_;
    const double* cells_;
    bool started_ = false;
    int last_[kLanes<T>] = {};
    Cubic<T> cubics_[F] = {};
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
    return values_[iu * v_.size() + iv][f];
  }

 private:
  // A cell holds, field by field, the coefficients of its bicubic: a row of four powers of v for
  // every power of u.
  static constexpr int kCell = 16 * F;
  int columns() const { return v_.size() < 2 ? 1 : static_cast<int>(v_.size()) - 1; }

  Axis u_;
  Axis v_;
  std::vector<std::array<double, F>> values_;
  std::vector<double> cells_;
};

extern template class Table<1>;
extern template class Table<3>;

}  // namespace airchain::numerics
