#include "airchain/chain/engine_state.hpp"

#include <cmath>

#include "airchain/chain/solve.hpp"

#if defined(__GNUC__) && !defined(__clang__)
// GCC takes what an empty optional holds for something that may be read (its bug 80635).
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif

namespace airchain::chain {

namespace {

/// The engine at that plenum as a point of a chain that only breathes, looked at like any other.
Result<double> looked_at(Chain<double> c, const Setup<double>& setup, Match<double>& m) {
  c.compressor.map = nullptr;
  m.path.flow = m.air_flow;
  m.path.lowest_duct_ratio = 1.0;
  Result<double> r{};
  tell_stations(c, setup, m.path, r);
  tell_no_compressor(setup, m, r);
  tell_engine(c, setup, m.demand, m, r);
  close(c, setup, m, r);
  return r;
}

void forget_numbers(EngineState& state) {
  const double status = state.status, flags = state.flags;
  std::apply([&](const auto&... column) { ((state.*(column.member) = std::nan("")), ...); },
             EngineState::columns());
  state.status = status;
  state.flags = flags;
}

}  // namespace

EngineState engine_state(const Chain<double>& chain, double engine_speed, double plenum_pressure,
                         double plenum_temperature) {
  base::require("Engine", "plenum_pressure", plenum_pressure, "Pa", base::between(1e3, 1e6));
  base::require("Engine", "plenum_temperature", plenum_temperature, "K",
                base::between(230.0, 500.0));
  const auto& b = chain.breathing;
  base::require_that(
      b.table || b.surface || b.held,
      {.where = "Chain",
       .field = "breathing",
       .rule = "be a Breathing with its table of volumetric efficiency or its surface",
       .statement = "breathing has no table"});
  Chain<double> c = chain;
  c.operation.engine_speed = engine_speed;
  base::require_fields(c.operation);
  Setup<double> setup(c);
  setup.set_speed(c);
  Match<double> m{};
  Path<double>& p = m.path;
  p.plenum_pressure = plenum_pressure;
  p.cooler_outlet_temperature = plenum_temperature;
  if (c.injection.place == fuel::InjectionPlace::port) {
    add_fuel<false>(setup, setup.gas, plenum_temperature, p);
  } else {
    // The plenum is told with its fuel in it, evaporated as far as it does.
    p.charge_temperature = plenum_temperature;
    p.charge_gas_constant = setup.charge.gas_constant;
  }
  cylinder::Breathing<double>::Line breathing(c.breathing, engine_speed);
  // Full cylinders of dry air; only where the search below starts.
  constexpr double kDryAir = 287.0;  // gas constant, rounded [J/(kg K)]
  double flow = setup.displaced_rate * plenum_pressure / (kDryAir * plenum_temperature);
  Demand<double>& d = m.demand;
  double change = 1.0;
  // The exhaust's pressure moves the filling a little: each turn contracts by a factor of 20.
  for (int i = 0; i < 60 && change > 1e-14; ++i) {
    d = demand_of(c, setup, breathing, p, flow);
    const double taken = swallowed(setup, p, d);
    change = std::abs(taken - flow) / flow;
    flow = taken;
  }
  m.status = change <= kFlowTolerance ? 0.0 : double(base::Status::not_converged);
  m.air_flow = flow;
  const auto r = looked_at(c, setup, m);
  const bool known =
      c.breathing.inside(engine_speed, d.pressure_ratio, p.charge_temperature, d.exhaust_pressure);
  EngineState state{
      m.status,
      r.flags + (known ? 0.0 : double(base::Flag::outside_breathing_table)),
      flow,
      flow * setup.fuel_air_ratio,
      d.volumetric_efficiency,
      p.charge_temperature,
      p.charge_gas_constant,
      d.exhaust_pressure,
      d.pressure_ratio,
  };
  if (m.status > 0.0) {
    state.flags = m.flags;
    forget_numbers(state);
  }
  return state;
}

}  // namespace airchain::chain
