#pragma once

#include <vector>

#include "airchain/chain/solve.hpp"
#include "airchain/cycle/setup.hpp"
#include "airchain/sweep/sweep.hpp"

namespace airchain::sweep {

/// Step and stop of a direct point. It stops closer than a cycle at a given state: what its last
/// change would move the state by comes on top.
inline cycle::Controls direct_controls() {
  cycle::Controls controls;
  controls.tolerance = 1e-4;
  return controls;
}

/// Solves chains whose breathing is made by cycles, each at its operation, without any surface.
///
/// Every chain is matched on a guess of its filling and its cylinder's cycle runs at the matched
/// state. After each cycle the chain is matched again with what that cycle says of volumetric
/// efficiency, trapping and pumping, and the next one runs on at the new state, until cycle and
/// state stand still:
///
///     s = match(f),   f = cycle(s)
///
/// Gas that comes back from the collector is as hot as what leaves there, where the cylinder's
/// setup has it so. A point starts from gas at rest in a lane of its own, so its result is bitwise
/// the same alone, in a batch and for any number of threads. All chains share one cylinder,
/// `chains[0].cylinder`. Left out: charge of another mixture or humidity than that cylinder's.
///
/// A point whose cycles do not settle is flagged; one whose cycle has no answer is not converged.
/// Returns false when `progress`, called with the number of points done, stopped it. Throws
/// InputError for a chain that is refused, before any work.
bool run_direct(const std::vector<chain::Chain<double>>& chains, chain::Result<double>* out,
                int threads, const Progress& progress = {},
                const cycle::Controls& controls = direct_controls());

/// The chain at its operation with the filling that a solved point was matched with, for what asks
/// a chain about one point: its stations, its instants.
chain::Chain<double> held_at(const chain::Chain<double>& chain,
                             const chain::Result<double>& solved);

}  // namespace airchain::sweep
