#pragma once

#include "airchain/numerics/axis.hpp"

namespace airchain::numerics {

/// One smooth curve through typed or measured points. Outside its ends it keeps the end values;
/// ask `inside` before trusting it there.
class Curve {
 public:
  /// A curve that is `value` everywhere.
  explicit Curve(double value) : Curve({0.0}, {value}, "Curve", "x", "y") { constant_ = true; }
  Curve(std::vector<double> x, std::vector<double> y, const std::string& where,
        const std::string& x_name, const std::string& y_name, Slopes slopes = Slopes::monotone);

  template <class T>
  AIRCHAIN_INLINE T at(T x) const {
    const double* rows[kLanes<T>];
    for (int i = 0; i < kLanes<T>; ++i) rows[i] = data_.data();
    return hermite<T, 1>(AxisView(axis_), rows, x)[0];
  }

  /// True where x lies between the first and the last point; a constant has no edge.
  template <class T>
  AIRCHAIN_INLINE auto inside(T x) const {
    const double margin = constant_ ? 1e300 : 0.0;
    return (x >= T(axis_.front() - margin)) & (x <= T(axis_.back() + margin));
  }

  const std::vector<double>& x() const { return axis_.nodes; }
  std::vector<double> y() const;
  bool constant() const { return constant_; }
  double lowest() const;
  double highest() const;

 private:
  Axis axis_;
  std::vector<double> data_;
  bool constant_ = false;
};

}  // namespace airchain::numerics
