#include "airchain/numerics/block.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/base/guards.hpp"

namespace airchain::numerics {

namespace {

// A quantity and its derivatives at every node: bit 0 of the first index is a derivative along w,
// bit 1 along v, bit 2 along u.
using Derivatives = std::array<std::vector<double>, 8>;

// Derivatives of `from` along an axis that stands `stride` apart, in all lines of the grid.
std::vector<double> along(const Axis& axis, std::size_t stride, const std::vector<double>& from,
                          Slopes slopes) {
  std::vector<double> found(from.size());
  const std::size_t span = stride * axis.size();
  for (std::size_t start = 0; start < from.size(); start += span)
    for (std::size_t k = start; k < start + stride; ++k) {
      const auto m = node_slopes(axis.nodes, &from[k], stride, slopes);
      for (std::size_t i = 0; i < axis.size(); ++i) found[k + i * stride] = m[i];
    }
  return found;
}

Derivatives derivatives_of(const Axis& u, const Axis& v, const Axis& w,
                           std::vector<double> values) {
  const std::size_t nw = w.size(), nvw = v.size() * nw;
  Derivatives d;
  d[0] = std::move(values);
  d[1] = along(w, 1, d[0], Slopes::polynomial);
  for (std::size_t b : {0, 1}) d[2 + b] = along(v, nw, d[b], Slopes::smooth);
  for (std::size_t b : {0, 1, 2, 3}) d[4 + b] = along(u, nvw, d[b], Slopes::smooth);
  return d;
}

// Of an axis with a single node the slopes do not count.
std::array<double, 4> coefficients(const Axis& axis, std::size_t i, double y0, double s0, double y1,
                                   double s1) {
  if (axis.size() < 2) return {y0, 0.0, 0.0, 0.0};
  return cubic_coefficients(y0, s0, y1, s1, axis.width(i));
}

struct Corners {
  std::size_t first, far_u, far_v, far_w;  // offsets of the far corners, 0 along a single node
};

// Powers of v for every power of u for every power of w.
std::array<double, 64> cubics_of(const Derivatives& d, const Corners& at, const Axis& u,
                                 const Axis& v, const Axis& w,
                                 const std::array<std::size_t, 3>& place) {
  using Powers = std::array<double, 4>;
  const auto by_v = [&](std::size_t bits, std::size_t node) {
    return coefficients(v, place[1], d[bits][node], d[bits + 2][node], d[bits][node + at.far_v],
                        d[bits + 2][node + at.far_v]);
  };
  // Along v, then u; both the value and the slope along w at both of its ends.
  std::array<std::array<Powers, 4>, 4> ends;
  for (std::size_t e = 0; e < 4; ++e) {
    const std::size_t bits = e & 1, node = at.first + (e < 2 ? 0 : at.far_w);
    const Powers y0 = by_v(bits, node), s0 = by_v(bits + 4, node);
    const Powers y1 = by_v(bits, node + at.far_u), s1 = by_v(bits + 4, node + at.far_u);
    for (std::size_t k = 0; k < 4; ++k) {
      const Powers c = coefficients(u, place[0], y0[k], s0[k], y1[k], s1[k]);
      for (std::size_t j = 0; j < 4; ++j) ends[e][j][k] = c[j];
    }
  }
  std::array<double, 64> found;
  for (std::size_t j = 0; j < 4; ++j)
    for (std::size_t k = 0; k < 4; ++k) {
      const Powers c =
          coefficients(w, place[2], ends[0][j][k], ends[1][j][k], ends[2][j][k], ends[3][j][k]);
      for (std::size_t i = 0; i < 4; ++i) found[16 * i + 4 * j + k] = c[i];
    }
  return found;
}

std::size_t far(const Axis& axis, std::size_t stride) { return axis.size() < 2 ? 0 : stride; }

// Cells of one quantity, `F` quantities apart.
void append(std::vector<double>& cells, std::size_t f, std::size_t quantities, const Derivatives& d,
            const Axis& u, const Axis& v, const Axis& w) {
  const std::size_t nw = w.size(), nvw = v.size() * nw;
  std::size_t cell = 0;
  for (std::size_t iu = 0; iu < u.intervals(); ++iu)
    for (std::size_t iv = 0; iv < v.intervals(); ++iv)
      for (std::size_t iw = 0; iw < w.intervals(); ++iw, ++cell) {
        const Corners at{iu * nvw + iv * nw + iw, far(u, nvw), far(v, nw), far(w, 1)};
        const auto cubics = cubics_of(d, at, u, v, w, {iu, iv, iw});
        std::copy(cubics.begin(), cubics.end(), &cells[64 * (cell * quantities + f)]);
      }
}

}  // namespace

template <int F>
Block<F>::Block(std::vector<double> u, std::vector<double> v, std::vector<double> w,
                std::vector<std::array<double, F>> values, const std::string& where,
                const std::array<std::string, 3>& names)
    : u_(std::move(u), where, names[0]),
      v_(std::move(v), where, names[1]),
      w_(std::move(w), where, names[2]),
      values_(std::move(values)) {
  const std::size_t nv = v_.size(), nw = w_.size(), count = u_.size() * nv * nw;
  base::require_that(values_.size() == count, where,
                     "the block has " + std::to_string(values_.size()) + " values",
                     std::to_string(count) + ", one a node");
  cells_.resize(kCell * u_.intervals() * v_.intervals() * w_.intervals());
  for (std::size_t f = 0; f < F; ++f) {
    std::vector<double> one(count);
    for (std::size_t i = 0; i < count; ++i) {
      one[i] = values_[i][f];
      if (std::isfinite(one[i])) continue;
      const std::string text = base::number_text(one[i]);
      base::refuse({.where = where,
                    .value = text,
                    .rule = "be a finite number",
                    .indices = {{"value", static_cast<int>(i + 1)}},
                    .statement = "value " + std::to_string(i + 1) + " is " + text});
    }
    append(cells_, f, F, derivatives_of(u_, v_, w_, std::move(one)), u_, v_, w_);
  }
}

template class Block<1>;
template class Block<3>;
template class Block<5>;
template class Block<10>;
template class Block<24>;

}  // namespace airchain::numerics
