#pragma once

#include <string>
#include <vector>

#include "airchain/fuel/injector.hpp"
#include "airchain/fuel/line.hpp"
#include "airchain/fuel/pump.hpp"
#include "airchain/numerics/root.hpp"

namespace airchain::fuel {

using numerics::where;

/// What the regulator's spring chamber feels.
enum class RegulatorReference { plenum, ambient };
/// Where it spills: behind the rail all the pump delivers passes the supply line, at the tank only
/// what is injected.
enum class RegulatorPlace { rail, tank };

/// Tank to cylinder: pumps, lines, regulator and injectors, all of the same fuel.
///
/// The regulator holds the rail at `rail_pressure` above its reference as long as the pumps deliver
/// more than is injected and the return line loses less than that pressure. Left out: its own slope
/// with flow, the rail's volume and waves, differences between injectors, injection into the
/// cylinder.
template <class T>
struct Supply {
  static constexpr const char* kName = "Supply";
  T rail_pressure{base::kRequired};
  T injectors{base::kRequired};
  T pulses{1.0};
  T duty_limit{0.85};
  T pump_margin{0.15};
  T density{base::kRequired};
  T viscosity{base::kRequired};
  Injector<T> injector;
  Pump<T> pump;
  Line<T> supply_line;
  Line<T> return_line;
  RegulatorReference reference = RegulatorReference::plenum;
  RegulatorPlace place = RegulatorPlace::rail;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("rail_pressure", &Supply::rail_pressure, "Pa", between(5e4, 5e7),
              "held above the regulator's reference"),
        field("injectors", &Supply::injectors, "1", between(1.0, 64.0), "that share the fuel"),
        field("pulses", &Supply::pulses, "1", between(1.0, 4.0),
              "of each injector in a cycle; 2 when all fire together every turn"),
        field("duty_limit", &Supply::duty_limit, "1", between(0.1, 1.0),
              "open share of the cycle not to be passed; common practice 0.80 to 0.85"),
        field("pump_margin", &Supply::pump_margin, "1", between(0.0, 5.0),
              "flow wanted over what is injected, less 1; common practice 0.1 to 0.2"),
        field("density", &Supply::density, "kg/m^3", between(600.0, 900.0), "of the fuel"),
        field("viscosity", &Supply::viscosity, "Pa s", between(1e-4, 1e-2),
              "dynamic, of the fuel")};
  }
};

/// Where the fuel is asked for.
template <class T>
struct FuelNeed {
  T engine_speed;      ///< [rad/s]
  T fuel_flow;         ///< of all injectors [kg/s]
  T pressure;          ///< absolute, that the injectors spray into [Pa]
  T reference;         ///< absolute, that the regulator feels [Pa]
  T ambient_pressure;  ///< [Pa]
};

template <class T>
struct SupplyPoint {
  T rail_pressure, pressure_difference, injector_flow, dead_time, open_time, duty;
  T rated_flow_needed;
  T pump_pressure, pump_flow, pump_demand, pump_margin, pump_pressure_needed, pump_flow_needed;
  T supply_velocity, supply_reynolds, supply_drop, return_velocity, return_drop;
  T driven, pump_known, dead_time_known;

  static constexpr auto columns() {
    using P = SupplyPoint;
    const auto column = [](const char* name, T P::*member, const char* unit, const char* words) {
      return base::field(name, member, unit, base::Range{}, words);
    };
    return std::tuple{
        column("rail_pressure", &P::rail_pressure, "Pa", "in the rail, absolute"),
        column("pressure_difference", &P::pressure_difference, "Pa", "across the injectors"),
        column("injector_flow", &P::injector_flow, "kg/s", "of one injector held open"),
        column("dead_time", &P::dead_time, "s", "of a pulse"),
        column("open_time", &P::open_time, "s", "of a pulse, dead time with it"),
        column("duty", &P::duty, "1", "open share of the cycle, dead time with it"),
        column("rated_flow_needed", &P::rated_flow_needed, "kg/s",
               "of one injector at its rating, to stay at the duty limit; NaN when dead time alone "
               "passes it"),
        column("pump_pressure", &P::pump_pressure, "Pa",
               "over ambient, where the pumps meet rail "
               "and lines; NaN when they do not reach the rail's pressure"),
        column("pump_flow", &P::pump_flow, "m^3/s", "that reaches the rail at its pressure"),
        column("pump_demand", &P::pump_demand, "m^3/s", "that is injected"),
        column("pump_margin", &P::pump_margin, "1", "pump flow over demand, less 1"),
        column("pump_pressure_needed", &P::pump_pressure_needed, "Pa",
               "over ambient, of pumps that deliver the demand and the margin wanted"),
        column("pump_flow_needed", &P::pump_flow_needed, "m^3/s",
               "of all pumps: the demand and the margin wanted"),
        column("supply_velocity", &P::supply_velocity, "m/s", "in the supply line"),
        column("supply_reynolds", &P::supply_reynolds, "1", "in the supply line"),
        column("supply_drop", &P::supply_drop, "Pa", "lost in the supply line and its fittings"),
        column("return_velocity", &P::return_velocity, "m/s", "in the return line"),
        column("return_drop", &P::return_drop, "Pa", "lost in the return line and its fittings"),
        column("driven", &P::driven, "1", "1 where the rail stands above what is sprayed into"),
        column("pump_known", &P::pump_known, "1", "1 inside the pump's curves"),
        column("dead_time_known", &P::dead_time_known, "1", "1 inside the table of dead times")};
  }
};

/// Pump pressure over ambient and flow where pumps, supply line and a rail at `rail` above ambient
/// agree. The root is the loss x of the line [Pa], all the pumps deliver going through it:
///
///     x = dp_line(Q(p)),   p = rail + x
template <class T>
AIRCHAIN_INLINE numerics::Root<T> pump_point(const Supply<T>& s, T rail) {
  const auto excess = [&](T drop) {
    const T lost = s.supply_line.pressure_drop(s.pump.flow_at(rail + drop), s.density, s.viscosity);
    return (drop - lost) / (rail + drop);
  };
  const T most = T(s.pump.curves->v().back()) - rail;
  return numerics::bracketed_root<T>(excess, T(0.0), numerics::max(most, T(1.0)),
                                     numerics::max(T(0.05) * most, T(0.5)), T(1.0) / rail, 1e-12,
                                     1e-14);
}

/// What pumps and lines do at one point, with Q of the pumps and Q_fuel = W_fuel/rho injected:
///
///     pump margin = Q/Q_fuel - 1,   flow needed = Q_fuel (1 + pump_margin)
///     pressure needed = rail + dp_line(flow needed),   Q_return = Q - Q_fuel
template <class T>
void tell_pump(const Supply<T>& s, const FuelNeed<T>& need, SupplyPoint<T>& p) {
  const T rail = p.rail_pressure - need.ambient_pressure;
  const auto root = pump_point(s, rail);
  const T missing(__builtin_nan(""));
  const auto reached = root.above + T(1.0) - root.converged < T(0.5);
  p.pump_demand = need.fuel_flow / s.density;
  p.pump_pressure = where(reached, rail + root.x, missing);
  p.pump_flow = where(reached, s.pump.flow_at(rail + root.x), missing);
  p.pump_margin = p.pump_flow / p.pump_demand - T(1.0);
  p.pump_known = where(s.pump.known_at(p.pump_pressure), T(1.0), T(0.0));
  p.pump_flow_needed = p.pump_demand * (T(1.0) + s.pump_margin);
  const bool at_rail = s.place == RegulatorPlace::rail;
  const T through = at_rail ? p.pump_flow : p.pump_demand;
  p.supply_velocity = s.supply_line.velocity(through);
  p.supply_reynolds = s.supply_line.reynolds(through, s.density, s.viscosity);
  p.supply_drop = s.supply_line.pressure_drop(through, s.density, s.viscosity);
  p.pump_pressure_needed =
      rail + s.supply_line.pressure_drop(p.pump_flow_needed, s.density, s.viscosity);
  const T back = at_rail ? numerics::max(p.pump_flow - p.pump_demand, T(0.0)) : T(0.0);
  p.return_velocity = s.return_line.velocity(back);
  p.return_drop = s.return_line.pressure_drop(back, s.density, s.viscosity);
}

/// The supply at one point. Rail pressure is what the regulator holds; where the pumps fall short
/// of the demand it falls below that, which their margin tells.
///
///     t_pulse = 4 pi/(omega pulses),   m = W_fuel t_pulse/injectors,   dp = p_rail - p
///     duty = (m/W(dp) + t_dead)/t_pulse
///     rated flow needed = W_rated m/((duty_limit t_pulse - t_dead) W(dp))
template <class T>
SupplyPoint<T> at(const Supply<T>& s, const FuelNeed<T>& need) {
  SupplyPoint<T> p;
  const T missing(__builtin_nan(""));
  p.rail_pressure = need.reference + s.rail_pressure;
  p.pressure_difference = p.rail_pressure - need.pressure;
  const auto driven = p.pressure_difference > T(0.0);
  p.driven = where(driven, T(1.0), T(0.0));
  const T difference = where(driven, p.pressure_difference, missing);
  p.injector_flow = s.injector.flow_at(difference, s.density);
  p.dead_time = s.injector.dead_time_at(s.pump.voltage, difference);
  const T per_pulse = cycle_time(need.engine_speed) / s.pulses;
  const T mass = need.fuel_flow * per_pulse / s.injectors;
  p.open_time = s.injector.open_time(mass, difference, s.density, s.pump.voltage);
  p.duty = p.open_time / per_pulse;
  const T spray = s.duty_limit * per_pulse - p.dead_time;
  const T needed = mass / spray / p.injector_flow * s.injector.rated_flow;
  p.rated_flow_needed = where(spray > T(0.0), needed, missing);
  const auto& table = *s.injector.dead_time;
  const auto known = table.inside_u(s.pump.voltage) & table.inside_v(difference);
  p.dead_time_known = where(known, T(1.0), T(0.0));
  tell_pump(s, need, p);
  return p;
}

/// Every point of a list. Refuses flows, speeds and pressures that are negative or not finite;
/// a point whose flow is NaN is told as NaN.
std::vector<SupplyPoint<double>> points(const Supply<double>& supply,
                                        const std::vector<FuelNeed<double>>& needs);

/// Refuses a supply whose parts do.
void validate(const Supply<double>& supply);

/// Dynamic viscosity [Pa s] of a generic fuel at 25 degC. Throws InputError for unknown names.
double generic_viscosity(const std::string& fuel);

}  // namespace airchain::fuel
