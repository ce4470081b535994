#include "airchain/sweep/timed.hpp"

#include <cmath>
#include <map>

#include "airchain/chain/solve.hpp"
#include "airchain/sweep/direct.hpp"

namespace airchain::sweep {

namespace {

using Chain = chain::Chain<double>;
using Result = chain::Result<double>;

constexpr double kWaterSettled = 1e-3;  // [K]
constexpr int kMostTurns = 10;

/// The instants of a pull and what their cycles breathe, by engine speed.
class DirectPull {
 public:
  /// Puts an instant down; no heat is known of it yet.
  Result noted(const Chain& c) {
    instants_.insert_or_assign(c.operation.engine_speed, Solved{c, {}});
    Result none{};
    none.cooler_heat = std::nan("");
    return none;
  }

  /// Solves all instants by their cycles, at the coolant put down last.
  bool run(int threads, const Progress& progress) {
    std::vector<Chain> chains;
    for (const auto& [speed, solved] : instants_) chains.push_back(solved.chain);
    std::vector<Result> results(chains.size());
    if (!run_direct(chains, results.data(), threads, progress)) return false;
    const Result* result = results.data();
    for (auto& [speed, solved] : instants_) solved.result = *result++;
    return true;
  }

  /// An instant with the filling of its cycle, at another coolant.
  Result solve(const Chain& c) {
    Solved& solved = instants_.at(c.operation.engine_speed);
    const double coolant = c.cooler.coolant_temperature;
    solved.chain.cooler.coolant_temperature = coolant;
    if (solved.result.status != double(base::Status::matched)) return solved.result;
    return chain::solve(held_at(c, solved.result));
  }

  /// Whether the last fold left the coolant of every instant where its cycles were run.
  bool stands(const std::vector<double>& before) const {
    std::size_t i = 0;
    for (const auto& [speed, solved] : instants_)
      if (std::abs(solved.chain.cooler.coolant_temperature - before[i++]) > kWaterSettled)
        return false;
    return true;
  }
  std::vector<double> coolants() const {
    std::vector<double> all;
    for (const auto& [speed, solved] : instants_)
      all.push_back(solved.chain.cooler.coolant_temperature);
    return all;
  }

 private:
  struct Solved {
    Chain chain;
    Result result;
  };
  std::map<double, Solved> instants_;
};

}  // namespace

std::vector<chain::Instant> run_timed(const Chain& chain, const cooler::IceTank* tank,
                                      const std::vector<double>& engine_speed, double acceleration,
                                      int threads, const Progress& progress) {
  if (!chain.cylinder) return chain::timed_pull(chain, tank, engine_speed, acceleration);
  chain::validate(chain, chain::Cycles::are_run);
  DirectPull pull;
  chain::timed_pull(chain, tank, engine_speed, acceleration,
                    [&](const Chain& c) { return pull.noted(c); });
  std::vector<chain::Instant> told;
  for (int turn = 0; turn < kMostTurns; ++turn) {
    const auto before = pull.coolants();
    if (!pull.run(threads, progress)) return {};
    told = chain::timed_pull(chain, tank, engine_speed, acceleration,
                             [&](const Chain& c) { return pull.solve(c); });
    if (pull.stands(before)) break;
  }
  return told;
}

}  // namespace airchain::sweep
