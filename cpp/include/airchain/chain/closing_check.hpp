#pragma once

#include "airchain/chain/match.hpp"

// A last look at every point: what has been matched is possible, or it is not matched.
namespace airchain::chain {

/// Whether what a part of the chain tells is physically possible, and whether an engine was seen
/// with it. What is likely is possible too; NaN is neither.
template <class T>
struct Verdict {
  using Mask = decltype(T(0.0) < T(0.0));
  Mask possible, likely;
};

/// Ranges of the closing check; SI, common practice without source unless said otherwise.
inline constexpr base::Range kPossibleCharge = base::between(120.0, 1500.0);   // [K]
inline constexpr base::Range kPossibleExhaust = base::between(250.0, 3500.0);  // [K]
inline constexpr base::Range kLikelyExhaust = base::between(600.0, 1650.0);    // [K]
inline constexpr double kLikelyCompressorOutlet = 600.0;                       // [K]
inline constexpr base::Range kLikelyEfficiency = base::between(0.35, 0.9);     // isentropic
inline constexpr double kChokeSide = 0.8;  // place on the line beyond which efficiency may fall
inline constexpr base::Range kLikelyFilling = base::between(0.3, 1.4);
inline constexpr double kLikelyBackPressure = 1.5e5;  // gauge [Pa]
inline constexpr double kMostPower = 1e9;             // [W]: finite, whatever an engine drives
inline constexpr double kRounding = 1e-9;

template <class T>
AIRCHAIN_INLINE auto within(T value, const base::Range& range) {
  return (value >= T(range.low)) & (value <= T(range.high));
}

/// First and second law at the compressor: work goes into the gas, and no less than an isentropic
/// compression takes. On its choke line it may lose pressure all the same.
template <class T>
AIRCHAIN_INLINE Verdict<T> compressor_verdict(const Path<T>& p, const Result<T>& r, T place) {
  Verdict<T> v;
  v.possible = (p.work > T(0.0)) & (r.isentropic_efficiency <= T(1.0 + kRounding)) &
               within(r.compressor_outlet_temperature, kPossibleCharge);
  v.likely = (within(r.isentropic_efficiency, kLikelyEfficiency) |
              ((place > T(kChokeSide)) & (r.isentropic_efficiency < T(kLikelyEfficiency.high)))) &
             (r.compressor_outlet_temperature <= T(kLikelyCompressorOutlet)) & v.possible;
  return v;
}

/// Air goes into the cylinders, no more than passed the compressor, and stays gas. No duct's
/// pressure was held so that the search kept its direction.
template <class T>
AIRCHAIN_INLINE Verdict<T> filling_verdict(const Match<T>& m, const Result<T>& r) {
  const auto& p = m.path;
  Verdict<T> v;
  v.possible = (m.air_flow > T(0.0)) & (m.air_flow <= p.flow * T(1.0 + kRounding)) &
               (m.bypass_flow >= T(0.0)) & (r.plenum_pressure > T(0.0)) &
               (p.lowest_duct_ratio > T(kLowestDuctRatio)) &
               within(p.cooler_outlet_temperature, kPossibleCharge) &
               within(r.charge_temperature, kPossibleCharge) & (r.volumetric_efficiency > T(0.0)) &
               (r.volumetric_efficiency <= T(cylinder::kMostFilling)) & (r.trapping > T(0.0)) &
               (r.trapping <= T(1.0 + kRounding));
  v.likely = within(r.volumetric_efficiency, kLikelyFilling) & v.possible;
  return v;
}

/// First law at the cylinders: the closed cycle gives work, no more than the heat that the fuel set
/// free and the walls did not take. Likely is what lies within the phasings and mixtures that
/// cycles were run at, for a surface or for the mean-value cylinder's constants.
template <class T>
AIRCHAIN_INLINE Verdict<T> combustion_verdict(const Chain<T>& c, const Setup<T>& setup,
                                              const Demand<T>& d, const Result<T>& r) {
  Verdict<T> v;
  const T work = r.indicated_pressure * setup.displaced_rate;
  const T free = r.fuel_power * d.trapping * setup.combustion_efficiency;
  const auto pays = (work > T(0.0)) & (work + r.wall_heat_flow < free);
  v.possible = pays & (setup.combustion_efficiency <= T(1.0 + kRounding)) &
               (r.peak_pressure > r.plenum_pressure) & (r.power < r.fuel_power) &
               (r.power > T(-kMostPower));
  v.likely =
      cylinder::Burned::known(c.combustion.phasing_at(r.plenum_pressure), c.injection.lambda) &
      v.possible;
  return v;
}

/// Exhaust of more pressure than the plenum's times the compression ratio, left in the clearance,
/// would fill the whole cylinder once it has expanded, even at one temperature: nothing is drawn.
template <class T>
AIRCHAIN_INLINE Verdict<T> exhaust_verdict(const Chain<T>& c, const Setup<T>& setup,
                                           const Result<T>& r) {
  Verdict<T> v;
  v.possible = (r.exhaust_pressure >= setup.ambient.pressure * T(1.0 - kRounding)) &
               (r.exhaust_pressure <= r.plenum_pressure * c.engine.compression_ratio) &
               (r.exhaust_temperature > r.charge_temperature) &
               within(r.exhaust_temperature, kPossibleExhaust);
  v.likely = (r.exhaust_pressure <= setup.ambient.pressure + T(kLikelyBackPressure)) &
             within(r.exhaust_temperature, kLikelyExhaust) & v.possible;
  return v;
}

/// Adds the flags of what is odd; the status of what is not possible, where there is a match.
template <class T>
AIRCHAIN_INLINE void close(const Chain<T>& c, const Setup<T>& setup, Match<T>& m, Result<T>& r) {
  using base::Flag;
  const auto filling = filling_verdict(m, r);
  const auto burn = combustion_verdict(c, setup, m.demand, r);
  const auto exhaust = exhaust_verdict(c, setup, r);
  typename Verdict<T>::Mask possible = filling.possible & burn.possible & exhaust.possible;
  T odd = flag_if<T>(!filling.likely, Flag::odd_filling) +
          flag_if<T>(!burn.likely, Flag::odd_combustion) +
          flag_if<T>(!exhaust.likely, Flag::odd_exhaust) +
          flag_if<T>(!(r.power > T(0.0)), Flag::no_power);
  if (c.supercharged()) {
    const auto compressor = compressor_verdict(m.path, r, m.place);
    possible = possible & compressor.possible;
    odd += flag_if<T>(!compressor.likely, Flag::odd_compressor);
  }
  r.flags += odd;
  const auto refused = (m.status <= T(0.0)) & !possible;
  // What is odd tells which part is meant.
  m.flags += where(refused, odd, T(0.0));
  m.status = where(refused, T(double(base::Status::not_possible)), m.status);
}

}  // namespace airchain::chain
