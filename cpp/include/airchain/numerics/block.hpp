#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "airchain/numerics/axis.hpp"
#include "airchain/numerics/cubic.hpp"

namespace airchain::numerics {

/// F quantities over a grid (u, v, w), tricubic Hermite: splines along u and v, and along w, which
/// has few nodes, the polynomial through all of them. Values outside are those at the nearest edge;
/// `inside` says so. NaN gives NaN.
template <int F>
class Block {
 public:
  /// `values[(iu * nv + iv) * nw + iw]`. Throws InputError unless axes increase and all values are
  /// finite. `names` are those of u, v, w in the errors.
  Block(std::vector<double> u, std::vector<double> v, std::vector<double> w,
        std::vector<std::array<double, F>> values, const std::string& where = "Block",
        const std::array<std::string, 3>& names = {"u", "v", "w"});

  template <class T>
  AIRCHAIN_INLINE std::array<T, F> at(T u, T v, T w) const {
    if constexpr (kLanes<T> == 1)
      return at_one(u, v, w);
    else
      return looked_up(u, v, w);
  }
  template <class T>
  AIRCHAIN_INLINE auto inside(T u, T v, T w) const {
    return within(u_, u) & within(v_, v) & within(w_, w);
  }

  const std::vector<double>& u() const { return u_.nodes; }
  const std::vector<double>& v() const { return v_.nodes; }
  const std::vector<double>& w() const { return w_.nodes; }
  /// The given values, node by node.
  const std::vector<std::array<double, F>>& values() const { return values_; }

 private:
  /// Every lane sums over the powers of u and w the cubics in v of its cell, four numbers at a
  /// time; these sums are then cubics in every lane.
  template <class T>
  AIRCHAIN_INLINE std::array<T, F> looked_up(T u, T v, T w) const {
    const AxisView u_axis(u_), v_axis(v_), w_axis(w_);
    const Place<T> pu(u_axis, u), pv(v_axis, v), pw(w_axis, w);
    const int columns = intervals(v_axis), layers = intervals(w_axis);
    const double* cell[kLanes<T>];
    for (int i = 0; i < kLanes<T>; ++i)
      cell[i] = cells_.data() + std::ptrdiff_t(kCell) *
                                    ((pu.index[i] * columns + pv.index[i]) * layers + pw.index[i]);
    std::array<T, F> result;
    for (std::size_t f = 0; f < F; ++f) {
      Four rows[kLanes<T>];
      for (int i = 0; i < kLanes<T>; ++i)
        rows[i] = row(cell[i] + 64 * f, lane(pu.fraction, i), lane(pw.fraction, i));
      result[f] = Cubic<T>::from(rows).at(pv.fraction);
    }
    return result;
  }
  /// Plain numbers lose nothing by a call, and the code is much smaller.
  __attribute__((noinline)) std::array<double, F> at_one(double u, double v, double w) const {
    return looked_up(u, v, w);
  }

  // A cell holds, field by field, the coefficients of its cubics: a row of four powers of v for
  // every power of u, and these for every power of w.
  static constexpr int kCell = 64 * F;

  static AIRCHAIN_INLINE int intervals(const AxisView& axis) {
    return axis.size < 2 ? 1 : axis.size - 1;
  }
  /// The cubic in v at one u and w of a cell's field.
  static AIRCHAIN_INLINE Four row(const double* field, double u, double w) {
    const auto* power = reinterpret_cast<const Four*>(field);
    const auto by_u = [power, u](int k) AIRCHAIN_INLINE_LAMBDA {
      return cubic_at(power[4 * k], power[4 * k + 1], power[4 * k + 2], power[4 * k + 3], u);
    };
    return cubic_at(by_u(0), by_u(1), by_u(2), by_u(3), w);
  }

  template <class T>
  static AIRCHAIN_INLINE auto within(const Axis& axis, T x) {
    return axis.size() < 2 ? x >= x : (x >= T(axis.front())) & (x <= T(axis.back()));
  }

  Axis u_, v_, w_;
  std::vector<std::array<double, F>> values_;
  std::vector<double> cells_;
};

extern template class Block<1>;
extern template class Block<3>;
extern template class Block<5>;
extern template class Block<10>;
extern template class Block<24>;

}  // namespace airchain::numerics
