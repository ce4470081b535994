#include "airchain/chain/stations.hpp"

#include <cmath>

#include "airchain/chain/match.hpp"

namespace airchain::chain {

namespace {

StationState state_of(const char* name, const gas::Stream<double>& s,
                      const gas::FuelThermo<double>& fuel, double dry_air_flow) {
  const double density = gas::density(s, gas::mixture_of(s, fuel));
  return {name,         s.pressure,     s.temperature,
          density,      dry_air_flow,   dry_air_flow * s.mass_ratio(),
          s.vapour,     s.liquid_water, s.fuel_vapour,
          s.fuel_liquid};
}

StationState exhaust_of(const Demand<double>& d, double air_flow, double mass_flow) {
  const double burned = std::nan("");
  const double density =
      d.exhaust_pressure / (cylinder::kExhaustGasConstant * d.exhaust_temperature);
  return {"exhaust",
          d.exhaust_pressure,
          d.exhaust_temperature,
          density,
          air_flow,
          mass_flow,
          burned,
          burned,
          burned,
          burned};
}

void forget_numbers(StationState& s) {
  for (double StationState::*number :
       {&StationState::pressure, &StationState::temperature, &StationState::density,
        &StationState::dry_air_flow, &StationState::mass_flow, &StationState::vapour,
        &StationState::liquid_water, &StationState::fuel_vapour, &StationState::fuel_liquid})
    s.*number = std::nan("");
}

}  // namespace

std::vector<StationState> station_states(const Chain<double>& chain) {
  validate(chain);
  base::require_fields(chain.operation);
  Setup<double> setup(chain);
  const auto breathing = chain.breathing.table->line(chain.operation.engine_speed);
  const auto m = chain.supercharged() ? match_boosted(chain, setup, breathing)
                                      : match_plain(chain, setup, breathing);
  const auto& p = m.path;
  std::vector<StationState> list;
  const auto add = [&](const char* name, const gas::Stream<double>& s, double flow) {
    list.push_back(state_of(name, s, setup.thermo, flow));
  };
  add("ambient", setup.ambient, p.flow);
  add("scoop", setup.scoop, p.flow);
  if (chain.supercharged()) {
    add("compressor_inlet", p.compressor_inlet, p.flow);
    add("compressor_outlet", p.compressor_outlet, p.flow);
    add("cooler_inlet", p.cooler_inlet, p.flow);
    add("cooler_outlet", p.cooler_outlet, p.flow);
  }
  add("throttle_inlet", p.throttle_inlet, p.flow);
  add("plenum", p.plenum, p.flow);
  add("charge", p.charge, m.air_flow);
  const auto demand = demand_of(chain, setup, breathing, p, m.air_flow);
  list.push_back(exhaust_of(demand, m.air_flow, list.back().mass_flow));
  if (m.status > 0.0)
    for (auto& state : list) forget_numbers(state);
  return list;
}

}  // namespace airchain::chain
