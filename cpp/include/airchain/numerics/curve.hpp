#pragma once

#include "airchain/numerics/axis.hpp"
#include "airchain/numerics/cubic.hpp"

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
    if (constant_) return where(x <= x, T(y_[0]), x);
    const Place<T> place(AxisView(axis_), x);
    Four rows[kLanes<T>];
    for (int i = 0; i < kLanes<T>; ++i)
      rows[i] = *reinterpret_cast<const Four*>(cells_.data() + 4 * place.index[i]);
    return Cubic<T>::from(rows).at(place.fraction);
  }

  /// True where x lies between the first and the last point; a constant has no edge.
  template <class T>
  AIRCHAIN_INLINE auto inside(T x) const {
    const double margin = constant_ ? 1e300 : 0.0;
    return (x >= T(axis_.front() - margin)) & (x <= T(axis_.back() + margin));
  }

  const std::vector<double>& x() const { return axis_.nodes; }
  const std::vector<double>& y() const { return y_; }
  bool constant() const { return constant_; }
  double lowest() const;
  double highest() const;

 private:
  Axis axis_;
  std::vector<double> y_;
  std::vector<double> cells_;  // four coefficients an interval
  bool constant_ = false;
};

}  // namespace airchain::numerics
