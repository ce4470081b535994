#pragma once

#include "airchain/compressor/map_data.hpp"
#include "airchain/gas/mixture.hpp"

namespace airchain::compressor {

/// Gas flow over corrected flow and inlet pressure [1/Pa].
///
///     m / (W p01) = sqrt((R T / gamma)_ref / (R T01 / gamma)) / p_ref
///
/// `gas_constant` is that of a kilogram of the gas [J/(kg K)].
template <class T>
AIRCHAIN_INLINE T flow_factor(const ReferenceState& reference, T gas_constant, T temperature,
                              T gamma) {
  const double reference_flow = reference.gas_constant * reference.temperature / reference.gamma;
  return sqrt(T(reference_flow) / (gas_constant * temperature / gamma)) *
         T(1.0 / reference.pressure);
}

/// A reading of the air before and behind a compressor: total pressures [Pa] and temperatures [K],
/// water vapour per dry air.
struct Reading {
  double inlet_pressure, inlet_temperature;
  double outlet_pressure, outlet_temperature;
  double humidity_ratio;
};

/// Rise of stagnation enthalpy [J/kg dry air], from the temperatures alone.
///
///     dh = h(T02) - h(T01)
///
/// Left out: heat through the case, which a hot housing adds to the outlet's reading.
double measured_work(const Reading& reading);

/// Isentropic efficiency, total to total: the isentropic rise at the measured pressure ratio over
/// the measured rise. NaN where the air was not heated.
///
///     eta = dh_s/dh,   dh_s = `gas::Mixture::isentropic_rise` from T01 over ln(p02/p01)
double measured_efficiency(const Reading& reading);

/// Corrected flow [kg/s] at a map's reference state from a flow of dry air [kg/s] at a total
/// pressure [Pa] and temperature [K].
///
///     W = W_dry (1 + w)/(p01 flow_factor)
double corrected_flow(const ReferenceState& reference, double air_flow, double pressure,
                      double temperature, double humidity_ratio);

/// Corrected speed [rad/s] at a map's reference state.
///
///     N = N_shaft sqrt((gamma R T)_ref/(gamma R T01))
double corrected_speed(const ReferenceState& reference, double speed, double temperature,
                       double humidity_ratio);

}  // namespace airchain::compressor
