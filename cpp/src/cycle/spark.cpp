#include "airchain/cycle/spark.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "airchain/base/guards.hpp"

namespace airchain::cycle {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
constexpr std::size_t kMostTrials = 30;
using base::kDegree;
// How far a search walks at once beyond what it has tried, and past the place it expects.
constexpr double kShortest = 1.0 * kDegree, kFarthest = 15.0 * kDegree, kBeyond = 0.5 * kDegree;

CycleResult nothing() {
  CycleResult r{};
  for (const auto& number : kResultNumbers) r.*number.member = kNone;
  return r;
}

}  // namespace

void validate(const SparkSearch& search, const Setup& setup) {
  base::require_fields(search);
  base::require_that(setup.phasing == Phasing::half_burned, SparkSearch::kName,
                     "the setup is phased by the spark", "phased by half_burned");
}

SparkCourse::SparkCourse(const Setup& setup, const Point<double>& point, const SparkSearch& search,
                         SparkResult& out)
    : setup_(&setup),
      point_(point),
      search_(search),
      out_(&out),
      own_(point.half_burned),
      first_(std::min(search.earliest, own_)),
      last_(std::max(search.latest, own_)),
      first_best_(std::max(first_, std::min(search.earliest_best, own_))) {
  out = {};
  out.own = out.best = out.limit = nothing();
  for (const auto& number : kSparkNumbers) out.*number.member = kNone;
  out.own_half_burned = own_;
  out.trials = 0.0;
}

Point<double> SparkCourse::point() const { return point_; }

bool SparkCourse::take(const CycleResult& result) {
  if (out_->trials == 0.0) {
    out_->own = result;
    out_->own_spark = spark_at(own_, result);
  }
  out_->trials += 1.0;
  if (!result.converged) return finish();
  const auto later = [&](const Trial& t) { return t.phasing > point_.half_burned; };
  trials_.insert(std::find_if(trials_.begin(), trials_.end(), later), {point_.half_burned, result});
  if (!best_told_) {
    const Step step = towards_best();
    if (step.next && trials_.size() < kMostTrials) {
      point_.half_burned = *step.next;
      return true;
    }
    tell_best(step);
  }
  const Step step = towards_limit();
  if (step.next && trials_.size() < kMostTrials) {
    point_.half_burned = *step.next;
    return true;
  }
  tell_limit(step);
  return finish();
}

SparkCourse::Step SparkCourse::towards_best() const {
  // The point's own phasing is the first trial, and no other lies before `first_best_` yet.
  std::size_t m = 0;
  for (std::size_t i = 1; i < trials_.size(); ++i)
    if (trials_[i].result.imep > trials_[m].result.imep) m = i;
  const Trial& top = trials_[m];
  // Neighbours at least half a step away: closer ones measure what has not settled.
  const double left = std::max(top.phasing - 0.5 * search_.step, first_best_);
  const double right = std::min(top.phasing + 0.5 * search_.step, last_);
  const Trial *before = nullptr, *after = nullptr;
  for (const Trial& t : trials_) {
    if (&t < &top && t.phasing <= left) before = &t;
    if (&t > &top && t.phasing >= right && after == nullptr) after = &t;
  }
  const bool at_first = top.phasing - first_best_ <= search_.tolerance;
  const bool at_last = last_ - top.phasing <= search_.tolerance;
  if (before == nullptr && !at_first) return {std::max(top.phasing - search_.step, first_best_)};
  if (after == nullptr && !at_last) return {std::min(top.phasing + search_.step, last_)};
  if (at_first) return {{}, SparkStatus::at_the_earliest, &top};
  if (at_last) return {{}, SparkStatus::at_the_latest, &top};
  const double a = top.phasing - before->phasing, b = after->phasing - top.phasing;
  const double fall_a = (top.result.imep - before->result.imep) / a;
  const double fall_b = (top.result.imep - after->result.imep) / b;
  const double sum = fall_a + fall_b;
  const double vertex =
      sum > 0.0 ? top.phasing + 0.5 * (b * fall_a - a * fall_b) / sum : top.phasing;
  for (const Trial& t : trials_)
    if (std::abs(t.phasing - vertex) <= search_.tolerance) return {{}, SparkStatus::found, &top};
  return {vertex};
}

double SparkCourse::excess(const Trial& trial) const {
  return std::log(trial.result.knock_integral / search_.knock_level);
}

SparkCourse::Step SparkCourse::before_the_first() const {
  const Trial& a = trials_[0];
  if (a.phasing - first_ <= search_.tolerance) return {{}, SparkStatus::never_knocks};
  double walk = kFarthest;
  if (trials_.size() > 1) {
    const double slope = (excess(trials_[1]) - excess(a)) / (trials_[1].phasing - a.phasing);
    if (slope < 0.0) walk = std::clamp(excess(a) / slope + kBeyond, kShortest, kFarthest);
  }
  return {std::max(a.phasing - walk, first_)};
}

SparkCourse::Step SparkCourse::after_the_last() const {
  const Trial& b = trials_.back();
  if (last_ - b.phasing <= search_.tolerance) return {{}, SparkStatus::always_knocks};
  double walk = kFarthest;
  if (trials_.size() > 1) {
    const Trial& a = trials_[trials_.size() - 2];
    const double slope = (excess(b) - excess(a)) / (b.phasing - a.phasing);
    if (slope < 0.0) walk = std::clamp(-excess(b) / slope + kBeyond, kShortest, kFarthest);
  }
  return {std::min(b.phasing + walk, last_)};
}

SparkCourse::Step SparkCourse::towards_limit() const {
  std::size_t knocking = 0;  // trials up to the last one that knocks
  for (std::size_t i = 0; i < trials_.size(); ++i)
    if (excess(trials_[i]) > 0.0) knocking = i + 1;
  if (knocking == 0) return before_the_first();
  if (knocking == trials_.size()) return after_the_last();
  const Trial &a = trials_[knocking - 1], &b = trials_[knocking];
  const double over = excess(a), under = excess(b);
  const double root = a.phasing + (b.phasing - a.phasing) * over / (over - under);
  if (b.phasing - root <= search_.tolerance) return {{}, SparkStatus::found, &b};
  if (root - a.phasing <= search_.tolerance) return {{}, SparkStatus::found, &a};
  return {root};
}

double SparkCourse::spark_at(double phasing, const CycleResult& result) const {
  return setup_->burn.start_of(phasing, result.burn_duration) - search_.spark_delay * point_.speed;
}

void SparkCourse::tell_best(const Step& step) {
  best_told_ = true;
  if (step.at == nullptr) return;
  out_->best_status = step.status;
  out_->best = step.at->result;
  out_->best_half_burned = step.at->phasing;
  out_->best_spark = spark_at(step.at->phasing, step.at->result);
  out_->torque_left = out_->best.imep / out_->own.imep - 1.0;
}

void SparkCourse::tell_limit(const Step& step) {
  if (step.next) return;
  out_->limit_status = step.status;
  if (step.at == nullptr) return;
  out_->limit = step.at->result;
  out_->limit_half_burned = step.at->phasing;
  out_->limit_spark = spark_at(step.at->phasing, step.at->result);
  out_->best_margin = out_->best_half_burned - out_->limit_half_burned;
  out_->own_margin = out_->own_half_burned - out_->limit_half_burned;
}

void SparkCourse::tell_usable() {
  if (std::isnan(out_->best_half_burned)) return;
  const bool free = out_->limit_status == SparkStatus::never_knocks ||
                    (out_->limit_status == SparkStatus::found && out_->best_margin >= 0.0);
  if (free) {
    out_->usable_half_burned = out_->best_half_burned;
    out_->usable_spark = out_->best_spark;
    out_->usable_imep = out_->best.imep;
  } else if (out_->limit_status == SparkStatus::found) {
    out_->usable_half_burned = out_->limit_half_burned;
    out_->usable_spark = out_->limit_spark;
    out_->usable_imep = out_->limit.imep;
  }
}

bool SparkCourse::finish() {
  tell_usable();
  return false;
}

}  // namespace airchain::cycle
