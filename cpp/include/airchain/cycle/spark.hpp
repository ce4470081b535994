#pragma once

#include <array>
#include <optional>
#include <vector>

#include "airchain/cycle/course.hpp"

namespace airchain::cycle {

/// What is sought over the phasing of a point, and where.
///
/// Half burned at greatest work comes out at 4 to 8 degrees after top centre from 6,000 down to
/// 1,500 rpm, where engines on a dyno show 8 to 10 (common practice, no source). So that nobody
/// takes the early side for a spark to run, best torque is sought from `earliest_best` on only.
/// Heat to the walls decides it: at 2,500 rpm 0.3, 3.3, 5.7, 7.7 and 9.3 degrees at 0, 0.5, 1, 1.5
/// and 2 times Woschni's coefficient, 0 to 24 % of the heat released, against 0.5 degrees for every
/// 15 degrees of burn duration and less than 1 for the burn's shape. A one-zone cylinder of other
/// make (Cantera, GRI-Mech 3.0, propane, the same heat law) finds 5.2, and 5.3 with dissociation,
/// which therefore is not the cause. What is left out and costs most where pressure is highest
/// holds the early side too good: blow-by, crevices, burned gas hotter than the mean at the walls.
/// Published heat to coolant, 17 to 26 % of the fuel at full load [Heywood 1988, table 12.1, from
/// memory], holds the exhaust port and friction too and does not tell which, so nothing is tuned:
/// measured phasing sets `HeatLoss::multiplier`.
struct SparkSearch {
  static constexpr const char* kName = "SparkSearch";
  double knock_level = 1.0;
  double earliest = -10.0 * base::kPi / 180.0;
  double latest = 45.0 * base::kPi / 180.0;
  double earliest_best = cylinder::kBestPhasing;
  double step = 6.0 * base::kPi / 180.0;
  double tolerance = 0.1 * base::kPi / 180.0;
  double spark_delay = 0.0;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("knock_level", &SparkSearch::knock_level, "1", between(0.01, 10.0),
              "knock integral that counts as the limit; 1 is its onset in the mean cycle"),
        field("earliest", &SparkSearch::earliest, "rad", between(-0.3, 0.3),
              "earliest crank angle after top centre of half burned that is tried"),
        field("latest", &SparkSearch::latest, "rad", between(0.31, 1.0), "the latest"),
        field("earliest_best", &SparkSearch::earliest_best, "rad", between(-0.3, 0.3),
              "earliest half burned that counts as best torque, unless the point's own is earlier; "
              "common practice 8 to 10 degrees"),
        field("step", &SparkSearch::step, "rad", between(0.02, 0.3),
              "between the first trials about the point's own phasing"),
        field("tolerance", &SparkSearch::tolerance, "rad", between(1e-5, 0.01),
              "to which a phasing is found"),
        field("spark_delay", &SparkSearch::spark_delay, "s", between(0.0, 3e-3),
              "from the spark to the start of the burn law; Wiebe's slow first part already holds "
              "most of a flame's growth")};
  }
};
/// Also refuses a setup that is phased by the spark: the search moves the phasing itself.
void validate(const SparkSearch& search, const Setup& setup);

enum class SparkStatus : std::uint8_t {
  found = 0,
  at_the_earliest,  ///< work still rises towards the earliest phasing that counts as best
  at_the_latest,    ///< work still rises towards the latest
  never_knocks,     ///< below the level even at the earliest phasing
  always_knocks,    ///< above it even at the latest
  not_converged,    ///< a trial did not settle, or the trials ran out
};
inline constexpr std::array kSparkStatusNames{"found",        "at_the_earliest", "at_the_latest",
                                              "never_knocks", "always_knocks",   "not_converged"};

/// One point at its own phasing, at that of greatest work, and at the limit of knock.
///
/// Phasing is the crank angle of half burned. A spark is the start of the burn law less the
/// search's delay; both are after top centre, so a usual spark is negative. Numbers that were not
/// found are NaN, the status says why. `usable` is the best that does not knock: greatest work, or
/// the limit where that comes later. The limit is worth 5 degrees either way
/// (`cylinder::kKnockDoubt`).
struct SparkResult {
  CycleResult own, best, limit;
  double own_half_burned, best_half_burned, limit_half_burned, usable_half_burned;
  double own_spark, best_spark, limit_spark, usable_spark;
  double usable_imep, torque_left, best_margin, own_margin;
  double trials = 0.0;
  SparkStatus best_status = SparkStatus::not_converged;
  SparkStatus limit_status = SparkStatus::not_converged;
};

struct SparkNumber {
  const char* name;
  double SparkResult::*member;
  const char *unit, *words;
};
/// The numbers of a search beside its three cycles.
inline constexpr SparkNumber kSparkNumbers[] = {
    {"own_half_burned", &SparkResult::own_half_burned, "rad", "the point's own phasing"},
    {"best_half_burned", &SparkResult::best_half_burned, "rad", "phasing of greatest work"},
    {"limit_half_burned", &SparkResult::limit_half_burned, "rad", "phasing at the knock level"},
    {"usable_half_burned", &SparkResult::usable_half_burned, "rad",
     "phasing of greatest work that stays within the knock level"},
    {"own_spark", &SparkResult::own_spark, "rad", "spark of the point's own phasing"},
    {"best_spark", &SparkResult::best_spark, "rad", "spark of greatest work"},
    {"limit_spark", &SparkResult::limit_spark, "rad", "spark at the knock level"},
    {"usable_spark", &SparkResult::usable_spark, "rad", "spark of the usable phasing"},
    {"usable_imep", &SparkResult::usable_imep, "Pa",
     "indicated mean effective pressure at the usable phasing"},
    {"torque_left", &SparkResult::torque_left, "1",
     "greatest indicated work over that at the point's own phasing, less 1"},
    {"best_margin", &SparkResult::best_margin, "rad",
     "phasing of greatest work less that at the knock level; negative where knock forbids it"},
    {"own_margin", &SparkResult::own_margin, "rad",
     "own phasing less that at the knock level; negative where the point knocks"},
    {"trials", &SparkResult::trials, "1", "cycles solved to convergence"}};

/// Tries phasings of one point, each from the converged state of the one before: first about the
/// greatest work, by parabolas through a bracket, then about the knock level, by secants of the
/// integral's logarithm in a bracket.
class SparkCourse final : public Course {
 public:
  SparkCourse(const Setup& setup, const Point<double>& point, const SparkSearch& search,
              SparkResult& out);

  Point<double> point() const override;
  bool take(const CycleResult& result) override;

 private:
  struct Trial {
    double phasing;
    CycleResult result;
  };
  /// A phasing to try next, or how the search ended and with which trial.
  struct Step {
    std::optional<double> next;
    SparkStatus status = SparkStatus::not_converged;
    const Trial* at = nullptr;
  };

  /// Next trial at the top of a parabola through the best and its neighbours a before, b after it:
  ///
  ///     x = x_best + (b s_a - a s_b)/(2 (s_a + s_b)),   s = fall of imep per angle to either side
  Step towards_best() const;
  /// By secants between the last trial a that knocks and the next b:
  ///
  ///     x = x_a + (x_b - x_a) e_a/(e_a - e_b),   e = excess
  Step towards_limit() const;
  Step before_the_first() const;
  Step after_the_last() const;
  /// e = ln(knock_integral/knock_level).
  double excess(const Trial& trial) const;
  /// spark = half_burned - y(1/2) duration - spark_delay omega [rad].
  double spark_at(double phasing, const CycleResult& result) const;
  void tell_best(const Step& step);
  void tell_limit(const Step& step);
  void tell_usable();
  bool finish();

  const Setup* setup_;
  Point<double> point_;
  SparkSearch search_;
  SparkResult* out_;
  double own_, first_, last_;  // own phasing, range tried
  double first_best_;          // earliest phasing that counts as best
  std::vector<Trial> trials_;  // by rising phasing
  bool best_told_ = false;
};

/// Searches one point in plain numbers. Throws InputError before any work.
SparkResult find_spark(const Setup& setup, const Point<double>& point,
                       const SparkSearch& search = {}, const Controls& controls = {});

}  // namespace airchain::cycle
