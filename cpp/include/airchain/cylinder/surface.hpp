#pragma once

#include <memory>
#include <vector>

#include "airchain/numerics/table.hpp"

namespace airchain::cylinder {

/// What a crank-resolved cylinder says of its filling over engine speed, plenum over exhaust
/// pressure and charge temperature.
///
/// Each table holds five charge temperatures side by side, evenly spaced; between them runs the
/// polynomial of fourth degree through all five. Absolute pressure is no axis: gas flows alike at
/// any density but for the heat from the walls and friction, and 80 to 130 kPa of exhaust pressure
/// move the volumetric efficiency by less than 0.4 %. Outside, the value at the edge holds.
struct Surface {
  static constexpr int kTemperatures = 5;
  using Table = numerics::Table<kTemperatures>;

  double lowest_temperature, temperature_step;  ///< [K]
  Table volumetric_efficiency;                  ///< charge that stays over that of full cylinders
  Table trapping;                               ///< charge that stays over charge drawn
  Table pumping;  ///< mean effective pressure lost in the gas exchange over plenum pressure

  double highest_temperature() const {
    return lowest_temperature + (kTemperatures - 1) * temperature_step;
  }
  template <class T>
  AIRCHAIN_INLINE auto inside_temperature(T t) const {
    return (t >= T(lowest_temperature)) & (t <= T(highest_temperature()));
  }

  /// Shares of the five temperatures at one between them, by Lagrange's polynomials.
  template <class T>
  AIRCHAIN_INLINE std::array<T, kTemperatures> shares_at(T temperature) const {
    const T most(kTemperatures - 1.0);
    const T place = (temperature - T(lowest_temperature)) * T(1.0 / temperature_step);
    const T a = numerics::max(numerics::min(place, most), T(0.0));
    const T b = a - T(1.0), c = a - T(2.0), d = a - T(3.0), e = a - T(4.0);
    const T ab = a * b, de = d * e;
    return {b * c * de * T(1.0 / 24), a * c * de * T(-1.0 / 6), ab * de * T(0.25),
            ab * c * e * T(-1.0 / 6), ab * c * d * T(1.0 / 24)};
  }
  template <class T>
  static AIRCHAIN_INLINE T blend(const std::array<T, kTemperatures>& shares,
                                 const std::array<T, kTemperatures>& values) {
    return shares[0] * values[0] + shares[1] * values[1] + shares[2] * values[2] +
           shares[3] * values[3] + shares[4] * values[4];
  }
};

/// A surface from its nodes: speeds [rad/s], pressure ratios and five evenly spaced temperatures
/// [K]; each list of values runs over speed, then ratio, then temperature. Throws InputError for
/// axes that do not rise or values outside 0.1 to 1.6 (volumetric efficiency), 0.2 to 1 (trapping),
/// -2 to 20 (pumping).
std::shared_ptr<const Surface> breathing_surface(const std::vector<double>& engine_speed,
                                                 const std::vector<double>& pressure_ratio,
                                                 const std::vector<double>& temperature,
                                                 const std::vector<double>& volumetric_efficiency,
                                                 const std::vector<double>& trapping,
                                                 const std::vector<double>& pumping);

}  // namespace airchain::cylinder
