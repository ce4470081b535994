#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <vector>

#include "airchain/cylinder/parcels.hpp"
#include "airchain/numerics/block.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::cylinder {

/// What the crank-resolved cycle of one state makes of its charge.
template <class T>
struct BurnedCharge {
  T work;                 ///< of compression and expansion over the trapped fuel's heating value
  T exhaust_temperature;  ///< mean of what leaves the primary [K]
  T peak_pressure;        ///< of the mean cycle over plenum pressure times volumetric efficiency
  T wall_heat;            ///< to the cylinder's walls over the trapped fuel's heating value
};

/// What answers to how a charge burns, in the order of its responses.
inline constexpr std::size_t kFilling = 0, kExhaust = 1, kWork = 2, kPumping = 3, kPeak = 4,
                             kWall = 5, kTrapping = 6, kAnswers = 7;
/// What they answer to.
inline constexpr std::size_t kPressure = 0, kPhasing = 1, kSquare = 2, kRich = 3, kLean = 4,
                             kRichSquare = 5, kCauses = 6;

/// How an answer changes with phasing and mixture at all states alike; every state adds a response
/// in proportion to t, t^2, x, x^2 and y, with t of the half burned in 20 degrees, and x and y how
/// rich and how lean the uneven charge is (`Parcels`):
///
///     f = p1 t + p2 t^2 + p3 t^3 + p4 (t - t4)^3 + p5 (t - t5)^3 + p6 (t - t6)^3
///     g = r1 x + r2 x^2 + r3 x^3 + r4 x^4,   h = l1 y + l2 y^2
///     cross = c1 dt dx + c2 dt^2 dx + c3 dt dx^2 + c4 dt dy,   d from the surface's own burn
///
/// f is a cubic spline: terms with a knot t4, t5, t6 (`kKnot4` and on) count only beyond it, since
/// a late burn's peak pressure becomes that of compression, and a later one burns on into the
/// exhaust.
struct Shape {
  // Plain arrays: a kernel's weak symbols all carry its instruction set.
  double phasing[6], rich[4], lean[2], cross[4];
  double own;  ///< g + h at the surface's own lambda
};
inline constexpr std::size_t kShapeNumbers = 16;

/// The burn that the nodes of a surface were run with: lambda, and a half burned of
///
///     theta = min(phasing + retard max(p - 100 kPa, 0), latest),   p = ratio node_exhaust
///
/// and how the square of the fresh charge's speed of sound changes with lambda, by its own:
///
///     1 + s1 l + s2 l^2 + s3 l^3,   l = lambda - own lambda
struct OwnBurn {
  double phasing, retard, latest, lambda;  ///< [rad], [rad/Pa], [rad], [1]
  double sound[3];                         ///< [1]
  Parcels parcels;                         ///< of the uneven charge
  double rich, lean;                       ///< x and y
};

/// Nodes of what a surface says of the burned charge. Lists run over wave speed [rad/s], plenum
/// over exhaust pressure and charge temperature [K]; `responses` by answer, then cause, over
/// coarser ones.
struct BurnedNodes {
  std::vector<double> wave_speed, pressure_ratio, temperature;
  std::vector<double> work, exhaust_temperature, peak_pressure, wall_heat;
  std::vector<double> coarse_speed, coarse_ratio, coarse_temperature;
  std::vector<double> responses;
  std::vector<double> shapes;  ///< of every answer, `kShapeNumbers` each
  std::array<double, 8> own;   ///< of `OwnBurn`
};

/// What cycles say of the burned charge where the nodes of a breathing surface stand, and how it
/// answers to exhaust pressure, phasing and lambda. Answers q change by a factor,
///
///     q = q_node exp(A_p d + df + A_1 dt + A_2 d(t^2) + dg + A_r dx + A_x d(x^2) + dh + A_l dy
///                    + cross),
///
/// pumping and trapping by a sum; d of pressure is that of `Surface`, all others are from the
/// node's own burn, and A_... are of the state. They ripple little with charge temperature: a burn
/// is felt through the primary, whose gas hardly knows it, so that they stand at a wave speed of
/// their own (`Surface::response_stretch`). What lambda does in the runner is what a charge of the
/// same speed of sound does (`like`), and filling, trapping and pumping are looked up there. A_p is
/// left out of filling and trapping, A_x of exhaust temperature. Range: phasing 2 degrees before to
/// 42 after top centre, lambda 0.65 to 1.15; beyond, the edge holds.
struct Burned {
  static constexpr double kUnit = 20.0 * 0.017453292519943295;             ///< of t [rad]
  static constexpr double kEarliest = -2.0 / 20.0, kLatest = 42.0 / 20.0;  ///< t
  static constexpr double kRichest = 0.65, kLeanest = 1.15;                ///< lambda
  static constexpr double kKnot4 = 12.0 / 20.0, kKnot5 = 24.0 / 20.0, kKnot6 = 34.0 / 20.0;  ///< t

  numerics::Block<1> exhaust;
  numerics::Block<3> charge;              ///< work, peak pressure, wall heat
  numerics::Block<10> filling_responses;  ///< of filling and trapping, by cause, from phasing on
  numerics::Block<5> exhaust_responses;   ///< by cause, to lean mixture
  numerics::Block<24> last_responses;     ///< of work, pumping, peak pressure and wall heat
  Shape shapes[kAnswers];
  OwnBurn own;
  BurnedNodes nodes;  ///< that it was made of

  /// How far a burn is from that of the nodes.
  template <class T>
  struct Departure {
    T phasing, own_phasing;  ///< t
    T x, y, dx, dy, square;  ///< square: d of x^2

    AIRCHAIN_INLINE static T horner(const double* c, std::size_t count, T x) {
      T sum(0.0);
      for (std::size_t i = count; i-- > 0;) sum = (sum + T(c[i])) * x;
      return sum;
    }
    /// f of `Shape`.
    AIRCHAIN_INLINE static T spline(const double* c, T t) {
      const auto beyond = [t](double knot, double factor) AIRCHAIN_INLINE_LAMBDA {
        const T past = numerics::max(t - T(knot), T(0.0));
        return T(factor) * past * past * past;
      };
      return horner(c, 3, t) + beyond(kKnot4, c[3]) + beyond(kKnot5, c[4]) + beyond(kKnot6, c[5]);
    }
    /// The sum above, A of the causes from phasing to lean mixture.
    AIRCHAIN_INLINE T response(const Shape& s, const T* amplitude) const {
      const T dt = phasing - own_phasing;
      const auto a = [amplitude](std::size_t cause)
                         AIRCHAIN_INLINE_LAMBDA { return amplitude[cause - kPhasing]; };
      const T cross = dt * (dx * (T(s.cross[0]) + T(s.cross[1]) * dt + T(s.cross[2]) * dx) +
                            T(s.cross[3]) * dy);
      return cross + spline(s.phasing, phasing) - spline(s.phasing, own_phasing) +
             dt * (a(kPhasing) + a(kSquare) * (phasing + own_phasing)) + horner(s.rich, 4, x) +
             horner(s.lean, 2, y) - T(s.own) + a(kRich) * dx + a(kLean) * dy;
    }
  };

  template <class T>
  AIRCHAIN_INLINE Departure<T> departure(T node_pressure, T half_burned, T lambda) const {
    using numerics::max;
    using numerics::min;
    Departure<T> d;
    d.phasing = max(min(half_burned * T(1.0 / kUnit), T(kLatest)), T(kEarliest));
    const T later = T(own.retard) * max(node_pressure - T(1e5), T(0.0));
    d.own_phasing = min(T(own.phasing) + later, T(own.latest)) * T(1.0 / kUnit);
    const T held = max(min(lambda, T(kLeanest)), T(kRichest));
    d.y = own.parcels.lean(held);
    d.x = own.parcels.rich(held, d.y);
    d.dx = d.x - T(own.rich);
    d.dy = d.y - T(own.lean);
    d.square = d.dx * (d.x + T(own.rich));
    return d;
  }

  /// Charge temperature [K] at which a charge of the nodes' lambda has the speed of sound of this
  /// one: T (1 + s1 l + s2 l^2 + s3 l^3).
  template <class T>
  AIRCHAIN_INLINE T like(T temperature, T lambda) const {
    using numerics::max;
    using numerics::min;
    const T held = max(min(lambda, T(kLeanest)), T(kRichest));
    return temperature * (T(1.0) + Departure<T>::horner(own.sound, 3, held - T(own.lambda)));
  }

  /// Whether a burn lies within what the responses stand on.
  template <class T>
  static AIRCHAIN_INLINE auto known(T half_burned, T lambda) {
    const T t = half_burned * T(1.0 / kUnit);
    return (t >= T(kEarliest)) & (t <= T(kLatest)) & (lambda >= T(kRichest)) &
           (lambda <= T(kLeanest));
  }

  /// A state of the surface: wave speed of the nodes and of the responses [rad/s], ratio,
  /// temperature [K], d of the exhaust pressure.
  template <class T>
  struct State {
    T wave_speed, response_speed, pressure_ratio, temperature, pressure;
  };

  /// Temperature of what leaves the primary [K].
  template <class T>
  AIRCHAIN_INLINE T exhaust_temperature_at(const State<T>& s, const Departure<T>& d) const {
    const T node = exhaust.at(s.wave_speed, s.pressure_ratio, s.temperature)[0];
    const auto a = exhaust_responses.at(s.response_speed, s.pressure_ratio, s.temperature);
    return node * numerics::exp(a[kPressure] * s.pressure +
                                d.response(shapes[kExhaust], a.data() + kPhasing));
  }
  template <class T>
  struct Moved {
    T filling;   ///< factor on volumetric efficiency [1]
    T trapping;  ///< to be added [1]
  };
  /// What a burn does to the filling; exhaust pressure has an effect of its own there.
  template <class T>
  AIRCHAIN_INLINE Moved<T> moved_at(const State<T>& s, const Departure<T>& d) const {
    const auto a = filling_responses.at(s.response_speed, s.pressure_ratio, s.temperature);
    const auto change = [&](std::size_t answer, const T* of) AIRCHAIN_INLINE_LAMBDA {
      return d.response(shapes[answer], of) + of[kRichSquare - kPhasing] * d.square;
    };
    return {numerics::exp(change(kFilling, a.data())), change(kTrapping, a.data() + 5)};
  }

  /// Work, peak pressure and wall heat, and how much pumping changes by phasing, mixture and
  /// exhaust pressure.
  template <class T>
  AIRCHAIN_INLINE BurnedCharge<T> charge_at(const State<T>& s, const Departure<T>& d,
                                            T& pumping_change) const {
    const auto node = charge.at(s.wave_speed, s.pressure_ratio, s.temperature);
    const auto by_cause = last_responses.at(s.response_speed, s.pressure_ratio, s.temperature);
    const auto change = [&](std::size_t answer) AIRCHAIN_INLINE_LAMBDA {
      const T* a = by_cause.data() + (answer - kWork) * kCauses;
      return a[kPressure] * s.pressure + d.response(shapes[answer], a + kPhasing) +
             a[kRichSquare] * d.square;
    };
    pumping_change = change(kPumping);
    BurnedCharge<T> b;
    b.work = node[0] * numerics::exp(change(kWork));
    b.peak_pressure = node[1] * numerics::exp(change(kPeak));
    b.wall_heat = node[2] * numerics::exp(change(kWall));
    b.exhaust_temperature = T(0.0);
    return b;
  }
};

/// Throws InputError for axes that do not rise and values outside their ranges: work and wall heat
/// 0 to 1, peak pressure 1 to 1000, exhaust temperature 250 to 3000 K, responses -50 to 50.
std::shared_ptr<const Burned> burned_surface(const BurnedNodes& nodes);

}  // namespace airchain::cylinder
