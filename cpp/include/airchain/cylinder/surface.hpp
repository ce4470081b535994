#pragma once

#include <array>
#include <memory>
#include <vector>

#include "airchain/cylinder/burned.hpp"
#include "airchain/numerics/block.hpp"

namespace airchain::cylinder {

/// What a crank-resolved cylinder says of its filling, and of what burns, over engine speed, plenum
/// over exhaust pressure, charge temperature and exhaust pressure.
///
/// Filling ripples with speed where waves return in time, and a wave in the runner keeps its place
/// where speed over the root of charge temperature does; one in the primary, whose gas hardly knows
/// the charge's temperature, where the speed does. Above exhaust pressure the first rules;
/// below, gas of the exhaust comes back and both have a say. So the nodes stand at a wave speed
///
///     u = N / (1 + x + x^2/2),   x = a s,   s = 2 (T - T0)/(T + T0)
///
/// (about N (T0/T)^a), where a rises from 0.25 at ratio 0.6 to 0.4 at 1.5: at one u the filling is
/// a plain function of temperature, of few nodes.
///
/// Absolute pressure tells only by the heat that is lost to the walls (gas flows alike at any
/// density), which shifts the exhaust's waves: one more quantity, the change of volumetric
/// efficiency with s of exhaust pressure, that is with its logarithm. Trapping and pumping do
/// without. Outside, the value at the edge holds.
struct Surface {
  static constexpr double kReferenceTemperature = 330.0;  ///< T0 [K]

  numerics::Block<3> filling;  ///< volumetric efficiency, trapping, pressure effect
  numerics::Block<1> pumping;  ///< mean effective pressure lost over plenum pressure
  double lowest_exhaust, node_exhaust, highest_exhaust;  ///< pressure [Pa]
  std::shared_ptr<const Burned> burned;                  ///< none where only the filling is told

  /// d = 2 (x - y)/(x + y): the logarithm of x/y to 0.4 % for x/y of 0.8 to 1.25, 4 % at 2.
  template <class T>
  static AIRCHAIN_INLINE T difference(T x, T y) {
    return T(2.0) * (x - y) / (x + y);
  }
  /// Engine speed over wave speed [1] at a charge temperature [K]: N/u = 1 + x + x^2/2, x = a s,
  /// a = 0.25 + 0.15 t^2 (3 - 2 t), t = (ratio - 0.6)/0.9 within 0 and 1.
  template <class T>
  static AIRCHAIN_INLINE T stretch(T pressure_ratio, T temperature) {
    const T place = (pressure_ratio - T(0.6)) * T(1.0 / 0.9);
    const T t = numerics::max(numerics::min(place, T(1.0)), T(0.0));
    const T exponent = T(0.25) + T(0.15) * t * t * (T(3.0) - T(2.0) * t);
    const T x = exponent * difference(temperature, T(kReferenceTemperature));
    return T(1.0) + x + T(0.5) * x * x;
  }

  /// The same of the responses to a burn. Waves of the primary, which feel the burn, meet those of
  /// the runner in the overlap: a lies between the 0 of the one and the 1/2 of the other. Of 0 to
  /// 0.4, 0.2 is nearest to cycles with other burns, for filling of two invented engines.
  template <class T>
  static AIRCHAIN_INLINE T response_stretch(T temperature) {
    const T x = T(0.2) * difference(temperature, T(kReferenceTemperature));
    return T(1.0) + x + T(0.5) * x * x;
  }

  template <class T>
  AIRCHAIN_INLINE auto inside(T speed, T pressure_ratio, T temperature, T exhaust_pressure) const {
    return filling.inside(speed / stretch(pressure_ratio, temperature), pressure_ratio,
                          temperature) &
           (exhaust_pressure >= T(lowest_exhaust)) & (exhaust_pressure <= T(highest_exhaust));
  }

  /// How a charge burns.
  template <class T>
  struct Burn {
    T half_burned;  ///< crank angle after top centre [rad]
    T lambda;
  };

  /// A state as `Burned` has it, its ripples by the charge's speed of sound, and a burn's
  /// departure.
  template <class T>
  AIRCHAIN_INLINE Burned::State<T> state(T speed, T ratio, T temperature, T exhaust,
                                         T lambda) const {
    const T held = numerics::max(numerics::min(exhaust, T(highest_exhaust)), T(lowest_exhaust));
    return {speed / stretch(ratio, temperature),
            speed / response_stretch(like(temperature, lambda)), ratio, temperature,
            difference(held, T(node_exhaust))};
  }
  template <class T>
  AIRCHAIN_INLINE Burned::Departure<T> departure(T ratio, const Burn<T>& burn) const {
    return burned->departure(ratio * T(node_exhaust), burn.half_burned, burn.lambda);
  }

  /// Charge temperature [K] at which the nodes' own charge fills as that of a lambda.
  template <class T>
  AIRCHAIN_INLINE T like(T temperature, T lambda) const {
    return burned ? burned->like(temperature, lambda) : temperature;
  }

  /// Volumetric efficiency and the share of the charge drawn that stays.
  template <class T>
  struct Values {
    T volumetric_efficiency, trapping;
  };

  /// The surface at one speed in every lane.
  template <class T>
  class Line {
   public:
    AIRCHAIN_INLINE Line(const Surface& surface, T speed) : surface_(surface), speed_(speed) {}

    /// eta_v = filling + effect d(p_exhaust, node_exhaust), both at (u, ratio, T), with the nodes'
    /// own burn; pressures in Pa.
    AIRCHAIN_INLINE Values<T> at(T pressure_ratio, T temperature, T exhaust_pressure) {
      const T wave_speed = speed_ / stretch(pressure_ratio, temperature);
      const auto found = surface_.filling.at(wave_speed, pressure_ratio, temperature);
      const T held = numerics::max(numerics::min(exhaust_pressure, T(surface_.highest_exhaust)),
                                   T(surface_.lowest_exhaust));
      // Between nodes the polynomial may pass 1 by a hair where no charge is lost.
      return {found[0] + found[2] * difference(held, T(surface_.node_exhaust)),
              numerics::min(found[1], T(1.0))};
    }

    /// The same with a burn, where the surface tells of it.
    AIRCHAIN_INLINE Values<T> at(T pressure_ratio, T temperature, T exhaust_pressure,
                                 const Burn<T>& burn) {
      auto values = at(pressure_ratio, surface_.like(temperature, burn.lambda), exhaust_pressure);
      if (surface_.burned) {
        const auto moved = surface_.burned->moved_at(
            surface_.state(speed_, pressure_ratio, temperature, exhaust_pressure, burn.lambda),
            surface_.departure(pressure_ratio, burn));
        values.volumetric_efficiency *= moved.filling;
        values.trapping =
            numerics::max(numerics::min(values.trapping + moved.trapping, T(1.0)), T(0.2));
      }
      return values;
    }
    /// Temperature of what leaves the primary [K]; only where the surface tells of it.
    AIRCHAIN_INLINE T exhaust_temperature(T pressure_ratio, T temperature, T exhaust_pressure,
                                          const Burn<T>& burn) {
      return surface_.burned->exhaust_temperature_at(
          surface_.state(speed_, pressure_ratio, temperature, exhaust_pressure, burn.lambda),
          surface_.departure(pressure_ratio, burn));
    }

   private:
    const Surface& surface_;
    T speed_;
  };

  /// Mean effective pressure lost over plenum pressure [1] at u = N/stretch; N in rad/s, T in K.
  template <class T>
  AIRCHAIN_INLINE T pumping_at(T speed, T pressure_ratio, T temperature) const {
    return pumping.at(speed / stretch(pressure_ratio, temperature), pressure_ratio, temperature)[0];
  }
};

/// Nodes of a surface: wave speeds [rad/s], pressure ratios and charge temperatures [K], and the
/// exhaust pressures [Pa]: the lowest, that of the nodes, and the highest. Each list of values runs
/// over wave speed, then ratio, then temperature.
struct SurfaceNodes {
  std::vector<double> wave_speed, pressure_ratio, temperature;
  std::array<double, 3> exhaust_pressure;
  std::vector<double> volumetric_efficiency, trapping, pumping, pressure_effect;
};

/// Throws InputError for axes that do not rise or values outside 0.1 to 1.6 (volumetric
/// efficiency), 0.2 to 1 (trapping), -2 to 20 (pumping), -1 to 1 (pressure effect).
std::shared_ptr<const Surface> breathing_surface(const SurfaceNodes& nodes,
                                                 std::shared_ptr<const Burned> burned = nullptr);

}  // namespace airchain::cylinder
