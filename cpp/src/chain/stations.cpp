#include "airchain/chain/stations.hpp"

#include <cmath>

#include "airchain/chain/solve.hpp"

namespace airchain::chain {

namespace {

using Stream = gas::Stream<double>;

/// What flows at each part of the chain, so that a station needs only its pressure and temperature.
struct Contents {
  explicit Contents(const Chain<double>& chain, const Result<double>& r)
      : setup(chain), to_cooler(setup.entry), place(chain.injection.place) {
    to_cooler.dry_air_flow = r.compressor_flow / setup.entry.mass_ratio();
    after_cooler = to_cooler;
    const double condensed = r.condensed_water / to_cooler.dry_air_flow;
    after_cooler.vapour -= condensed;
    after_cooler.liquid_water += condensed;
    charge = after_cooler;
    charge.dry_air_flow = r.air_flow;
    charge.fuel_vapour = setup.fuel_air_ratio * r.fuel_evaporated;
    charge.fuel_liquid = setup.fuel_air_ratio - charge.fuel_vapour;
  }

  Stream plenum() const {
    if (place != fuel::InjectionPlace::plenum) return after_cooler;
    Stream s = charge;
    s.dry_air_flow = after_cooler.dry_air_flow;
    return s;
  }
  StationState at(const char* name, Stream s, double pressure, double temperature) const {
    s.pressure = pressure;
    s.temperature = temperature;
    const double density = gas::density(s, gas::mixture_of(s, setup.thermo));
    return {name,          pressure, temperature,    density,       s.dry_air_flow,
            s.mass_flow(), s.vapour, s.liquid_water, s.fuel_vapour, s.fuel_liquid};
  }
  /// Air as it was drawn in, before any fuel.
  StationState outside(const char* name, Stream s) const {
    s.dry_air_flow = to_cooler.dry_air_flow;
    return at(name, s, s.pressure, s.temperature);
  }

  Setup<double> setup;
  Stream to_cooler, after_cooler, charge;
  fuel::InjectionPlace place;
};

StationState exhaust_of(const Result<double>& r, double mass_flow) {
  const double burned = std::nan("");
  const double density =
      r.exhaust_pressure / (cylinder::kExhaustGasConstant * r.exhaust_temperature);
  return {"exhaust",
          r.exhaust_pressure,
          r.exhaust_temperature,
          density,
          r.air_flow,
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
  const Result<double> r = solve(chain);
  const Contents in(chain, r);
  std::vector<StationState> list{in.outside("ambient", in.setup.ambient),
                                 in.outside("scoop", in.setup.scoop)};
  const auto add = [&](const char* name, const Stream& s, double pressure, double temperature) {
    list.push_back(in.at(name, s, pressure, temperature));
  };
  if (chain.supercharged()) {
    add("compressor_inlet", in.to_cooler, r.compressor_inlet_pressure,
        r.compressor_inlet_temperature);
    add("compressor_outlet", in.to_cooler, r.compressor_outlet_pressure,
        r.compressor_outlet_temperature);
    add("cooler_inlet", in.to_cooler, r.cooler_inlet_pressure, r.cooler_inlet_temperature);
    add("cooler_outlet", in.after_cooler, r.cooler_outlet_pressure, r.cooler_outlet_temperature);
  }
  add("throttle_inlet", in.after_cooler, r.throttle_inlet_pressure, r.throttle_inlet_temperature);
  add("plenum", in.plenum(), r.plenum_pressure, r.plenum_temperature);
  add("charge", in.charge, r.charge_pressure, r.charge_temperature);
  list.push_back(exhaust_of(r, list.back().mass_flow));
  if (r.status > 0.0)
    for (auto& state : list) forget_numbers(state);
  return list;
}

}  // namespace airchain::chain
