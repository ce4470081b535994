#include <Eigen/Dense>
#include <Eigen/SparseLU>

#include <algorithm>
#include <cmath>

#include "airchain/base/guards.hpp"
#include "airchain/numerics/curve.hpp"
#include "airchain/numerics/table.hpp"

namespace airchain::numerics {

using base::number_text;
using base::require_that;

namespace {

[[noreturn]] void refuse_node(const std::string& where, const std::string& name, std::size_t i,
                              double value, const std::string& rule, const std::string& hint = {}) {
  const std::string text = number_text(value);
  base::refuse({.where = where,
                .field = name,
                .value = text,
                .rule = rule,
                .hint = hint,
                .indices = {{"value", static_cast<int>(i + 1)}},
                .statement = name + "[" + std::to_string(i) + "] = " + text});
}

[[noreturn]] void refuse_cell(const std::string& where, std::size_t row, std::size_t column,
                              double value) {
  const int i = static_cast<int>(row + 1), j = static_cast<int>(column + 1);
  const std::string text = number_text(value);
  base::refuse({.where = where,
                .value = text,
                .rule = "be a finite number",
                .indices = {{"row", i}, {"column", j}},
                .statement = "the value in row " + std::to_string(i) + ", column " +
                             std::to_string(j) + " is " + text});
}

// End slope from the parabola through three points, kept shape-preserving. [Fritsch and Butland]
double monotone_end_slope(double h0, double h1, double d0, double d1) {
  const double slope = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  if (slope * d0 <= 0.0) return 0.0;
  if (d0 * d1 <= 0.0 && std::abs(slope) > 3.0 * std::abs(d0)) return 3.0 * d0;
  return slope;
}

std::vector<double> monotone_slopes(const std::vector<double>& h, const std::vector<double>& d) {
  const std::size_t n = d.size() + 1;
  std::vector<double> m(n);
  m[0] = monotone_end_slope(h[0], h[1], d[0], d[1]);
  m[n - 1] = monotone_end_slope(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
  for (std::size_t i = 1; i + 1 < n; ++i) {
    if (d[i - 1] * d[i] <= 0.0) continue;
    const double w1 = 2.0 * h[i] + h[i - 1];
    const double w2 = h[i] + 2.0 * h[i - 1];
    m[i] = (w1 + w2) / (w1 / d[i - 1] + w2 / d[i]);
  }
  return m;
}

// Differentiation matrix of the polynomial through nodes x: slopes there are D y.
//
//     D_ij = (w_j / w_i) / (x_i - x_j),   D_ii = -sum D_ij,   w_j = 1 / prod (x_j - x_k)
//
// [Berrut and Trefethen, SIAM Review 46, 2004, sec. 9.3; from memory]. For a handful of nodes: the
// weights of many evenly spaced ones leave the range of a double.
Eigen::MatrixXd differentiation_matrix(const Eigen::Ref<const Eigen::VectorXd>& x) {
  const Eigen::Index n = x.size();
  Eigen::MatrixXd gaps = x.replicate(1, n) - x.transpose().replicate(n, 1);
  gaps.diagonal().setOnes();
  const Eigen::VectorXd weights = gaps.rowwise().prod().cwiseInverse();
  Eigen::MatrixXd d = weights.cwiseInverse() * weights.transpose();
  d = d.cwiseQuotient(gaps);
  d.diagonal().setZero();
  d.diagonal() = -d.rowwise().sum();
  return d;
}

Eigen::Map<const Eigen::VectorXd> view(const std::vector<double>& values) {
  return {values.data(), static_cast<Eigen::Index>(values.size())};
}

std::vector<double> listed(const Eigen::VectorXd& values) {
  return {values.data(), values.data() + values.size()};
}

std::vector<double> polynomial_slopes(const std::vector<double>& x, const std::vector<double>& y) {
  return listed(differentiation_matrix(view(x)) * view(y));
}

// Slopes of the cubic spline whose ends follow the cubic through the four points there:
//
//     h_i m_(i-1) + 2 (h_(i-1) + h_i) m_i + h_(i-1) m_(i+1) = 3 (h_i d_(i-1) + h_(i-1) d_i)
std::vector<double> smooth_slopes(const std::vector<double>& x, const std::vector<double>& y,
                                  const std::vector<double>& h, const std::vector<double>& d) {
  const auto n = static_cast<Eigen::Index>(x.size());
  if (n == 3) {
    const double mid = (h[1] * d[0] + h[0] * d[1]) / (h[0] + h[1]);
    return {2.0 * d[0] - mid, mid, 2.0 * d[1] - mid};
  }
  Eigen::VectorXd right(n);
  right[0] = differentiation_matrix(view(x).head(4)).row(0) * view(y).head(4);
  right[n - 1] = differentiation_matrix(view(x).tail(4)).row(3) * view(y).tail(4);
  std::vector<Eigen::Triplet<double>> entries{{0, 0, 1.0}, {int(n - 1), int(n - 1), 1.0}};
  for (int i = 1; i + 1 < int(n); ++i) {
    const auto k = static_cast<std::size_t>(i);
    entries.emplace_back(i, i - 1, h[k]);
    entries.emplace_back(i, i, 2.0 * (h[k - 1] + h[k]));
    entries.emplace_back(i, i + 1, h[k - 1]);
    right[i] = 3.0 * (h[k] * d[k - 1] + h[k - 1] * d[k]);
  }
  Eigen::SparseMatrix<double> banded(n, n);
  banded.setFromTriplets(entries.begin(), entries.end());
  return listed(Eigen::SparseLU<Eigen::SparseMatrix<double>>(banded).solve(right));
}

// Coefficients of interval i from the (value, slope) pairs of its nodes; a single node is one
// interval of no width.
std::array<double, 4> cell_of(const Axis& axis, std::size_t i, const double* pairs) {
  if (axis.size() < 2) return {pairs[0], 0.0, 0.0, 0.0};
  const double* left = pairs + 2 * i;
  return cubic_coefficients(left[0], left[1], left[2], left[3], axis.width(i));
}

void append(std::vector<double>& list, const std::array<double, 4>& numbers) {
  list.insert(list.end(), numbers.begin(), numbers.end());
}

}  // namespace

std::vector<double> node_slopes(const std::vector<double>& x, const double* y, std::size_t stride,
                                Slopes slopes) {
  const std::size_t n = x.size();
  if (n < 2) return std::vector<double>(n, 0.0);
  std::vector<double> values(n), h(n - 1), d(n - 1);
  for (std::size_t i = 0; i < n; ++i) values[i] = y[i * stride];
  for (std::size_t i = 0; i + 1 < n; ++i) {
    h[i] = x[i + 1] - x[i];
    d[i] = (values[i + 1] - values[i]) / h[i];
  }
  if (n == 2) return {d[0], d[0]};
  if (slopes == Slopes::polynomial) return polynomial_slopes(x, values);
  return slopes == Slopes::monotone ? monotone_slopes(h, d) : smooth_slopes(x, values, h, d);
}

Axis::Axis(std::vector<double> given, const std::string& where, const std::string& name)
    : nodes(std::move(given)) {
  require_that(!nodes.empty(), {.where = where,
                                .field = name,
                                .rule = "be at least one number",
                                .statement = name + " is empty"});
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    if (!std::isfinite(nodes[i])) refuse_node(where, name, i, nodes[i], "be a finite number");
    if (i > 0 && !(nodes[i] > nodes[i - 1]))
      refuse_node(where, name, i, nodes[i],
                  "be greater than the one before it (" + number_text(nodes[i - 1]) + ")",
                  "sort the points and remove duplicates");
  }
  if (nodes.size() < 2) return;
  const double step = (nodes.back() - nodes.front()) / double(intervals());
  uniform = true;
  for (std::size_t i = 0; i < intervals(); ++i) {
    inverse_widths.push_back(1.0 / width(i));
    if (std::abs(width(i) - step) > 1e-9 * step) uniform = false;
  }
  if (uniform || nodes.size() <= kFewNodes) return;
  const std::size_t buckets = 4 * intervals();
  buckets_per_x = double(buckets) / (back() - front());
  for (std::size_t b = 0, j = 0; b < buckets; ++b) {
    while (j + 1 < intervals() && nodes[j + 1] <= front() + double(b) / buckets_per_x) ++j;
    hints.push_back(static_cast<int>(j));
  }
}

Curve::Curve(std::vector<double> x, std::vector<double> y, const std::string& where,
             const std::string& x_name, const std::string& y_name, Slopes slopes)
    : axis_(std::move(x), where, x_name) {
  const std::string count = std::to_string(y.size()) + " values";
  require_that(y.size() == axis_.size(), {.where = where,
                                          .field = y_name,
                                          .value = count,
                                          .rule = "be as many",
                                          .statement = y_name + " has " + count + " but " + x_name +
                                                       " has " + std::to_string(axis_.size())});
  for (std::size_t i = 0; i < y.size(); ++i)
    if (!std::isfinite(y[i])) refuse_node(where, y_name, i, y[i], "be a finite number");
  const auto m = node_slopes(axis_.nodes, y.data(), 1, slopes);
  std::vector<double> pairs;
  for (std::size_t i = 0; i < y.size(); ++i) {
    pairs.push_back(y[i]);
    pairs.push_back(m[i]);
  }
  for (std::size_t i = 0; i < axis_.intervals(); ++i)
    append(cells_, cell_of(axis_, i, pairs.data()));
  y_ = std::move(y);
}

double Curve::lowest() const { return *std::min_element(y_.begin(), y_.end()); }

double Curve::highest() const { return *std::max_element(y_.begin(), y_.end()); }

template <int F>
Table<F>::Table(std::vector<double> u, std::vector<double> v,
                std::vector<std::array<double, F>> values, Slopes slopes, const std::string& where,
                const std::string& u_name, const std::string& v_name)
    : u_(std::move(u), where, u_name), v_(std::move(v), where, v_name) {
  const std::size_t nu = u_.size();
  const std::size_t nv = v_.size();
  require_that(values.size() == nu * nv, where,
               "the table has " + std::to_string(values.size()) + " values",
               std::to_string(nu) + " x " + std::to_string(nv) + " values");
  for (std::size_t i = 0; i < values.size(); ++i)
    for (double value : values[i])
      if (!std::isfinite(value)) refuse_cell(where, i / nv, i % nv, value);
  // (value, slope along v) of every node, field by field, and the derivatives of both along u.
  const std::size_t row = 2 * F * nv;
  std::vector<double> pairs(row * nu), along_u(row * nu);
  for (std::size_t f = 0; f < F; ++f) {
    for (std::size_t iu = 0; iu < nu; ++iu) {
      const auto m = node_slopes(v_.nodes, &values[iu * nv][f], F, slopes);
      double* out = &pairs[iu * row + 2 * f * nv];
      for (std::size_t iv = 0; iv < nv; ++iv) {
        out[2 * iv] = values[iu * nv + iv][f];
        out[2 * iv + 1] = m[iv];
      }
    }
  }
  for (std::size_t k = 0; k < row; ++k) {
    const auto m = node_slopes(u_.nodes, &pairs[k], row, slopes);
    for (std::size_t iu = 0; iu < nu; ++iu) along_u[iu * row + k] = m[iu];
  }
  for (std::size_t iu = 0; iu < u_.intervals(); ++iu) {
    for (std::size_t iv = 0; iv < v_.intervals(); ++iv) {
      for (std::size_t f = 0; f < F; ++f) {
        const std::size_t left = iu * row + 2 * f * nv;
        const std::size_t right = nu < 2 ? left : left + row;
        const auto y0 = cell_of(v_, iv, &pairs[left]);
        const auto y1 = cell_of(v_, iv, &pairs[right]);
        const auto s0 = cell_of(v_, iv, &along_u[left]);
        const auto s1 = cell_of(v_, iv, &along_u[right]);
        std::array<double, 4> powers[4];
        for (std::size_t l = 0; l < 4; ++l) {
          const auto c = cubic_coefficients(y0[l], s0[l], y1[l], s1[l], u_.width(iu));
          for (std::size_t k = 0; k < 4; ++k) powers[k][l] = c[k];
        }
        for (const auto& power : powers) append(cells_, power);
      }
    }
  }
  values_ = std::move(values);
}

template class Table<1>;
template class Table<3>;

}  // namespace airchain::numerics
