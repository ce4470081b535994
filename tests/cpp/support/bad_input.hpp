#pragma once

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "airchain/base/guards.hpp"

namespace airchain::test {

/// What the InputError that `act` throws tells in parts; fails the test when it throws none.
template <class Act>
std::vector<base::Refusal> refusals_of(Act&& act) {
  try {
    act();
  } catch (const base::InputError& error) {
    return error.refusals();
  }
  ADD_FAILURE() << "nothing was refused";
  return {};
}

/// The message of the InputError that `act` throws; fails the test when it throws none.
template <class Act>
std::string message_of(Act&& act) {
  try {
    act();
  } catch (const base::InputError& error) {
    return error.what();
  }
  ADD_FAILURE() << "nothing was refused";
  return "";
}

template <class Act>
void expect_refusal(Act&& act, const std::string& part) {
  const std::string message = message_of(act);
  EXPECT_NE(message.find(part), std::string::npos) << "'" << message << "' lacks '" << part << "'";
}

/// Every number of a station: refused when not a number or just outside a finite bound, with its
/// name in the message; taken on a closed bound.
template <class Station>
void expect_every_field_guarded(const Station& good) {
  ASSERT_NO_THROW(base::require_fields(good));
  base::for_each_field<Station>([&](const auto& field) {
    const auto refuses = [&](double value) {
      Station bad = good;
      bad.*(field.member) = value;
      expect_refusal([&] { base::require_fields(bad); },
                     std::string(Station::kName) + ": " + field.name + " = ");
    };
    refuses(base::kRequired);
    const double span = field.range.high - field.range.low;
    if (span < base::kInfinity) {
      refuses(field.range.low - 0.01 * span);
      refuses(field.range.high + 0.01 * span);
    }
    if (field.range.low_open) refuses(field.range.low);
  });
}

}  // namespace airchain::test
