#pragma once

#include "airchain/cylinder/mean_value.hpp"

namespace airchain::cylinder {

/// Mean-value model of the closed cycle, for an engine whose volumetric efficiency is typed; one
/// with cams takes phasing, share of coolant and work scale from it, the rest from its cycles.
///
///     eta_i = quality (1 - r^-0.26) f (1 + p1 t + p2 t^2) (1 + s u + d l)
///
/// 0.26 stands for gamma - 1 of the fuel-air cycle; f of mixture, fuel and compression, and the
/// rest, are fitted to this project's cycle (`mean_value`). Range: lambda 0.65 to 1.15, half burned
/// 2 degrees before to 42 after top centre. Left out: dilution, speed of burn, knock.
template <class T>
struct Combustion {
  static constexpr const char* kName = "Combustion";
  T quality{mean_value::kQuality};
  T phasing{kBestPhasing};
  T best_phasing{kBestPhasing};
  T phasing_retard{0.0};
  T coolant_share{0.22};
  T work_scale{1.0};

  static constexpr auto fields() {
    using base::between;
    using base::field;
    using C = Combustion;
    return std::tuple{
        field(
            "quality", &C::quality, "1", between(0.4, 1.0),
            "indicated efficiency of stoichiometric gasoline over 1 - r^-0.26, at compression 10, "
            "a charge of 1.2 kg/m^3 and 15 m/s mean piston speed; not asked where cycles tell "
            "the work"),
        field("phasing", &C::phasing, "rad", between(-0.1, 0.8),
              "crank angle after top centre at which half the charge has burned, at or below "
              "100 kPa plenum pressure"),
        field("best_phasing", &C::best_phasing, "rad", between(0.0, 0.4),
              "the same at best torque; common practice 8 to 10 degrees"),
        field("phasing_retard", &C::phasing_retard, "rad/Pa", between(0.0, 5e-6),
              "later phasing per plenum pressure above 100 kPa"),
        field("coolant_share", &C::coolant_share, "1", between(0.0, 0.5),
              "share of the heat released that goes to coolant and oil"),
        field("work_scale", &C::work_scale, "1", between(0.5, 1.5),
              "factor on the work of compression and expansion that the cycles of an engine with "
              "cams give; not asked where volumetric efficiency is typed")};
  }

  /// Crank angle of half burned [rad]: theta50 = phasing + phasing_retard max(p - 100 kPa, 0).
  AIRCHAIN_INLINE T phasing_at(T plenum_pressure) const {
    return phasing + phasing_retard * numerics::max(plenum_pressure - T(1e5), T(0.0));
  }
  /// Indicated work of the closed cycle over the fuel's heating value [1], at best phasing, usual
  /// density and speed: eta_i = quality (1 - r^-0.26) f.
  AIRCHAIN_INLINE T best_indicated_efficiency(T compression_ratio, T lambda, T oxygen_ratio) const {
    const T ideal = T(1.0) - numerics::exp(T(-0.26) * numerics::log(compression_ratio));
    return quality * ideal * mixture_work(compression_ratio, lambda, oxygen_ratio);
  }
  /// How late half is burned, in tens of degrees behind best phasing.
  AIRCHAIN_INLINE T lateness(T phasing_now) const {
    return (phasing_now - best_phasing) * T(1.0 / mean_value::kUnit);
  }
  /// Indicated work over that at best phasing [1]: 1 + p1 t + p2 t^2. Torque alone is best some
  /// degrees earlier than best phasing.
  AIRCHAIN_INLINE T phasing_factor(T phasing_now) const {
    const auto& p = mean_value::kWorkPhasing;
    const T t = lateness(phasing_now);
    return T(1.0) + t * (T(p[0]) + T(p[1]) * t);
  }
  /// Work and wall heat over the fuel's heating value, burned so late.
  struct Shares {
    T work, wall_heat;
  };
  /// The laws together: of the ratios at hand, and of speed, log density l and phasing.
  AIRCHAIN_INLINE Shares shares(T best_efficiency, T usual_heat, const AtSpeed<T>& law, T l,
                                T phasing_now) const {
    return {best_efficiency * law.work_at(l) * phasing_factor(phasing_now),
            usual_heat * law.wall_at(l, lateness(phasing_now))};
  }
  /// The same of one state; density of dry air in kg/m^3, speed in m/s.
  Shares mean_value(T compression_ratio, T lambda, T oxygen_ratio, T density, T piston_speed,
                    T phasing_now) const {
    return shares(best_indicated_efficiency(compression_ratio, lambda, oxygen_ratio),
                  usual_wall_heat(compression_ratio, lambda, oxygen_ratio),
                  AtSpeed<T>::of(piston_speed), log_density(density), phasing_now);
  }
};

/// Molecules made of one carbon atom's share of fuel [1].
template <class T>
struct Products {
  T carbon_dioxide, carbon_monoxide, water, hydrogen, oxygen;
};

/// Burned gas without dissociation. Rich products hold CO, CO2, H2O and H2 at the water-gas
/// equilibrium frozen at K = [CO][H2O]/([CO2][H2]) = 3.5 [Spindt, SAE 650507; value from memory];
/// the lean side burns completely. Of C H_y O_z with n = oxygen_demand, l = min(lambda, 1):
///
///     CO2 = 2 s/(b + sqrt(b^2 + 4 (K - 1) s)),   s = z + 2 l n - 1,   b = s + 1 + K (y/2 - s)
///     CO = 1 - CO2,   H2O = s - CO2,   H2 = y/2 - H2O,   O2 = (lambda - l) n
template <class T>
AIRCHAIN_INLINE Products<T> products_of(T lambda, T hydrogen_ratio, T oxygen_ratio,
                                        T oxygen_demand) {
  constexpr double kWaterGas = 3.5;
  const T h = T(0.5) * hydrogen_ratio;
  const T l = numerics::min(lambda, T(1.0));
  const T s = oxygen_ratio + T(2.0) * l * oxygen_demand - T(1.0);  // CO2 plus H2O per carbon
  const T b = s + T(1.0) + T(kWaterGas) * (h - s);
  const T carbon_dioxide = T(2.0) * s / (b + sqrt(b * b + T(4.0 * (kWaterGas - 1.0)) * s));
  return {carbon_dioxide, T(1.0) - carbon_dioxide, s - carbon_dioxide, h - s + carbon_dioxide,
          (lambda - l) * oxygen_demand};
}

/// Share of the heating value released with too little air, with the products above.
///
///     eta_c = 1 - (CO 282.98 kJ/mol + H2 241.83 kJ/mol)/heat_per_carbon [J/mol]
///
/// Left out: unburned hydrocarbons and dissociation.
template <class T>
AIRCHAIN_INLINE T combustion_efficiency(T lambda, T hydrogen_ratio, T oxygen_ratio, T oxygen_demand,
                                        T heat_per_carbon) {
  constexpr double kHeatOfCarbonMonoxide = 282.98e3;  // J/mol, from heats of formation
  constexpr double kHeatOfHydrogen = 241.83e3;
  const auto made = products_of(lambda, hydrogen_ratio, oxygen_ratio, oxygen_demand);
  const T lost =
      made.carbon_monoxide * T(kHeatOfCarbonMonoxide) + made.hydrogen * T(kHeatOfHydrogen);
  return T(1.0) - lost / heat_per_carbon;
}

/// Estimate of mean-cycle peak pressure [Pa].
///
/// Charge and residual fill the cylinder at bottom centre (equal gammas: pressures add by volume),
/// compress with exponent n; a share s of the heat has raised pressure by the angle of the peak,
/// b after half is burned, in a gas of gamma 1.25. Rod ratio 3.5 crank radii. With n, s and b of
/// `mean_value`:
///
///     p1 = (p_plenum eta_v (r - 1) + p_exhaust)/r,   a = phasing + b
///     v = 1 + (r - 1)/2 (1 - cos(a) + sin(a)^2/7),   over the volume at top centre
///     p_peak = p1 (r/v)^n + 0.25 s q (r - 1)/v,   q = heat_per_displacement [J/m^3]
///
/// Of mean cycles: single ones peak 25 to 30 % higher (common practice).
template <class T>
AIRCHAIN_INLINE T peak_pressure_estimate(T compression_ratio, T plenum_pressure, T exhaust_pressure,
                                         T volumetric_efficiency, T phasing,
                                         T heat_per_displacement) {
  const T r = compression_ratio;
  const T start = (plenum_pressure * volumetric_efficiency * (r - T(1.0)) + exhaust_pressure) / r;
  const T angle = phasing + T(mean_value::kPeakLater);
  const T a2 = angle * angle;
  // 1 - cos and sin^2 by their series: within 1e-4 up to 45 degrees.
  const T versine = a2 * (T(0.5) - a2 * (T(1.0 / 24) - a2 * T(1.0 / 720)));
  const T sine2 = a2 * (T(1.0) - a2 * (T(1.0 / 3) - a2 * T(2.0 / 45)));
  const T volume = T(1.0) + T(0.5) * (r - T(1.0)) * (versine + sine2 * T(0.5 / 3.5));
  const T compressed =
      start * numerics::exp(T(mean_value::kPeakExponent) * numerics::log(r / volume));
  return compressed +
         T(0.25 * mean_value::kPeakShare) * heat_per_displacement * (r - T(1.0)) / volume;
}

}  // namespace airchain::cylinder
