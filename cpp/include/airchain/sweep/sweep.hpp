#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "airchain/chain/chain.hpp"
#include "airchain/chain/result.hpp"

namespace airchain::sweep {

/// One axis of a grid of chains: "engine_speed" or "<station>.<field>", with its values in SI.
struct Axis {
  std::string name;
  std::vector<double> values;
};

/// What may be swept: every field of every station, as "<station>.<field>".
std::vector<std::string> axis_names();

struct ColumnInfo {
  std::string name;
  std::string unit;
  std::string words;
};
/// The columns of a result, in the order that `run` counts them.
const std::vector<ColumnInfo>& columns();

/// Called between tiles with the number of points done; false stops the run.
using Progress = std::function<bool(std::size_t)>;

/// How many threads are meant by a number: 0 is one for each processor. Throws InputError unless it
/// lies between 0 and 1024.
int threads_of(int threads);

/// Solves a chain at every point of the grid of axes; the last axis varies fastest.
///
/// `out[i]` receives column `wanted[i]`, one number a point. Every point is solved from a cold
/// start in a lane of its own, so results are bitwise the same for any number of threads and as
/// for a single point. `threads` 0 takes all processors. Throws InputError for a wrong axis before
/// any work; a point without an answer has its status. Returns false when progress stopped it.
bool run(const chain::Chain<double>& chain, const std::vector<Axis>& axes,
         const std::vector<int>& wanted, double* const* out, int threads,
         const Progress& progress = {});

/// Instruction set that `run` uses here: "avx512", "avx2" or "baseline".
std::string instruction_set();
/// Whether both the processor and this build have the kernels of a set.
bool has_avx2();
bool has_avx512();

/// One operating point.
chain::Result<double> solve(const chain::Chain<double>& chain);

}  // namespace airchain::sweep
