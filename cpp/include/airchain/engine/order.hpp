#pragma once

#include <string>
#include <vector>

#include "airchain/base/constants.hpp"

namespace airchain::engine {

/// In which order the cylinders fire, and the crank that has them do so. Cylinders are numbered
/// from 1.
struct FiringOrder {
  static constexpr const char* kName = "FiringOrder";
  std::vector<int> order;
  /// Angles of the crank's throws from the front [rad]: how far the crank turns until each stands
  /// where the first one stood. One for each place of a bank, or one for each cylinder by its
  /// number. None: the cylinders fire evenly.
  std::vector<double> throws;
  /// Cylinders of each bank from the front; none: all stand in line, in the order of their numbers.
  std::vector<std::vector<int>> banks;
  double bank_angle = 0.5 * base::kPi;  ///< [rad] between two banks
  bool either_hand = false;             ///< whether the throws' mirror image is tried too
};

/// Crank angle at which each cylinder fires, by its number, after cylinder 1 does [rad], 0 to 4 pi.
/// With throws at t and a bank that leans by b a cylinder is at top centre at
///
///     angle = b + t   (mod 2 pi)
///
/// and fires at the first such angle after the one before it. The second bank leans to either side:
/// that one is taken which suits the order. Throws InputError for cylinders named twice or not at
/// all, for two that would fire at once, and for an order that the crank cannot have.
std::vector<double> firing_angles(const FiringOrder& order);

/// Throws of a crank that goes by a name, for a bank of so many cylinders [rad]: "crossplane" has
/// four a quarter of a turn apart, of either hand, "flat" two or four in one plane, the outer ones
/// together.
std::vector<double> throws_of(const std::string& crank, std::size_t in_a_bank);

/// Checks that groups, such as banks or collectors, hold each of so many cylinders once.
void require_each_once(const std::vector<std::vector<int>>& groups, std::size_t cylinders,
                       const char* field, const char* lost);

}  // namespace airchain::engine
