#pragma once

#include <array>
#include <cstring>
#include <string>
#include <vector>

#include "airchain/numerics/axis.hpp"
#include "airchain/numerics/cubic.hpp"

namespace airchain::numerics {

/// F quantities over a grid (u, v, w), tricubic Hermite: splines along u and v, and along w, which
/// has few nodes, the polynomial through all of them. Values outside are those at the nearest edge;
/// `inside` says so. NaN gives NaN.
///
/// Kernels look up through a `Look`, which keeps the cubics of the cells asked last: a search soon
/// stays in one.
template <int F>
class Block {
 public:
  /// `values[(iu * nv + iv) * nw + iw]`. Throws InputError unless axes increase and all values are
  /// finite. `names` are those of u, v, w in the errors.
  Block(std::vector<double> u, std::vector<double> v, std::vector<double> w,
        std::vector<std::array<double, F>> values, const std::string& where = "Block",
        const std::array<std::string, 3>& names = {"u", "v", "w"});

  template <class T>
  class Look {
   public:
    AIRCHAIN_INLINE explicit Look(const Block& block)
        : u_(block.u_), v_(block.v_), w_(block.w_), cells_(block.cells_.data()) {}

    AIRCHAIN_INLINE std::array<T, F> at(T u, T v, T w) {
      const Place<T> pu(u_, u), pv(v_, v), pw(w_, w);
      int cell[kLanes<T>];
      const int columns = intervals(v_), layers = intervals(w_);
      for (int i = 0; i < kLanes<T>; ++i)
        cell[i] = (pu.index[i] * columns + pv.index[i]) * layers + pw.index[i];
      if (!started_ || std::memcmp(last_, cell, sizeof last_) != 0) fetch(cell);
      std::array<T, F> result;
      for (std::size_t f = 0; f < F; ++f)
        result[f] = value(cubics_[f], pu.fraction, pv.fraction, pw.fraction);
      return result;
    }

   private:
    static constexpr int kRows = 16;  // powers of v for every power of w and of u
    static AIRCHAIN_INLINE int intervals(const AxisView& axis) {
      return axis.size < 2 ? 1 : axis.size - 1;
    }
    static AIRCHAIN_INLINE T value(const Cubic<T>* rows, T u, T v, T w) {
      T by_w[4];
      for (int k = 0; k < 4; ++k) {
        const Cubic<T>* row = rows + 4 * k;
        by_w[k] = cubic_at(row[0].at(v), row[1].at(v), row[2].at(v), row[3].at(v), u);
      }
      return cubic_at(by_w[0], by_w[1], by_w[2], by_w[3], w);
    }
    AIRCHAIN_INLINE void fetch(const int* cell) {
      started_ = true;
      std::memcpy(last_, cell, sizeof last_);
      for (int f = 0; f < F; ++f)
        for (int k = 0; k < kRows; ++k) {
          Four rows[kLanes<T>];
          for (int i = 0; i < kLanes<T>; ++i)
            rows[i] = *reinterpret_cast<const Four*>(cells_ + kCell * cell[i] + 64 * f + 4 * k);
          cubics_[f][k] = Cubic<T>::from(rows);
        }
    }

    AxisView u_, v_, w_;
    const double* cells_;
    bool started_ = false;
    int last_[kLanes<T>] = {};
    Cubic<T> cubics_[F][kRows];
  };

  template <class T>
  AIRCHAIN_INLINE std::array<T, F> at(T u, T v, T w) const {
    return Look<T>(*this).at(u, v, w);
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
  // A cell holds, field by field, the coefficients of its cubics: a row of four powers of v for
  // every power of u, and these for every power of w.
  static constexpr int kCell = 64 * F;

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
