#pragma once

#include <vector>

#include "airchain/cycle/cycle.hpp"
#include "airchain/cycle/spark.hpp"
#include "airchain/cylinder/breathing.hpp"
#include "airchain/sweep/sweep.hpp"

namespace airchain::sweep {

/// Solves operating points of one cylinder, four to a processor at a time.
///
/// Every point starts from gas at rest in a lane of its own, so its result is bitwise the same
/// alone, in a batch and for any number of threads. `threads` 0 takes all processors. Throws
/// InputError before any work; a point that does not converge says so. Returns false when
/// `progress`, called with the number of points done some 20 times a second, stopped it, within a
/// point too.
///
/// With a `line` above 1, points stand in lines of so many, each point warm from the one before:
/// faster where neighbours are alike, and the same for any number of threads still.
bool run_cycles(const cycle::Setup& setup, const std::vector<cycle::Point<double>>& points,
                const cycle::Controls& controls, cycle::CycleResult* out, int threads,
                const Progress& progress = {}, std::size_t line = 1);

/// Finds best-torque and knock-limited phasing of every point, as `run_cycles` solves them.
bool run_spark_searches(const cycle::Setup& setup, const std::vector<cycle::Point<double>>& points,
                        const cycle::SparkSearch& search, const cycle::Controls& controls,
                        cycle::SparkResult* out, int threads, const Progress& progress = {});

}  // namespace airchain::sweep
