#pragma once

#include <cstddef>
#include <limits>
#include <string>
#include <tuple>
#include <utility>

namespace airchain::base {

/// The numbers a field may take; an open end excludes its bound.
struct Range {
  double low = -std::numeric_limits<double>::infinity();
  double high = std::numeric_limits<double>::infinity();
  bool low_open = false;
  bool high_open = false;

  /// False for NaN. An infinite value passes only where a bound is infinite and closed.
  constexpr bool holds(double value) const {
    return (low_open ? value > low : value >= low) && (high_open ? value < high : value <= high);
  }
};

constexpr Range between(double low, double high) { return {low, high, false, false}; }
constexpr Range above_up_to(double low, double high) { return {low, high, true, false}; }
constexpr double kInfinity = std::numeric_limits<double>::infinity();

/// The default of a field that has none: every range refuses it.
constexpr double kRequired = std::numeric_limits<double>::quiet_NaN();

/// 'must be ...' in words, such as "above 0 and at most 2".
std::string range_text(const Range& range, const char* unit);

/// One number of a station: its name, SI unit ("1" when dimensionless), range and meaning.
/// The same list serves guards, constructors, copies with changes, texts, lanes and sweep axes.
template <class Owner, class T>
struct Field {
  const char* name;
  T Owner::*member;
  const char* unit;
  Range range;
  const char* words;
};

template <class Owner, class T>
constexpr Field<Owner, T> field(const char* name, T Owner::*member, const char* unit, Range range,
                                const char* words) {
  return {name, member, unit, range, words};
}

template <class Station, class Visitor>
constexpr void for_each_field(Visitor&& visit) {
  std::apply([&](const auto&... f) { (visit(f), ...); }, Station::fields());
}

template <class Station>
constexpr std::size_t field_count() {
  return std::tuple_size_v<decltype(Station::fields())>;
}

/// Copies the numbers of `from` into the same station over another number type.
template <template <class> class Station, class To, class From>
void copy_fields(const Station<From>& from, Station<To>& to) {
  [&]<std::size_t... i>(std::index_sequence<i...>) {
    constexpr auto sources = Station<From>::fields();
    constexpr auto targets = Station<To>::fields();
    ((to.*(std::get<i>(targets).member) = To(from.*(std::get<i>(sources).member))), ...);
  }
  (std::make_index_sequence<field_count<Station<From>>()>{});
}

}  // namespace airchain::base
