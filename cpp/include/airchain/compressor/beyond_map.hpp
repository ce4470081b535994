#pragma once

#include "airchain/compressor/map.hpp"

namespace airchain::compressor {

/// One speed line at every flow, for flows that change in time: left of its left end and through
/// flow that runs backwards too.
///
/// Left of the left end phi_s the cubic of [Moore and Greitzer 1986, J. Eng. Gas Turbines Power
/// 108, from memory], with its peak at that end and its valley at no flow:
///
///     L = L_0 + H (1 + 3/2 (phi/W - 1) - 1/2 (phi/W - 1)^3),   W = phi_s/2,   H = (L_s - L_0)/2
///     L_0 = shut_off_head L_s
///
/// So the line's left end is taken as the peak of its characteristic, which is where small
/// disturbances begin to grow; a map that ends right of its peak surges too early by that, never
/// too late. Air that runs backwards meets the same cubic, which rises again. Between the ends the
/// map; right of the right end the pressure ratio falls freely, by a factor of e within 1 % of flow
/// or so. The work per kilogram of what passes forwards stays that of the left end.
///
/// Left out: rotating stall as a state of its own, hysteresis between falling and rising flow, and
/// air that is heated by turning round in the wheel.
class BeyondMap {
 public:
  using Line = CompressorMap::Table::Line<double>;
  struct Point {
    double log_ratio;  ///< L: ln(pressure ratio)/n^2
    double work;       ///< w: of air that passes forwards
  };

  /// A line at `start`, the place that the flow begins at: there it is the map to the last bit.
  BeyondMap(Line line, double shut_off_head, double start);
  /// The same at another speed.
  void move_to(Line line);
  /// At a flow coefficient phi [kg/s]; 0 and below are flow that stands or runs backwards.
  Point at(double phi);
  /// phi at the left end [kg/s].
  double left() const { return left_; }

 private:
  double inside(double place);

  Line line_;
  double shut_off_head_, start_, place_;
  double left_ = 0.0, right_ = 0.0;
  Point at_left_{};
};

}  // namespace airchain::compressor
