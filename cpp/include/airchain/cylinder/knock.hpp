#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/base/field.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::cylinder {

/// Octane numbers the formula below was fitted to.
inline constexpr base::Range kKnockOctane = base::between(80.0, 100.0);

/// Doubt of a knock limit in crank angle of half burned, either way [rad]: the formula was fitted
/// to within some 2 degrees where it was fitted, and is worth 4 to 5 beyond; where the integral
/// ends (`kBurnedOut`) moves it by as much.
inline constexpr double kKnockDoubt = 5.0 * base::kPi / 180.0;

/// Ignition delay of the unburned gas [s]:
///
///     tau = 17.68 ms (ON/100)^3.402 (p/atm)^-1.7 exp(3800 K/T)
///
/// [Douaud and Eyzat 1978, SAE 780080, as in Heywood 1988, eq. 9.61, from memory]. The unburned gas
/// knocks when the integral of dt/tau reaches 1 before it has burned [Livengood and Wu 1955].
/// Fitted to primary reference fuels of octane 80 to 100: above 100, and for alcohols, it is an
/// extrapolation. It is an estimate, within `kKnockDoubt` at best, and no permission.
template <class T>
AIRCHAIN_INLINE T ignition_delay(T octane, T pressure, T temperature) {
  constexpr double kAtmosphere = base::kStandardAtmosphere;
  const T logs = T(3.402) * numerics::log(octane * T(0.01)) -
                 T(1.7) * numerics::log(pressure * T(1.0 / kAtmosphere)) + T(3800.0) / temperature;
  return T(17.68e-3) * numerics::exp(logs);
}

}  // namespace airchain::cylinder
