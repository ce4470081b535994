#include "airchain/cycle/course.hpp"

namespace airchain::cycle {

Point<double> Line::point() const { return points_[place_]; }

bool Line::take(const CycleResult& result) {
  results_[place_] = result;
  return ++place_ < count_;
}

}  // namespace airchain::cycle
