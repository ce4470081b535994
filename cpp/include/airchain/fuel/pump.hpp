#pragma once

#include <memory>
#include <vector>

#include "airchain/base/guards.hpp"
#include "airchain/numerics/table.hpp"

namespace airchain::fuel {

using PumpCurves = numerics::Table<1>;

/// Electric pumps side by side on one supply.
///
/// Each delivers what its measured curves say at its pressure and voltage; their flows add. Left
/// out: pumps one behind the other, hot fuel and suction, which lower the flow, wear, and the
/// voltage lost on the way to the pump: the voltage is that at its terminals.
template <class T>
struct Pump {
  static constexpr const char* kName = "Pump";
  T count{1.0};
  T voltage{13.5};
  std::shared_ptr<const PumpCurves> curves;

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("count", &Pump::count, "1", base::between(1.0, 8.0), "pumps side by side"),
        field("voltage", &Pump::voltage, "V", base::between(6.0, 30.0),
              "at the terminals of pump and injectors, engine running")};
  }

  /// Volume flow of all pumps [m^3/s] against a pressure [Pa]; outside the curves that at the edge.
  /// Q = count Q_curve(voltage, p).
  AIRCHAIN_INLINE T flow_at(T pressure) const { return count * curves->at(voltage, pressure)[0]; }
  /// Whether the curves were measured at this pressure and on both sides of this voltage.
  AIRCHAIN_INLINE auto known_at(T pressure) const {
    const auto& v = curves->u();
    return curves->inside_v(pressure) & (voltage >= T(v.front() * (1.0 - kSameVoltage))) &
           (voltage <= T(v.back() * (1.0 + kSameVoltage)));
  }
  /// Voltages that differ by less than this share count as one.
  static constexpr double kSameVoltage = 0.01;
};

/// Volume flow [m^3/s] of one pump over voltage [V] and pressure [Pa], row by row. Refuses flows
/// that are negative or grow with pressure, or that fall with voltage.
std::shared_ptr<const PumpCurves> pump_curves(std::vector<double> voltage,
                                              std::vector<double> pressure,
                                              const std::vector<double>& values);

/// Refuses a pump without curves.
void validate(const Pump<double>& pump);

}  // namespace airchain::fuel
