#include "airchain/compressor/beyond_map.hpp"

#include <algorithm>
#include <cmath>

#include "airchain/numerics/root.hpp"

namespace airchain::compressor {

namespace {

/// Choke sides may be vertical; they are leant over by this share of the flow, 0 at the left end
/// and at the start, so that a flow has one place. No more than what measured flows scatter by.
constexpr double kLean = kFlowScatter;
/// Beyond the right end L falls by as much as this a place [1].
constexpr double kFall = 3.0;
constexpr double kFarthest = 2.0;
constexpr double kTolerance = 1e-12;

}  // namespace

BeyondMap::BeyondMap(Line line, double shut_off_head, double start)
    : line_(line), shut_off_head_(shut_off_head), start_(std::min(start, 1.0)), place_(start) {
  move_to(line);
}

void BeyondMap::move_to(Line line) {
  line_ = line;
  left_ = line_.one_at<CompressorMap::phi>(0.0);
  right_ = line_.one_at<CompressorMap::phi>(1.0);
  at_left_ = {line_.one_at<CompressorMap::log_ratio>(0.0), line_.one_at<CompressorMap::work>(0.0)};
}

double BeyondMap::inside(double place) {
  return line_.one_at<CompressorMap::phi>(std::min(place, 1.0)) +
         kLean * right_ * place * place * (place - start_);
}

BeyondMap::Point BeyondMap::at(double phi) {
  if (phi < left_) {
    const double lowest = shut_off_head_ * at_left_.log_ratio;
    const double x = 2.0 * phi / left_ - 1.0;
    const double rise = 0.5 * (at_left_.log_ratio - lowest);
    return {lowest + rise * (1.0 + 1.5 * x - 0.5 * x * x * x), at_left_.work};
  }
  const double most = inside(kFarthest);
  const auto root = numerics::bracketed_root<double>(
      [&](double x) { return (inside(x) - phi) / right_; }, 0.0, kFarthest,
      std::min(place_, kFarthest), 0.5, kTolerance, kTolerance);
  place_ = root.x;
  const auto point = line_.at(std::min(place_, 1.0));
  const double beyond = std::max(place_ - 1.0, 0.0) + std::max(phi / most - 1.0, 0.0) / kLean;
  return {point[CompressorMap::log_ratio] - kFall * beyond, point[CompressorMap::work]};
}

}  // namespace airchain::compressor
