#pragma once

#include "airchain/numerics/pack.hpp"

namespace airchain::numerics {

/// What bracketed_root found, per lane.
template <class T>
struct Root {
  T x;          ///< the root, or the end that the function points beyond
  T value;      ///< f(x)
  T below;      ///< 1 where f > 0 already at the low end (the root would lie below it), else 0
  T above;      ///< 1 where f < 0 still at the high end, else 0
  T converged;  ///< 1 or 0; 1 also at a reported end
  int evaluations;
  T per_slope;  ///< change of x per change of f near the root
};

/// Root of a function that rises through zero on [low, high].
///
/// Secant steps, bent by the inverse quadratic through the last three points, kept inside the
/// bracket; an end is evaluated only when a step wants to leave, and
/// a bracket that shrinks too slowly is halved. Deterministic, the same in every lane.
/// f was last evaluated at the root, in every lane that converged.
/// Stops where |f| <= value_tolerance or the bracket is below step_tolerance (high - low).
template <class T, class Function>
AIRCHAIN_INLINE Root<T> bracketed_root(Function&& f, T low, T high, T start, T slope,
                                       double value_tolerance, double step_tolerance,
                                       int most_evaluations = 80) {
  const T width = high - low;
  const T zero(0.0);
  const T one(1.0);
  T a = low;
  T b = high;
  T below = zero;
  T above = zero;
  T done = zero;
  T x = start;
  T x_old = start;
  T fx(0.0);
  T f_old(0.0);
  T per_slope = one / slope;
  T checkpoint = width;  // bracket width three evaluations ago
  int evaluations = 0;
  while (evaluations < most_evaluations) {
    const auto open = done < one;
    const T f_older = f_old;
    f_old = fx;
    fx = where(open, f(x), fx);
    T bend = zero;
    if (++evaluations > 1) {
      const T rise = fx - f_old;
      const T run = x - x_old;
      const auto usable = open & ((rise * run) > zero);
      const T per_slope_old = per_slope;
      per_slope = where(usable, run / where(usable, rise, one), per_slope);
      const T span = fx - f_older;
      const auto bends = usable & (abs(span) > zero);
      if (evaluations > 2)
        bend = where(bends, f_old * (per_slope - per_slope_old) / where(bends, span, one), zero);
      bend = where(abs(bend) < T(0.5) * per_slope, bend, zero);
    }
    const auto positive = fx > zero;
    below = where(positive & (x <= low), one, below);
    above = where((fx < zero) & (x >= high), one, above);
    b = where(positive & open, x, b);
    a = where(positive | !open, a, x);
    const auto finished = (abs(fx) <= T(value_tolerance)) | ((b - a) <= T(step_tolerance) * width) |
                          (below + above > zero);
    done = where(finished, one, done);
    const auto going = done < one;
    if (!any(going)) break;
    T next = x - fx * (per_slope - bend);
    next = where((next >= a) & (next <= b), next, where(positive, a, b));
    if (evaluations % 3 == 0) {
      next = where((b - a) > T(0.5) * checkpoint, T(0.5) * (a + b), next);
      checkpoint = b - a;
    }
    // A step that lands on an inner end of the bracket again would stall: halve instead.
    const auto stalled = ((next <= a) & (a > low)) | ((next >= b) & (b < high));
    next = where(stalled, T(0.5) * (a + b), next);
    x_old = where(going, x, x_old);
    x = where(going, next, x);
  }
  const auto number = (fx <= zero) | (fx > zero);  // a function that gives NaN has no root
  return {x, fx, below, above, where(number, done, zero), evaluations, per_slope};
}

}  // namespace airchain::numerics
