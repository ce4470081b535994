#pragma once

#include <vector>

#include "airchain/base/field.hpp"
#include "airchain/chain/chain.hpp"

namespace airchain::chain {

/// What the engine takes from a plenum of a given state, whatever feeds it. Numbers are NaN unless
/// `status` is matched.
struct EngineState {
  double status, flags;
  double air_flow, fuel_flow, volumetric_efficiency;
  double charge_temperature, charge_gas_constant, exhaust_pressure, pressure_ratio;

  static constexpr auto columns() {
    using S = EngineState;
    const auto column = [](const char* name, double S::*member, const char* unit,
                           const char* words) {
      return base::field(name, member, unit, base::Range{}, words);
    };
    return std::tuple{
        column("status", &S::status, "1", "whether the point was solved, or why not"),
        column("flags", &S::flags, "1",
               "bits of one number: what is odd, and whether the table or surface of volumetric "
               "efficiency was left"),
        column("air_flow", &S::air_flow, "kg/s", "dry air into the engine"),
        column("fuel_flow", &S::fuel_flow, "kg/s", "fuel demand of the engine"),
        column("volumetric_efficiency", &S::volumetric_efficiency, "1",
               "charge over displacement at plenum pressure and charge temperature"),
        column("charge_temperature", &S::charge_temperature, "K",
               "at the inlet valves, fuel evaporated as far as it does"),
        column("charge_gas_constant", &S::charge_gas_constant, "J/(kg K)",
               "at the inlet valves, per kg dry air"),
        column("exhaust_pressure", &S::exhaust_pressure, "Pa", "mean behind the exhaust valves"),
        column("pressure_ratio", &S::pressure_ratio, "1", "plenum over exhaust pressure")};
  }
};

/// The engine alone at an engine speed, plenum pressure and plenum temperature: compressor, cooler
/// and throttle are passed over, the weather gives humidity and the pressure behind the exhaust.
/// The plenum holds fuel where it is injected before it. The closing check of the chain looks at it
/// as at a matched point without a compressor. Left out: water that would condense.
///
///     W = eta_v V' p_plenum/(R_charge T_charge trapping),   V' = V_d omega/(4 pi)
///
/// Range: plenum 1 kPa to 1 MPa, 230 to 500 K; throws InputError outside.
EngineState engine_state(const Chain<double>& chain, double engine_speed, double plenum_pressure,
                         double plenum_temperature);

}  // namespace airchain::chain
