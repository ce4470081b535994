#pragma once

#include <functional>
#include <vector>

#include "airchain/cycle/setup.hpp"

namespace airchain::cycle {

/// One row of a converged cycle over crank angle; units and meaning in `kTraceNumbers`.
struct TraceRow {
  double angle;
  double pressure;
  double temperature;
  double unburned_temperature;
  double volume;
  double burned;
  double intake_pressure;
  double exhaust_pressure;
  double intake_flow;
  double exhaust_flow;
  double intake_area, exhaust_area;
};

struct TraceNumber {
  const char* name;
  double TraceRow::*member;
  const char *unit, *words;
};
inline constexpr TraceNumber kTraceNumbers[] = {
    {"angle", &TraceRow::angle, "rad", "crank angle after firing top centre"},
    {"pressure", &TraceRow::pressure, "Pa", "in the cylinder"},
    {"temperature", &TraceRow::temperature, "K", "in the cylinder, mean of its gas"},
    {"unburned_temperature", &TraceRow::unburned_temperature, "K",
     "of the unburned gas; held once it has burned"},
    {"volume", &TraceRow::volume, "m^3", "of the cylinder"},
    {"burned", &TraceRow::burned, "1", "share of the trapped charge burned since ignition"},
    {"intake_pressure", &TraceRow::intake_pressure, "Pa", "static, in the runner at the valve"},
    {"exhaust_pressure", &TraceRow::exhaust_pressure, "Pa", "static, in the primary at the valve"},
    {"intake_flow", &TraceRow::intake_flow, "kg/s", "into the cylinder"},
    {"exhaust_flow", &TraceRow::exhaust_flow, "kg/s", "out of the cylinder"},
    {"intake_area", &TraceRow::intake_area, "m^2", "effective, of the intake valve"},
    {"exhaust_area", &TraceRow::exhaust_area, "m^2", "effective, of the exhaust valve"},
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
/// `go_on` is asked now and then; false ends the work, with nothing traced.
Traced trace(const Setup& setup, const Point<double>& point, const Controls& controls = {},
             const std::function<bool()>& go_on = {});

/// Cells times steps of a cycle, roughly: the shortest time in which a wave crosses a cell of
/// either pipe sets the step. Waves run at some 450 m/s in a runner and 900 m/s in a primary.
///
///     cells of both max(4 pi/largest_step, t c n/(courant L) of each),   t = 4 pi/omega
///
/// n and L its cells and length, c = 450 or 900 m/s.
double cell_steps(const Setup& setup, const Point<double>& point, const Controls& controls);

/// Checks everything a batch will run; also refuses a point whose cycle would take more than
/// `kMostCellSteps`.
inline constexpr double kMostCellSteps = 1e9;
void validate(const Setup& setup, const std::vector<Point<double>>& points,
              const Controls& controls);

}  // namespace airchain::cycle
