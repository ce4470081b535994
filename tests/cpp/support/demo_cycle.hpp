#pragma once

#include "airchain/cycle/cycle.hpp"
#include "airchain/cycle/setup.hpp"

namespace airchain::test {

inline cylinder::Lobe demo_lobe(double duration, double seat, double lift) {
  cylinder::Lobe l;
  l.duration = duration * base::kDegree;
  l.seat_duration = seat * base::kDegree;
  l.lobe_lift = lift;
  l.rocker_ratio = 1.6;
  return l;
}

inline numerics::Curve demo_bench(double diameter, double share) {
  // Effective area as an invented share of the valve's, rising with lift.
  cylinder::FlowBench b;
  b.depression = 6974.0;
  b.convention = cylinder::BenchConvention::compressible;
  const double seat = 0.25 * base::kPi * diameter * diameter;
  const double per_flow = cylinder::area_per_flow(b);
  for (const auto& [ratio, coefficient] : {std::pair{0.05, 0.13},
                                           {0.10, 0.27},
                                           {0.15, 0.40},
                                           {0.20, 0.50},
                                           {0.25, 0.57},
                                           {0.30, 0.61},
                                           {0.36, 0.64}}) {
    b.lift.push_back(ratio * diameter);
    b.flow.push_back(share * coefficient * seat / per_flow);
  }
  return cylinder::effective_area(b, diameter, 1);
}

/// What the demonstration engine is made of; every number is invented.
struct DemoEngine {
  double intake_duration = 236, intake_seat = 288, exhaust_duration = 244, exhaust_seat = 296;
  double separation = 112, centreline = 108;
  double intake_valve = 0.0525, exhaust_valve = 0.0410;
  double runner = 0.32, primary = 0.80;
  int intake_cells = 30, exhaust_cells = 30;
};

inline cycle::Setup demo_cycle(const DemoEngine& e = {}) {
  using base::kDegree;
  cycle::Setup s;
  s.crank = {0.1048, 0.1016, 0.1570, 9.5};
  const cylinder::LiftCurve intake(demo_lobe(e.intake_duration, e.intake_seat, 0.0092));
  const cylinder::LiftCurve exhaust(demo_lobe(e.exhaust_duration, e.exhaust_seat, 0.0090));
  const double exhaust_peak = 2 * e.separation - e.centreline;
  s.intake_valve =
      cycle::valve_area(intake, (360 + e.centreline) * kDegree, demo_bench(e.intake_valve, 1.0));
  s.exhaust_valve =
      cycle::valve_area(exhaust, (360 - exhaust_peak) * kDegree, demo_bench(e.exhaust_valve, 1.0));
  s.intake.taper = {e.runner, 0.052, 0.046, 0.006};
  s.intake.wall_temperature = 330.0;
  s.intake.cells = e.intake_cells;
  s.exhaust.taper = {e.primary, 0.044, 0.044, 0.006};
  s.exhaust.wall_temperature = 800.0;
  s.exhaust.cells = e.exhaust_cells;
  s.mixture =
      cycle::charge_mixture({fuel::generic_fuel("gasoline_premium").fuel, 0.90, 0.4, 0.008});
  s.octane = 98.0;
  return s;
}

inline cycle::Point<double> demo_point(double rpm, double plenum = 100e3, double exhaust = 103e3) {
  cycle::Point<double> p;
  p.speed = rpm * base::kPi / 30.0;
  p.plenum_pressure = plenum;
  p.plenum_temperature = 305.0;
  p.exhaust_pressure = exhaust;
  return p;
}

}  // namespace airchain::test
