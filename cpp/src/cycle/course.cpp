#include "airchain/cycle/course.hpp"

namespace airchain::cycle {

// Here, not in the header: the kernels of an instruction set share no code with the plain build.
bool Course::moves(const CycleResult&) { return false; }

Point<double> Line::point() const { return points_[place_]; }

bool Line::take(const CycleResult& result) {
  results_[place_] = result;
  return ++place_ < count_;
}

}  // namespace airchain::cycle
