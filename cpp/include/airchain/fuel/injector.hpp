#pragma once

#include <memory>
#include <vector>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/numerics/table.hpp"

namespace airchain::fuel {

using DeadTimeTable = numerics::Table<1>;

/// A solenoid injector, held open for a time that is longer by its dead time.
///
///     W = W_rated sqrt(dp/dp_rated rho/rho_rated)
///     open time = fuel mass/W + dead time(voltage, dp)
///
/// An orifice whose discharge coefficient does not change (Bernoulli, as in White, Fluid Mechanics,
/// ch. 6). Left out: what the flow does in pulses so short that the needle never opens fully,
/// vapour in the rail, waves in it. Outside its table the dead time at the edge holds.
template <class T>
struct Injector {
  static constexpr const char* kName = "Injector";
  T rated_flow{base::kRequired};
  T rated_pressure{base::kRequired};
  T rated_density{base::kRequired};
  std::shared_ptr<const DeadTimeTable> dead_time;

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("rated_flow", &Injector::rated_flow, "kg/s", base::above_up_to(0.0, 1.0),
              "held open, with the liquid it was rated with"),
        field("rated_pressure", &Injector::rated_pressure, "Pa", base::between(1e4, 5e7),
              "difference of pressure across it when it was rated"),
        field("rated_density", &Injector::rated_density, "kg/m^3", base::between(600.0, 1100.0),
              "of the liquid it was rated with")};
  }

  /// Mass flow held open [kg/s]; NaN where nothing drives it.
  ///
  ///     W = W_rated sqrt(dp/dp_rated rho/rho_rated)
  AIRCHAIN_INLINE T flow_at(T pressure_difference, T density) const {
    return rated_flow * sqrt(pressure_difference / rated_pressure * (density / rated_density));
  }
  /// Dead time [s] of the table at a voltage [V] and pressure difference [Pa].
  AIRCHAIN_INLINE T dead_time_at(T voltage, T pressure_difference) const {
    return dead_time->at(voltage, pressure_difference)[0];
  }
  /// Time [s] of a pulse that injects `mass` m [kg]: t = m/W + dead time.
  AIRCHAIN_INLINE T open_time(T mass, T pressure_difference, T density, T voltage) const {
    return mass / flow_at(pressure_difference, density) +
           dead_time_at(voltage, pressure_difference);
  }
};

/// Time of a four-stroke cycle [s] at an engine speed [rad/s]: t = 4 pi/omega.
template <class T>
AIRCHAIN_INLINE T cycle_time(T engine_speed) {
  return T(4.0 * base::kPi) / engine_speed;
}

/// Dead time [s] over voltage [V] and pressure difference [Pa]; one value of either means no
/// dependence on it. Refuses times outside 0 to 10 ms, and those that grow with voltage.
std::shared_ptr<const DeadTimeTable> dead_time_table(std::vector<double> voltage,
                                                     std::vector<double> pressure_difference,
                                                     const std::vector<double>& values);

/// Refuses an injector without dead time.
void validate(const Injector<double>& injector);

}  // namespace airchain::fuel
