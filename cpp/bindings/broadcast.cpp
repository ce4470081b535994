#include <algorithm>

#include "airchain/base/guards.hpp"
#include "arrays.hpp"

namespace airchain::bindings {

namespace {

using Shape = std::vector<py::ssize_t>;

Shape shape_of(const Array& array) { return {array.shape(), array.shape() + array.ndim()}; }

/// Length of `shape` along an axis counted from the last; 1 where it has none.
py::ssize_t length(const Shape& shape, std::size_t from_last) {
  return from_last < shape.size() ? shape[shape.size() - 1 - from_last] : 1;
}

void join(Shape& common, const Shape& one, const std::string& where, const char* name) {
  Shape joined(std::max(common.size(), one.size()));
  for (std::size_t k = 0; k < joined.size(); ++k) {
    const py::ssize_t a = length(common, k), b = length(one, k);
    base::require_that(a == b || a == 1 || b == 1, {.where = where,
                                                    .field = name,
                                                    .value = std::to_string(b) + " values",
                                                    .rule = "have as many as the other arrays, " +
                                                            std::to_string(a) + ", or one"});
    joined[joined.size() - 1 - k] = a == 1 ? b : a;
  }
  common = joined;
}

/// Steps through an array as if it had the common shape.
class Walker {
 public:
  Walker(const Array& array, const Shape& common) : at_(array.data()), steps_(common.size()) {
    const Shape own = shape_of(array);
    py::ssize_t step = 1;
    for (std::size_t k = 0; k < common.size(); ++k) {
      steps_[common.size() - 1 - k] = length(own, k) == 1 ? 0 : step;
      step *= length(own, k);
    }
  }

  double value() const { return *at_; }
  void forward(std::size_t axis) { at_ += steps_[axis]; }
  void back(std::size_t axis, py::ssize_t count) { at_ -= steps_[axis] * count; }

 private:
  const double* at_;
  Shape steps_;
};

/// Moves on to the next place of the common shape, last axis first.
void advance(Shape& index, const Shape& common, std::vector<Walker>& walkers) {
  for (std::size_t axis = common.size(); axis-- > 0;) {
    for (Walker& walker : walkers) walker.forward(axis);
    if (++index[axis] < common[axis]) return;
    for (Walker& walker : walkers) walker.back(axis, common[axis]);
    index[axis] = 0;
  }
}

}  // namespace

NumberOrArray elementwise(const std::string& where, const std::vector<Named>& given, const Of& of) {
  std::vector<Array> arrays;
  Shape common;
  for (const auto& [name, value] : given) {
    arrays.push_back(array_from(where, name, value));
    join(common, shape_of(arrays.back()), where, name);
  }
  std::vector<Walker> walkers;
  for (const Array& array : arrays) walkers.emplace_back(array, common);
  std::vector<double> numbers(given.size());
  const auto computed = [&] {
    std::transform(walkers.begin(), walkers.end(), numbers.begin(),
                   [](const Walker& walker) { return walker.value(); });
    return of(numbers.data());
  };
  if (common.empty()) return NumberOrArray(py::float_(computed()));
  Array result(common);
  Shape index(common.size(), 0);
  double* out = result.mutable_data();
  for (py::ssize_t i = 0; i < result.size(); ++i) {
    out[i] = computed();
    advance(index, common, walkers);
  }
  return NumberOrArray(result);
}

}  // namespace airchain::bindings
