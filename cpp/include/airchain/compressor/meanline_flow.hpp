#pragma once

#include <algorithm>
#include <cmath>

#include "airchain/base/constants.hpp"
#include "airchain/compressor/map_data.hpp"

namespace airchain::compressor {

/// The mean-line gas: perfect, gamma constant. Air's gamma falls by about 1 % over a pressure ratio
/// of 5, which moves work and efficiency by under 1 % and 0.7 points.
struct PerfectGas {
  double gamma;
  double gas_constant;

  /// cp = gamma R/(gamma - 1) [J/(kg K)].
  double heat_capacity() const { return gamma * gas_constant / (gamma - 1.0); }
  /// a = sqrt(gamma R T) [m/s].
  double sonic_speed(double temperature) const {
    return std::sqrt(gamma * gas_constant * temperature);
  }
  /// Isentropic pressure ratio of a temperature ratio: p2/p1 = (T2/T1)^(gamma/(gamma - 1)).
  double pressure_ratio(double temperature_ratio) const {
    return std::pow(temperature_ratio, gamma / (gamma - 1.0));
  }
};

/// Dynamic viscosity of air [Pa s].
///
///     mu = mu0 (T/T0)^1.5 (T0 + S)/(T + S)                            [Sutherland1893; White2006]
///     T0 = 273.15 K,   mu0 = 1.716e-5 Pa s,   S = 110.4 K
inline double air_viscosity(double temperature) {
  const double ratio = temperature / base::kZeroCelsius;
  return 1.716e-5 * ratio * std::sqrt(ratio) * (base::kZeroCelsius + 110.4) / (temperature + 110.4);
}

/// Fanning friction factor of a rough pipe; fairly smooth from laminar-turbulent transition up.
///
///     1/sqrt(4 f) = -1.8 log10((k/(3.7 D))^1.11 + 6.9/Re)                           [Haaland1983]
inline double friction_factor(double reynolds, double relative_roughness) {
  const double root =
      -1.8 * std::log10(std::pow(relative_roughness / 3.7, 1.11) + 6.9 / std::max(reynolds, 4e3));
  return 0.25 / (root * root);
}

/// State at one station.
struct GasState {
  double total_temperature;
  double total_pressure;
  double temperature;
  double pressure;
  double density;
};

/// State of gas moving at `speed` C [m/s] from its total state.
///
///     T = T0 - C^2/(2 cp),   p = p0 (T/T0)^(gamma/(gamma - 1)),   rho = p/(R T)
GasState moving(const PerfectGas& gas, double total_temperature, double total_pressure,
                double speed);

/// Subsonic through-flow velocity [m/s] that carries `mass_flow` through `area` when the gas also
/// swirls at `tangential` [m/s]; NaN where the area is choked. A near `guess` [m/s] saves steps.
///
///     W = rho A Cm,   rho = p0/(R T0) (T/T0)^(1/(gamma - 1)),   T = T0 - (Cm^2 + Ct^2)/(2 cp)
double through_flow_velocity(const PerfectGas& gas, double total_temperature, double total_pressure,
                             double tangential, double mass_flow, double area, double guess = 0.0);

/// Mass flow [kg/s] of a sonic throat.
///
///     W = A p0 sqrt(gamma/(R T0)) (2/(gamma + 1))^((gamma + 1)/(2 (gamma - 1)))
double choked_mass_flow(const PerfectGas& gas, double total_temperature, double total_pressure,
                        double area);

}  // namespace airchain::compressor
