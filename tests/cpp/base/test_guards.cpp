#include <gtest/gtest.h>

#include <cmath>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/base/status.hpp"
#include "support/bad_input.hpp"

namespace airchain::base {

using test::expect_refusal;
using test::message_of;

namespace {

/// A station as small as one can be.
template <class T>
struct Vessel {
  static constexpr const char* kName = "Vessel";
  T volume{kRequired};
  T temperature{293.15};

  static constexpr auto fields() {
    return std::tuple{field("volume", &Vessel::volume, "m^3", above_up_to(0.0, 2.0), "inside"),
                      field("temperature", &Vessel::temperature, "K", between(230.0, 420.0), "")};
  }
};

}  // namespace

// The molar gas constant follows exactly from the SI's k and N_A [CODATA 2018].
TEST(Constants, AgreesWithSi) {
  EXPECT_NEAR(kMolarGasConstant, 1.380649e-23 * 6.02214076e23, 1e-14);
  EXPECT_NEAR(kPi, std::acos(-1.0), 1e-15);
}

TEST(Range, HoldsItsClosedEndsOnly) {
  EXPECT_TRUE(between(1.0, 2.0).holds(1.0));
  EXPECT_TRUE(between(1.0, 2.0).holds(2.0));
  EXPECT_FALSE(above_up_to(1.0, 2.0).holds(1.0));
  EXPECT_TRUE(above_up_to(1.0, 2.0).holds(2.0));
  EXPECT_TRUE(above_up_to(0.0, kInfinity).holds(kInfinity));
  EXPECT_FALSE((Range{0.0, kInfinity, false, true}).holds(kInfinity));
}

TEST(Range, NeverHoldsNaN) {
  EXPECT_FALSE(Range{}.holds(std::nan("")));
  EXPECT_FALSE(between(0.0, 1.0).holds(kRequired));
}

TEST(Range, SaysItsRule) {
  EXPECT_EQ(range_text(between(230.0, 420.0), "K"), "between 230 and 420 K");
  EXPECT_EQ(range_text(above_up_to(0.0, 1.0), "1"), "above 0 and at most 1");
  EXPECT_EQ(range_text(Range{0.0, kInfinity, false, true}, "m"), "at least 0 m");
  EXPECT_EQ(range_text(Range{-kInfinity, 5.0, true, true}, "Pa"), "below 5 Pa");
  EXPECT_EQ(range_text(Range{}, "1"), "a number");
}

TEST(Require, NamesTheBadInput) {
  EXPECT_EQ(message_of([] { require("Duct", "area", -1.0, "m^2", above_up_to(0.0, 10.0)); }),
            "Duct: area = -1 m^2; must be above 0 and at most 10 m^2");
  EXPECT_EQ(message_of([] { require("Map", "share", 2.0, "1", between(0.0, 1.0), "in parts"); }),
            "Map: share = 2; must be between 0 and 1; in parts");
  EXPECT_NO_THROW(require("Duct", "area", 10.0, "m^2", above_up_to(0.0, 10.0)));
}

TEST(Require, NamesTheBadInputThatLooksLikeCelsius) {
  expect_refusal([] { require("Cooler", "coolant", 25.0, "K", between(230.0, 420.0)); },
                 "did you mean 25 degC?");
  const auto far = message_of([] { require("Cooler", "coolant", 225.0, "K", between(230, 420)); });
  EXPECT_EQ(far.find("degC"), std::string::npos);  // 225 degC would be no better
}

TEST(Require, NamesTheBadInputThatIsMissing) {
  expect_refusal([] { require("Duct", "area", kRequired, "m^2", between(0.0, 1.0)); },
                 "it is missing or not a number");
}

TEST(RequireThat, NamesTheBadInput) {
  EXPECT_EQ(message_of([] { require_that(false, "Map", "3 flows", "4", "count them"); }),
            "Map: 3 flows; must be 4; count them");
  EXPECT_NO_THROW(require_that(true, "Map", "", ""));
}

TEST(Fields, GuardEveryNumber) {
  test::expect_every_field_guarded(Vessel<double>{1.0, 300.0});
  EXPECT_EQ(field_count<Vessel<double>>(), 2u);
}

TEST(Fields, AreAllNamedWhereSeveralAreBad) {
  const std::string text = message_of([] { require_fields(Vessel<double>{-1.0, 25.0}); });
  EXPECT_NE(text.find("Vessel: volume = -1"), std::string::npos) << text;
  EXPECT_NE(text.find("\nVessel: temperature = 25 K"), std::string::npos) << text;
}

TEST(Fields, CopyToAnotherNumberType) {
  Vessel<long double> to;
  copy_fields(Vessel<double>{0.5, 250.0}, to);
  EXPECT_EQ(to.volume, 0.5L);
  EXPECT_EQ(to.temperature, 250.0L);
}

// Flags stand together as bits of one number, and a double holds the number exactly.
TEST(Flag, EveryFlagIsOneBitOfItsOwn) {
  const Flag all[] = {Flag::over_speed_limit,
                      Flag::over_tip_speed_limit,
                      Flag::over_engine_speed_limit,
                      Flag::below_lowest_speed_line,
                      Flag::outside_breathing_table,
                      Flag::bypass_open,
                      Flag::bypass_saturated,
                      Flag::condensing,
                      Flag::over_belt_capacity,
                      Flag::surge_not_known,
                      Flag::choke_not_known,
                      Flag::large_duct_loss,
                      Flag::throttle_choked,
                      Flag::surge_estimated,
                      Flag::outside_gas_data,
                      Flag::cycle_not_settled,
                      Flag::odd_compressor,
                      Flag::odd_filling,
                      Flag::odd_combustion,
                      Flag::odd_exhaust,
                      Flag::no_power,
                      Flag::fuel_saturated,
                      Flag::on_choke_line,
                      Flag::above_highest_speed_line};
  std::uint32_t joined = 0;
  for (const Flag flag : all) {
    const auto bit = static_cast<std::uint32_t>(flag);
    EXPECT_EQ(bit & (bit - 1), 0u);
    EXPECT_EQ(joined & bit, 0u);
    joined |= bit;
  }
  EXPECT_EQ(joined, (1u << kFlagNames.size()) - 1u);  // and every bit has its name
}

}  // namespace airchain::base
