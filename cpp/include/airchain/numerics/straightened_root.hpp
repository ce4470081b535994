#pragma once

#include "airchain/numerics/root.hpp"

namespace airchain::numerics {

/// What a function is at x, and how steeply a quantity g rises there over which it is nearly a
/// straight line: dg/dx > 0.
template <class T>
struct Straightened {
  T value, rise;
};

/// Where the search stands, per lane.
template <class T>
struct StraightenedRoot {
  T x;          ///< the root, or the end that the function points beyond
  T below;      ///< 1 where f > 0 already at the low end (the root would lie below it), else 0
  T above;      ///< 1 where f < 0 still at the high end, else 0
  T converged;  ///< 1 or 0; 1 also at a reported end
  int evaluations;
};

/// Root of a function that rises through zero on [low, high], for one that is dear and costs more
/// than its quantities.
///
/// As `bracketed_root`, but for two things. Its secants are those of f over g, of which dg is taken
/// by the trapezoidal rule; `slope` is df/dg. And it stops a step earlier, where the last two
/// values say that a straight line over f through what belongs to them is as near:
///
///     |f_n f_(n-1)| <= value_tolerance,   |f_n| <= 1e-6
///
/// `keep(lanes, share)` is called once for every lane, when it stops: at the root a quantity q is
/// q_n + share (q_n - q_(n-1)). Deterministic, the same in every lane.
template <class T, class Measure, class Keep>
AIRCHAIN_INLINE StraightenedRoot<T> straightened_root(Measure&& measure, Keep&& keep, T low, T high,
                                                      T start, T slope, double value_tolerance,
                                                      double step_tolerance,
                                                      int most_evaluations = 80) {
  constexpr double kNear = 1e-6;
  const T zero(0.0), one(1.0), half(0.5);
  StraightenedRoot<T> root{start, zero, zero, zero, 0};
  T& x = root.x;
  T& done = root.converged;
  T a = low, b = high, checkpoint = high - low;
  T x_old = x, f(0.0), f_old(0.0), rise(1.0), per_slope = one / slope;
  // After a step that left the bracket or was looked back at: then a lane may be at its end.
  bool looks = true;
  auto looked = one > zero;
  while (root.evaluations < most_evaluations) {
    const T f_older = f_old, rise_old = rise;
    f_old = f;
    const Straightened<T> found = measure(x);
    f = found.value;
    rise = found.rise;
    T bend = zero;
    auto usable = one < zero;
    if (++root.evaluations > 1) {
      const T change = f - f_old;
      const T run = (x - x_old) * (half * (rise + rise_old));
      usable = (change * run) > zero;
      const T per_slope_old = per_slope;
      per_slope = where(usable, run / change, per_slope);
      if (root.evaluations > 2) {
        bend = f_old * (per_slope - per_slope_old) / (f - f_older);
        bend = where(usable & (abs(bend) < half * per_slope), bend, zero);
      }
    }
    const auto positive = f > zero;
    const auto open = done < one;
    b = where(positive, x, b);
    a = where(positive, a, x);
    auto finished = abs(f) <= T(value_tolerance);
    if (looks) {
      root.below = where(positive & (x <= low), one, root.below);
      root.above = where((f < zero) & (x >= high), one, root.above);
      finished = finished | (looked & ((b - a) <= T(step_tolerance) * (high - low))) |
                 (root.below + root.above > zero);
    }
    done = where(finished, one, done);
    T next = x - f * (per_slope - bend) / rise;
    const auto inside = (next > a) & (next < b);
    const auto near = usable & inside & open & !finished & (abs(f) <= T(kNear)) &
                      (abs(f * f_old) <= T(value_tolerance));
    T share = zero;
    if (any(near)) {
      share = where(near, f / (f_old - f), zero);
      done = where(near, one, done);
    }
    const auto stopped = open & !(done < one);
    if (any(stopped)) keep(stopped, share);
    x = where(near, next, x);
    const auto going = done < one;
    if (!any(going)) break;
    // Most steps stay inside the bracket, and nothing else is asked of them.
    const bool looks_back = root.evaluations % 4 == 0;
    looked = going & !inside;
    looks = looks_back || any(looked);
    if (looks) {
      next = where((next >= a) & (next <= b), next, where(positive, a, b));
      if (looks_back) {
        looked = going;
        next = where((b - a) > half * checkpoint, half * (a + b), next);
        checkpoint = b - a;
      }
      // A step that lands on an inner end of the bracket again would stall: halve instead.
      const auto stalled = ((next <= a) & (a > low)) | ((next >= b) & (b < high));
      next = where(stalled, half * (a + b), next);
    }
    x_old = x;
    x = where(going, next, x);
  }
  const auto lost = done < one;
  if (any(lost)) keep(lost, zero);
  const auto number = (f <= zero) | (f > zero);  // a function that gives NaN has no root
  done = where(number, done, zero);
  return root;
}

}  // namespace airchain::numerics
