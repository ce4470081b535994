#pragma once

#include <memory>

#include "airchain/cycle/mixture.hpp"
#include "airchain/cylinder/burn.hpp"
#include "airchain/cylinder/camshaft.hpp"
#include "airchain/cylinder/crank.hpp"
#include "airchain/cylinder/heat_loss.hpp"
#include "airchain/cylinder/port.hpp"
#include "airchain/pipe/shape.hpp"

namespace airchain::cycle {

/// Effective area of a valve over crank angle, 0 at its ends; angle 0 is firing top centre.
struct ValveArea {
  numerics::Curve area{0.0};
  double opening = 0.0, closing = 0.0;
};

/// Area through the event of a lobe whose peak stands at `peak`. Throws InputError where the lift
/// exceeds the last row of the flow bench.
ValveArea valve_area(const cylinder::LiftCurve& lift, double peak, const numerics::Curve& bench);

/// A runner or primary: pipe, wall and cells. With no cells there is no pipe: the valve opens
/// straight to the gas at rest outside, and only the diameter at the valve counts.
struct Runner {
  pipe::Taper taper;  ///< near end: plenum or collector; far end: valve
  double wall_temperature = 330.0;
  int cells = 30;

  pipe::Shape shape() const;
};

/// One cylinder with its own runner and primary; the same for every lane of a batch.
struct Setup {
  cylinder::Crank crank;
  ValveArea intake_valve, exhaust_valve;
  Runner intake, exhaust;
  cylinder::Burn burn;
  cylinder::HeatLoss heat_loss;
  ChargeMixture mixture;
  double octane = 98.0;  ///< research octane number, for the knock integral
  double speed_limit = 1500.0;
};

/// Throws InputError for numbers out of range, valves that are open at ignition, and pipes thinner
/// than the valves they feed.
void validate(const Setup& setup);

/// Operating point of one cylinder.
template <class T>
struct Point {
  static constexpr const char* kName = "CyclePoint";
  T speed{base::kRequired};
  T plenum_pressure{base::kRequired};
  T plenum_temperature{base::kRequired};
  T exhaust_pressure{base::kRequired};
  T half_burned{8.0 * base::kPi / 180.0};
  T collector_temperature{900.0};

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("speed", &Point::speed, "rad/s", between(20.0, 2000.0), "of the crank"),
        field("plenum_pressure", &Point::plenum_pressure, "Pa", between(10e3, 600e3),
              "absolute, at rest at the mouth of the runner"),
        field("plenum_temperature", &Point::plenum_temperature, "K", between(230.0, 450.0),
              "of the charge in the plenum"),
        field("exhaust_pressure", &Point::exhaust_pressure, "Pa", between(30e3, 600e3),
              "absolute, behind the primary"),
        field("half_burned", &Point::half_burned, "rad", between(-0.3, 1.0),
              "crank angle after top centre at which half the charge has burned"),
        field("collector_temperature", &Point::collector_temperature, "K", between(280.0, 1500.0),
              "of burned gas that comes back from behind the primary")};
  }
};

/// How finely, and when to stop.
struct Controls {
  static constexpr const char* kName = "CycleControls";
  double courant = 0.9;
  double largest_step = 1.0 * base::kPi / 180.0;
  double tolerance = 1e-4;
  double most_cycles = 60.0;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("courant", &Controls::courant, "1", between(0.05, 0.98),
              "time step over the time a wave needs to cross a cell"),
        field("largest_step", &Controls::largest_step, "rad", between(1e-4, 0.05),
              "largest crank step"),
        field("tolerance", &Controls::tolerance, "1", between(1e-9, 1e-2),
              "change of trapped charge and of indicated work from cycle to cycle at which a point "
              "counts as converged"),
        field("most_cycles", &Controls::most_cycles, "1", between(2.0, 1000.0),
              "cycles after which a point counts as not converged")};
  }
};

/// One converged cycle of one cylinder; masses and heats per cycle.
struct CycleResult {
  double volumetric_efficiency;  ///< trapped fresh charge over displacement full at plenum state
  double trapped_mass;           ///< [kg]
  double fresh_mass;             ///< trapped [kg]
  double residual_fraction;      ///< burned mass over trapped mass
  double scavenging_loss;        ///< fresh charge lost to the exhaust over fresh charge drawn
  double imep;                   ///< indicated mean effective pressure of the whole cycle [Pa]
  double gross_imep;             ///< of compression and expansion [Pa]
  double pmep;                   ///< lost in the gas exchange [Pa]; negative when boost gains
  double peak_pressure;          ///< of the mean cycle [Pa]
  double peak_angle;             ///< [rad after top centre]
  double exhaust_temperature;    ///< mean over the flow behind the primary [K]
  double heat_loss;              ///< to the cylinder walls [J]
  double fuel_heat;              ///< released [J]
  double knock_integral;
  double burn_duration;  ///< [rad]
  double air_mass;       ///< dry air drawn [kg]
  double fuel_mass;      ///< drawn [kg]
  double mass_error;     ///< unbalanced over trapped mass
  double energy_error;   ///< unbalanced over fuel heat
  double change;         ///< of trapped fresh charge from the cycle before, relative
  double cycles;         ///< run for this point
  bool converged;
};

/// The numbers of a result, in order.
inline constexpr double CycleResult::*kResultNumbers[] = {&CycleResult::volumetric_efficiency,
                                                          &CycleResult::trapped_mass,
                                                          &CycleResult::fresh_mass,
                                                          &CycleResult::residual_fraction,
                                                          &CycleResult::scavenging_loss,
                                                          &CycleResult::imep,
                                                          &CycleResult::gross_imep,
                                                          &CycleResult::pmep,
                                                          &CycleResult::peak_pressure,
                                                          &CycleResult::peak_angle,
                                                          &CycleResult::exhaust_temperature,
                                                          &CycleResult::heat_loss,
                                                          &CycleResult::fuel_heat,
                                                          &CycleResult::knock_integral,
                                                          &CycleResult::burn_duration,
                                                          &CycleResult::air_mass,
                                                          &CycleResult::fuel_mass,
                                                          &CycleResult::mass_error,
                                                          &CycleResult::energy_error,
                                                          &CycleResult::change,
                                                          &CycleResult::cycles};

}  // namespace airchain::cycle
