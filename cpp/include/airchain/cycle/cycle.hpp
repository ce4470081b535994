#pragma once

#include <vector>

#include "airchain/cycle/setup.hpp"

namespace airchain::cycle {

/// One row of a converged cycle over crank angle.
struct TraceRow {
  double angle;                      ///< [rad], 0 at firing top centre
  double pressure;                   ///< in the cylinder [Pa]
  double temperature;                ///< in the cylinder [K]
  double unburned_temperature;       ///< of the unburned gas [K]
  double volume;                     ///< [m^3]
  double burned;                     ///< share of the charge burned since ignition
  double intake_pressure;            ///< in the runner at the valve [Pa]
  double exhaust_pressure;           ///< in the primary at the valve [Pa]
  double intake_flow;                ///< into the cylinder [kg/s]
  double exhaust_flow;               ///< out of the cylinder [kg/s]
  double intake_area, exhaust_area;  ///< effective [m^2]
};

/// Solves points one after the other, each from the one before. Throws InputError for a bad setup
/// or point before any work; a point that does not converge says so.
std::vector<CycleResult> solve_line(const Setup& setup, const std::vector<Point<double>>& points,
                                    const Controls& controls = {});

/// The result of one point and its last cycle, step by step.
struct Traced {
  CycleResult result;
  std::vector<TraceRow> rows;
};
Traced trace(const Setup& setup, const Point<double>& point, const Controls& controls = {});

/// Checks everything a batch will run.
void validate(const Setup& setup, const std::vector<Point<double>>& points,
              const Controls& controls);

}  // namespace airchain::cycle
