#pragma once

#include "airchain/cycle/kernel.hpp"

// The gas in the kernel's cylinder: equilibrium, and where it stands half a step on.
namespace airchain::cycle {

/// Temperature of an energy by `Charge::settled`, with what equilibrium adds at the density that
/// burned gas would have at the same pressure:
///
///     u = u_frozen + y d,   R = R_frozen + y dR,   rho_burned = rho R_frozen/R_burned
template <class T>
AIRCHAIN_INLINE auto Kernel<T>::found(T energy, T burned, T evaporated, T guess, T density) const
    -> Found {
  const T frozen = gas_.gas_constant(burned, evaporated);
  gas::Dissociated<T> more;
  if (setup_.burned_gas == BurnedGas::equilibrium && any(guess > T(gas::kFrozenBelow))) {
    const T per_burned = T(1.0 / setup_.mixture.burned.gas_constant);
    more = setup_.mixture.dissociation.at(guess, numerics::log(density * frozen * per_burned));
  }
  const auto at = gas_.settled(energy, burned, evaporated, guess, more);
  const T d = at.temperature - guess;
  const T rise = more.constant + d * (more.constant_rise + T(0.5) * d * more.bend);
  return {at.temperature, at.heat, frozen + burned * rise};
}

/// The cylinder half a step on: m = m_0 + dt/2 m', p = m R T/V, and T of
///
///     E = E_0 + dt/2 E' - p_0 (V - V_0) + heat completeness burn of `burnt_of`
template <class T>
AIRCHAIN_INLINE auto Kernel<T>::half_step(T dt, T middle, const Evaporation& drops) const -> Half {
  const T h = T(0.5) * dt;
  const T volume = setup_.crank.at(middle).volume;
  const T share = burned_share(middle);
  const T fresh = vessel.mass - vessel.burned_mass;
  const T burn = burnt_of(fresh, {tally.burned, share});
  const T mass = vessel.mass + h * mass_rate;
  const T burned = (vessel.burned_mass + h * burned_rate + burn) / mass;
  const T latent = T(0.5 * setup_.mixture.latent_heat) * drops.step * fresh;
  const T energy = vessel.energy + h * energy_rate - vessel.pressure * (volume - vessel.volume) +
                   burn * heat_of(drops.middle) - latent;
  const T inner = energy / mass;
  const T vapour = (T(1.0) - burned) * drops.middle;
  const auto at = found(inner, burned, vapour, vessel.temperature, mass / volume);
  const T t = at.temperature;
  const T r = at.gas_constant;
  return {{mass * r * t / volume, t, T(0.0), burned, inner, at.heat, r}, volume, share};
}

}  // namespace airchain::cycle
