#pragma once

#include <cmath>
#include <stdexcept>

namespace airchain::test {

struct Primitive {
  double density, velocity, pressure;
};

/// Exact solution of the Riemann problem of a perfect gas [Toro 2009, chapter 4], written apart
/// from the code under test: pressure by Newton, sampled on x/t.
class ExactRiemann {
 public:
  ExactRiemann(Primitive left, Primitive right, double gamma = 1.4)
      : l_(left), r_(right), g_(gamma) {
    solve();
  }

  double pressure() const { return p_; }
  double velocity() const { return u_; }
  double density_left() const { return star_density(l_); }
  double density_right() const { return star_density(r_); }

  Primitive at(double s) const {
    if (s <= u_) return sample(l_, s, 1.0);
    Primitive mirrored = sample({r_.density, -r_.velocity, r_.pressure}, -s, -1.0);
    mirrored.velocity = -mirrored.velocity;
    return mirrored;
  }

 private:
  double sound(const Primitive& w) const { return std::sqrt(g_ * w.pressure / w.density); }

  void wave(double p, const Primitive& k, double& f, double& slope) const {
    const double a = sound(k);
    if (p > k.pressure) {
      const double big_a = 2.0 / ((g_ + 1) * k.density);
      const double big_b = (g_ - 1) / (g_ + 1) * k.pressure;
      const double root = std::sqrt(big_a / (p + big_b));
      f = (p - k.pressure) * root;
      slope = root * (1.0 - 0.5 * (p - k.pressure) / (p + big_b));
    } else {
      const double ratio = p / k.pressure;
      f = 2 * a / (g_ - 1) * (std::pow(ratio, 0.5 * (g_ - 1) / g_) - 1.0);
      slope = std::pow(ratio, -0.5 * (g_ + 1) / g_) / (k.density * a);
    }
  }
  void solve() {
    // Two-rarefaction guess, from below: Newton then rises without overshoot.
    const double z = 0.5 * (g_ - 1) / g_;
    const double al = sound(l_), ar = sound(r_);
    p_ = std::pow((al + ar - 0.5 * (g_ - 1) * (r_.velocity - l_.velocity)) /
                      (al / std::pow(l_.pressure, z) + ar / std::pow(r_.pressure, z)),
                  1 / z);
    for (int i = 0; i < 100; ++i) {
      double fl, dl, fr, dr;
      wave(p_, l_, fl, dl);
      wave(p_, r_, fr, dr);
      const double change = (fl + fr + r_.velocity - l_.velocity) / (dl + dr);
      p_ = std::max(p_ - change, 1e-3 * p_);
      u_ = 0.5 * (l_.velocity + r_.velocity + fr - fl);
      if (std::abs(change) < 1e-14 * p_) return;
    }
    throw std::runtime_error("no exact solution");
  }
  double star_density(const Primitive& k) const {
    const double ratio = p_ / k.pressure;
    const double c = (g_ - 1) / (g_ + 1);
    return k.density * (ratio > 1 ? (ratio + c) / (c * ratio + 1) : std::pow(ratio, 1 / g_));
  }
  /// Left of the contact; `sign` turns the star velocity for the mirrored right side.
  Primitive sample(const Primitive& k, double s, double sign) const {
    const double u = sign * u_;
    const double a = sound(k);
    const Primitive star{star_density(k), u, p_};
    if (p_ > k.pressure) {
      const double shock =
          k.velocity - a * std::sqrt((g_ + 1) / (2 * g_) * p_ / k.pressure + (g_ - 1) / (2 * g_));
      return s < shock ? k : star;
    }
    if (s < k.velocity - a) return k;
    if (s > u - sound(star)) return star;
    const double c = 2 / (g_ + 1) * (a + 0.5 * (g_ - 1) * (k.velocity - s));
    return {k.density * std::pow(c / a, 2 / (g_ - 1)), s + c,
            k.pressure * std::pow(c / a, 2 * g_ / (g_ - 1))};
  }

  Primitive l_, r_;
  double g_;
  double p_ = 0.0, u_ = 0.0;
};

}  // namespace airchain::test
