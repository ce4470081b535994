#pragma once

#include <vector>

#include "airchain/engine/engine.hpp"
#include "airchain/sweep/sweep.hpp"

namespace airchain::sweep {

/// Solves operating points of a whole engine, its cylinders in lanes, points over threads.
///
/// A point is bitwise the same alone, in a batch, for any number of threads and by
/// `engine::solve`. `threads` 0 takes all processors. Throws InputError before any work; a point
/// that does not converge says so. Returns false when `progress`, called with the number of points
/// done, stopped it, within a point too. `traces`, where given, takes every point's.
bool run_engines(const engine::Engine& engine, const std::vector<engine::EnginePoint>& points,
                 const cycle::Controls& controls, engine::EngineResult* out, int threads,
                 const Progress& progress = {}, engine::EngineTrace* traces = nullptr);

}  // namespace airchain::sweep
