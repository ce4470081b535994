#pragma once

#include <vector>

#include "airchain/chain/solve.hpp"
#include "airchain/sweep/sweep.hpp"

namespace airchain::sweep {

/// Solves chains whose breathing is made by cycles, each at its operation, without any surface.
///
/// Every chain is matched on a guess of its filling, its cylinder's cycle run at the matched state,
/// and the chain matched again with what the cycle says of volumetric efficiency, trapping and
/// pumping, until the state at the cylinder stands still:
///
///     s = match(f),   f = cycle(s)
///
/// Gas that comes back from the collector is as hot as what the cycle before sent there. A point
/// starts from gas at rest in a lane of its own, so its result is bitwise the same alone, in a
/// batch and for any number of threads. All chains share one cylinder, `chains[0].cylinder`. Left
/// out: charge of another mixture or humidity than that cylinder's.
///
/// A point whose cycles do not settle is flagged; one whose cycle has no answer is not converged.
/// Returns false when `progress`, called with the number of points done, stopped it. Throws
/// InputError for a chain that is refused, before any work.
bool run_direct(const std::vector<chain::Chain<double>>& chains, chain::Result<double>* out,
                int threads, const Progress& progress = {});

/// The chain at its operation with the filling that a solved point was matched with, for what asks
/// a chain about one point: its stations, its instants.
chain::Chain<double> held_at(const chain::Chain<double>& chain,
                             const chain::Result<double>& solved);

}  // namespace airchain::sweep
