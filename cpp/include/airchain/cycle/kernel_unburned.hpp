#pragma once

#include "airchain/cycle/kernel.hpp"

// What the kernel does with the unburned charge: its droplets evaporate, and it may ignite by
// itself.
namespace airchain::cycle {

/// Share burned up to which the unburned gas can knock. By then what is left lies mostly in
/// crevices and along the walls (each holds some 5 % of the charge at peak pressure [Heywood 1988,
/// chapter 11, from memory]), hundreds of kelvin colder than the core whose isentrope is followed
/// here: at the core's temperature this gas would set the limit for gas that is not there. Knock
/// criteria end at a share of the burn for the same reason, 75 to 90 % [Franzke 1981; Worret et al.
/// 2002, SAE 2002-01-1668, from memory]. The choice counts as much as the formula does, and is part
/// of `cylinder::kKnockDoubt`.
inline constexpr double kBurnedOut = 0.90;

/// Droplets evaporate in the closed cylinder and as long as it burns; then what is there counts as
/// the charge that comes in.
template <class T>
AIRCHAIN_INLINE auto Kernel<T>::evaporation(T dt, T middle) const -> Evaporation {
  const auto burning = (tally.burned < T(1.0)) & (middle < T(setup_.intake_valve.opening));
  const auto closed = (middle < T(setup_.exhaust_valve.opening)) | burning;
  const T next =
      droplets.after(dt, setup_.mixture.recipe, unburned_temperature, point.plenum_temperature);
  const T before = Droplets<T>::evaporated(droplets.square);
  const T after = Droplets<T>::evaporated(next);
  const T none(0.0);
  return {where(closed, next, T(1.0)), where(closed, T(0.5) * (before + after), none),
          where(closed, after, none), where(closed, after - before, none)};
}

/// Unburned gas follows the pressure by its own isentrope, less what its droplets take, until it
/// has burned or the valve opens.
template <class T>
AIRCHAIN_INLINE void Kernel<T>::compress_unburned(T dt, T middle, const Burn& burn,
                                                  const Evaporation& drops, T pressure_before,
                                                  T pressure_between) {
  const auto unburned = (burn.before < T(kBurnedOut)) & (middle < T(setup_.exhaust_valve.opening));
  if (!any(unburned)) return;
  const T fresh = T(1.0) - trapped.residual;
  const auto caloric = gas_.caloric(unburned_temperature, trapped.residual);
  const T r = gas_.gas_constant(trapped.residual, fresh * drops.middle);
  const T heat = caloric.heat + gas_.gas_constant(trapped.residual);
  const T taken = fresh * drops.step *
                  (T(setup_.mixture.latent_heat) + gas_.vapour_enthalpy(unburned_temperature));
  const T warmer =
      unburned_temperature * numerics::pow(vessel.pressure / pressure_before, r / heat) -
      taken / heat;
  const T mean = T(0.5) * (unburned_temperature + warmer);
  const T delay = cylinder::ignition_delay(T(setup_.octane), pressure_between, mean);
  // The last step counts as far as it lies before the end, so that steps do not show.
  const T step = burn.after - burn.before;
  const T part = where(burn.after > T(kBurnedOut), (T(kBurnedOut) - burn.before) / step, T(1.0));
  tally.knock += where(unburned, part * dt / delay, T(0.0));
  unburned_temperature = where(unburned, warmer, unburned_temperature);
}

}  // namespace airchain::cycle
