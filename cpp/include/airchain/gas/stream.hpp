#pragma once

namespace airchain::gas {

/// What flows from station to station, by value: stagnation state, dry-air flow, and what every
/// kilogram of dry air carries.
template <class T>
struct Stream {
  T pressure{0.0};      ///< total, absolute [Pa]
  T temperature{0.0};   ///< total [K]
  T dry_air_flow{0.0};  ///< [kg/s]
  T vapour{0.0};        ///< water vapour [kg per kg dry air]
  T liquid_water{0.0};  ///< [kg per kg dry air]
  T fuel_vapour{0.0};   ///< [kg per kg dry air]
  T fuel_liquid{0.0};   ///< [kg per kg dry air]

  /// Gas per dry air [kg/kg]: m = 1 + w + f_v.
  T gas_mass_ratio() const { return T(1.0) + vapour + fuel_vapour; }
  /// Everything per dry air [kg/kg]: m = 1 + w + f_v + l + f_l.
  T mass_ratio() const { return gas_mass_ratio() + (liquid_water + fuel_liquid); }
  /// Of everything [kg/s]: W = W_dry m.
  T mass_flow() const { return dry_air_flow * mass_ratio(); }
};

}  // namespace airchain::gas
