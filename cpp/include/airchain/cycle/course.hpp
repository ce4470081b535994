#pragma once

#include "airchain/cycle/setup.hpp"

namespace airchain::cycle {

/// What a lane solves: points one after the other, each warm from the one before, the first from
/// gas at rest. The lane knows nothing else, so a course's results depend on the course alone.
class Course {
 public:
  /// The point to solve now.
  virtual Point<double> point() const = 0;
  /// Told of each cycle that has not settled yet. True when `point` is another one now, to which
  /// the next cycle goes on: a point that itself depends on its cycle is sought on the way.
  virtual bool moves(const CycleResult& result);
  /// Takes its result. True when there is another point to solve.
  virtual bool take(const CycleResult& result) = 0;

 protected:
  ~Course() = default;
};

/// Points in a given order.
class Line final : public Course {
 public:
  Line(const Point<double>* points, CycleResult* results, std::size_t count)
      : points_(points), results_(results), count_(count) {}

  Point<double> point() const override;
  bool take(const CycleResult& result) override;

 private:
  const Point<double>* points_;
  CycleResult* results_;
  std::size_t count_, place_ = 0;
};

}  // namespace airchain::cycle
