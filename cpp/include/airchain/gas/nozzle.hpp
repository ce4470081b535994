#pragma once

#include "airchain/numerics/elementary.hpp"

namespace airchain::gas {

/// Pressure ratio at which a nozzle chokes: r = (2/(gamma + 1))^(gamma/(gamma - 1)).
template <class T>
AIRCHAIN_INLINE T critical_pressure_ratio(T gamma) {
  return numerics::pow(T(2.0) / (gamma + T(1.0)), gamma / (gamma - T(1.0)));
}

/// Flow function of an isentropic nozzle, psi = W sqrt(R T0)/(A p0), for a ratio r of
/// downstream to upstream total pressure; constant below the critical ratio.
///
///     psi = sqrt(2 gamma/(gamma - 1) (r^(2/gamma) - r^((gamma + 1)/gamma)))
///                                                                        [St Venant and Wantzel]
///
/// Perfect gas. The area is the effective one (discharge coefficient times geometric area).
template <class T>
AIRCHAIN_INLINE T nozzle_flow_function(T pressure_ratio, T gamma) {
  const T r = numerics::max(pressure_ratio, critical_pressure_ratio(gamma));
  const T log_r = numerics::log(r) / gamma;
  const T difference = numerics::exp(T(2.0) * log_r) - numerics::exp((gamma + T(1.0)) * log_r);
  return sqrt(T(2.0) * gamma / (gamma - T(1.0)) * numerics::max(difference, T(0.0)));
}

}  // namespace airchain::gas
