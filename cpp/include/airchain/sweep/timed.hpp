#pragma once

#include <vector>

#include "airchain/chain/timed.hpp"
#include "airchain/sweep/sweep.hpp"

namespace airchain::sweep {

/// A pull against time of any chain, `chain::timed_pull` where it breathes by a table or surface.
///
/// Where the cylinder's cycle is run at every point, what it breathes at each instant depends on
/// the tank's water, and the water on the heat of all instants before. So all instants are solved
/// by `run_direct` at the water that is known so far, the fold over time is made with their
/// filling, and both are repeated until the water of no instant moves by more than 1e-3 K:
///
///     f = cycles(T_water),   T_water = fold(f)
///
/// One pass is enough without a tank. An empty list means that `progress` stopped the work.
std::vector<chain::Instant> run_timed(const chain::Chain<double>& chain,
                                      const cooler::IceTank* tank,
                                      const std::vector<double>& engine_speed, double acceleration,
                                      int threads = 0, const Progress& progress = {});

}  // namespace airchain::sweep
