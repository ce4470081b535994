#include "airchain/engine/order.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "airchain/base/guards.hpp"

namespace airchain::engine {

namespace {

constexpr double kTurn = 2.0 * base::kPi, kCycle = 2.0 * kTurn;
constexpr double kSame = 1e-6;  // [rad], what counts as one angle
constexpr std::size_t kMostCylinders = 24;
const char* const kWhere = FiringOrder::kName;

std::string listed(const std::vector<int>& numbers, const char* between = ", ") {
  std::string text;
  for (int n : numbers) text += (text.empty() ? "" : between) + std::to_string(n);
  return text;
}

[[noreturn]] void refuse(const char* field, const std::string& value, const std::string& rule,
                         const std::string& hint = "") {
  base::refuse({.where = kWhere, .field = field, .value = value, .rule = rule, .hint = hint});
}

double turned(double angle) {
  const double rest = std::fmod(angle, kTurn);
  const double positive = rest < 0.0 ? rest + kTurn : rest;
  return positive > kTurn - kSame ? 0.0 : positive;
}

/// Angle from one top centre to the next that another cylinder has, a whole turn where both have it
/// together.
double gap_between(double from, double to) {
  const double gap = turned(to - from);
  return gap < kSame ? kTurn : gap;
}

std::string degrees(double angle) {
  return base::number_text(std::round(angle / base::kDegree * 100.0) / 100.0);
}

std::vector<std::vector<int>> banks_of(const FiringOrder& f) {
  if (!f.banks.empty()) return f.banks;
  std::vector<int> line(f.order.size());
  for (std::size_t i = 0; i < line.size(); ++i) line[i] = static_cast<int>(i) + 1;
  return {line};
}

/// Angle of top centre by cylinder, 0 to 2 pi; the second bank leans by `lean`.
std::vector<double> top_centres(const FiringOrder& f, double lean, double hand) {
  std::vector<double> top(f.order.size());
  const auto banks = banks_of(f);
  const bool by_number = f.throws.size() == f.order.size();
  for (std::size_t b = 0; b < banks.size(); ++b)
    for (std::size_t place = 0; place < banks[b].size(); ++place) {
      const auto number = static_cast<std::size_t>(banks[b][place]) - 1;
      top[number] =
          turned(static_cast<double>(b) * lean + hand * f.throws[by_number ? number : place]);
    }
  return top;
}

/// Firing angles where the order comes round in two turns; else the first pair that does not fit.
struct Walk {
  std::vector<double> angle;
  std::optional<std::size_t> bad;  ///< place in the order
  double unevenness = 0.0;
};

Walk walk(const FiringOrder& f, const std::vector<double>& top) {
  const std::size_t n = f.order.size();
  const double even = kCycle / static_cast<double>(n);
  const auto at_place = [&](std::size_t k) { return static_cast<std::size_t>(f.order[k % n]) - 1; };
  Walk w{std::vector<double>(n), {}, 0.0};
  std::optional<std::size_t> uneven;
  double at = 0.0;
  for (std::size_t k = 0; k < n; ++k) {
    w.angle[at_place(k)] = at;
    double gap = gap_between(top[at_place(k)], top[at_place(k + 1)]);
    // Where all have fired within a turn, the rest of the cycle goes by before the first again.
    if (k + 1 == n) gap = std::max(gap, kCycle - at);
    if (std::abs(gap - even) > kSame && !uneven) uneven = k;
    w.unevenness = std::max(w.unevenness, std::abs(gap - even));
    at += gap;
  }
  if (at > kCycle + 1e-3) w.bad = uneven;
  return w;
}

[[noreturn]] void refuse_walk(const FiringOrder& f, const std::vector<double>& top, const Walk& w) {
  const std::size_t n = f.order.size(), k = *w.bad;
  const int one = f.order[k], next = f.order[(k + 1) % n];
  const double from = top[static_cast<std::size_t>(one) - 1];
  double soonest = kCycle;
  std::vector<int> fitting;
  for (std::size_t i = 0; i < n; ++i) {
    const double gap = gap_between(from, top[i]);
    if (gap < soonest - kSame) fitting.clear();
    if (gap < soonest + kSame) fitting.push_back(static_cast<int>(i) + 1);
    soonest = std::min(soonest, gap);
  }
  const std::string text = listed(f.order, "-");
  const std::string comes = "after cylinder " + std::to_string(one) + " this crank brings up " +
                            listed(fitting, " or ") + ", " + degrees(soonest) + " degrees later";
  if (gap_between(from, top[static_cast<std::size_t>(next) - 1]) > kTurn - kSame)
    refuse("order", text, "fire one cylinder at a time, within two turns",
           "cylinders " + std::to_string(one) + " and " + std::to_string(next) +
               " are at top centre together; " + comes + ". Banks set them apart");
  refuse("order", text, "be one that the crank can have: it takes more than two turns",
         comes + "; or give the crank and the banks that belong to this order");
}

void check_numbers(const FiringOrder& f) {
  const auto count = static_cast<double>(f.order.size());
  base::require(kWhere, "count of cylinders", count, "1",
                base::between(1.0, static_cast<double>(kMostCylinders)));
  require_each_once({f.order}, f.order.size(), "order", "fires");
  if (!f.banks.empty()) require_each_once(f.banks, f.order.size(), "banks", "stands in a bank");
  base::require(kWhere, "bank_angle", f.bank_angle, "rad", base::between(0.0, base::kPi));
  for (double t : f.throws)
    base::require(kWhere, "throws", t, "rad", base::between(-kCycle, kCycle));
}

void check_crank(const FiringOrder& f) {
  const auto banks = banks_of(f);
  if (banks.size() > 2)
    refuse("banks", std::to_string(banks.size()) + " banks", "be one or two with a crank",
           "without throws the cylinders fire evenly, whatever the banks");
  if (f.throws.size() == f.order.size()) return;
  for (const auto& bank : banks)
    if (bank.size() != f.throws.size())
      refuse("throws", std::to_string(f.throws.size()) + " throws",
             "be one for each of the " + std::to_string(bank.size()) +
                 " cylinders of a bank, or one for each cylinder",
             banks.size() == 1 ? "a crank of V engines needs banks" : "");
}

/// Counted from the first cylinder's firing.
std::vector<double> from_first(std::vector<double> angle) {
  const double first = angle[0];
  for (double& a : angle) a = a < first ? a - first + kCycle : a - first;
  return angle;
}

}  // namespace

void require_each_once(const std::vector<std::vector<int>>& groups, std::size_t cylinders,
                       const char* field, const char* lost) {
  std::vector<int> seen(cylinders + 1, 0), twice, missing;
  for (const auto& group : groups) {
    if (group.empty()) refuse(field, "an empty group", "name cylinders in every group");
    for (int n : group) {
      if (n < 1 || n > static_cast<int>(cylinders))
        refuse(field, std::to_string(n), "be cylinders from 1 to " + std::to_string(cylinders));
      if (++seen[static_cast<std::size_t>(n)] == 2) twice.push_back(n);
    }
  }
  for (std::size_t n = 1; n <= cylinders; ++n)
    if (seen[n] == 0) missing.push_back(static_cast<int>(n));
  if (twice.empty() && missing.empty()) return;
  std::string text;
  for (const auto& group : groups) text += (text.empty() ? "" : ", ") + listed(group, "-");
  std::string hint;
  if (!twice.empty()) hint = "named twice: " + listed(twice);
  if (!missing.empty())
    hint +=
        (hint.empty() ? "" : "; ") + std::string("not one that ") + lost + ": " + listed(missing);
  refuse(field, text, "name each of the " + std::to_string(cylinders) + " cylinders once", hint);
}

std::vector<double> throws_of(const std::string& crank, std::size_t in_a_bank) {
  const double half = base::kPi, quarter = 0.5 * base::kPi;
  if (crank == "crossplane" && in_a_bank == 4) return {0.0, quarter, 3.0 * quarter, half};
  if (crank == "flat" && in_a_bank == 4) return {0.0, half, half, 0.0};
  if (crank == "flat" && in_a_bank == 2) return {0.0, half};
  const char* fit = crank == "flat" ? "2 or 4" : "4";
  refuse("crank", crank + " with " + std::to_string(in_a_bank) + " cylinders in a bank",
         std::string("have ") + fit + " cylinders in a bank",
         "give the angles of its throws, or leave the crank out where the engine fires evenly");
}

std::vector<double> firing_angles(const FiringOrder& f) {
  check_numbers(f);
  const std::size_t n = f.order.size();
  if (f.throws.empty()) {
    std::vector<double> angle(n);
    for (std::size_t k = 0; k < n; ++k)
      angle[static_cast<std::size_t>(f.order[k]) - 1] =
          kCycle * static_cast<double>(k) / static_cast<double>(n);
    return from_first(std::move(angle));
  }
  check_crank(f);
  std::optional<Walk> best;
  for (const double hand : {1.0, -1.0})
    for (const double lean : {f.bank_angle, -f.bank_angle}) {
      if (hand < 0.0 && !f.either_hand) continue;
      const Walk w = walk(f, top_centres(f, lean, hand));
      if (w.bad) continue;
      if (!best || w.unevenness < best->unevenness - kSame) best = w;
    }
  if (best) return from_first(std::move(best->angle));
  const auto top = top_centres(f, f.bank_angle, 1.0);
  refuse_walk(f, top, walk(f, top));
}

}  // namespace airchain::engine
