#pragma once

#include <cstring>
#include <type_traits>

#include "airchain/pipe/pipe.hpp"

// One lane of a `Pipe`: copied, put aside and put back, perhaps on another grid.
namespace airchain::pipe {

template <class T, class Gas>
template <class Numbers>
void Pipe<T, Gas>::copy_lane(Numbers& to, const Numbers& from, int lane) {
  constexpr std::size_t kNumber = sizeof(double);
  static_assert(std::is_trivially_copyable_v<Numbers> && sizeof(Numbers) % sizeof(T) == 0 &&
                sizeof(T) == kNumber * numerics::kLanes<T>);
  const std::size_t first = kNumber * static_cast<std::size_t>(lane);
  for (std::size_t at = first; at < sizeof(Numbers); at += sizeof(T))
    std::memcpy(reinterpret_cast<char*>(&to) + at, reinterpret_cast<const char*>(&from) + at,
                kNumber);
}

template <class T, class Gas>
auto Pipe<T, Gas>::stored_lane(int lane) const -> StoredFlow {
  const auto of = [&](const T& x) { return numerics::lane(x, lane); };
  const auto end = [&](const FlowState<T>& p) {
    return StoredEnd{of(p.density), of(p.velocity), of(p.pressure), of(p.burned)};
  };
  StoredFlow flow{std::vector<StoredCell>(cells_.size()), end(left_), end(right_)};
  for (int i = 0; i < size(); ++i) {
    const Cell<T>& c = cell(i);
    flow.cells[static_cast<std::size_t>(i)] = {of(c.mass), of(c.momentum), of(c.energy),
                                               of(c.burned_mass), of(c.temperature)};
  }
  return flow;
}

template <class T, class Gas>
void Pipe<T, Gas>::restore_lane(int lane, const StoredFlow& flow) {
  const auto last = static_cast<double>(flow.cells.size()) - 1.0;
  double fastest = 0.0;
  for (int i = 0; i < size(); ++i) {
    const double middle = (i + 0.5) * (last + 1.0) / size() - 0.5;
    const double place = numerics::min(numerics::max(middle, 0.0), last);
    const auto below = static_cast<std::size_t>(place);
    const auto above = static_cast<std::size_t>(numerics::min(double(below) + 1.0, last));
    const double part = place - double(below);
    const auto between = [&](double StoredCell::*member) {
      const double a = flow.cells[below].*member, b = flow.cells[above].*member;
      return T(a + part * (b - a));
    };
    Cell<T> c{};
    c.mass = between(&StoredCell::mass);
    c.momentum = between(&StoredCell::momentum);
    c.energy = between(&StoredCell::energy);
    c.burned_mass = between(&StoredCell::burned_mass);
    c.temperature = between(&StoredCell::temperature);
    c.about = gas_.expansion(c.temperature);
    fastest = numerics::max(fastest, numerics::lane(derive(c), lane));
    copy_lane(at(i), c, lane);
  }
  const auto put = [&](FlowState<T>& end, const StoredEnd& stored) {
    copy_lane(end, {T(stored.density), T(stored.velocity), T(stored.pressure), T(stored.burned)},
              lane);
  };
  put(left_, flow.left);
  put(right_, flow.right);
  numerics::set_lane(fastest_, lane, fastest);
}

}  // namespace airchain::pipe
