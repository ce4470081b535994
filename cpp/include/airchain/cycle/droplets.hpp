#pragma once

#include "airchain/cycle/mixture.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::cycle {

/// Liquid fuel in the closed cylinder, as droplets of one size whose square shrinks steadily,
///
///     d(d^2)/dt = -K,   K = 8 k/(c_p rho) ln(1 + B),   B = c_pv (T - T_w)/h_fg
///
/// [Godsave 1953; Spalding 1953, as in Turns, An Introduction to Combustion, chapter 3, from
/// memory], with k/c_p of air at 450 K. T is the unburned gas's temperature, T_w the droplet's,
/// taken as the charge's, which is near saturation. Left out: what the droplets' own speed adds
/// (faster), the spread of sizes, films on the walls (slower). The diameter decides: methanol of 20
/// um is gone within some 5 ms, of 40 um it is still there when it burns.
template <class T>
struct Droplets {
  T square;  ///< of the diameter over that at the inlet's closing

  /// Share of them that has evaporated.
  static AIRCHAIN_INLINE T evaporated(T square) { return T(1.0) - square * numerics::sqrt(square); }
  /// The square after a time in gas of a temperature.
  AIRCHAIN_INLINE T after(T dt, const ChargeRecipe& recipe, T gas, T own) const {
    constexpr double kConduction = 3.7e-5;  // k/c_p [kg/(m s)]
    const auto& fuel = recipe.fuel;
    const double d = recipe.droplet_diameter;
    const T number =
        T(fuel.vapour_heat_capacity / fuel.latent_heat) * numerics::max(gas - own, T(0.0));
    const T rate = T(8.0 * kConduction / (fuel.density * d * d)) * numerics::log(T(1.0) + number);
    return numerics::max(square - dt * rate, T(0.0));
  }
};

}  // namespace airchain::cycle
