#include <gtest/gtest.h>

#include "airchain/base/guards.hpp"
#include "airchain/base/input_error.hpp"
#include "support/bad_input.hpp"

namespace airchain::base {

using test::message_of;
using test::refusals_of;

TEST(Refusal, IsTextInOneWording) {
  EXPECT_EQ((Refusal{"Duct", "area", "-1 m^2", "be above 0 m^2"}.text()),
            "Duct: area = -1 m^2; must be above 0 m^2");
  EXPECT_EQ((Refusal{"Duct", "area", "-1 m^2", "be above 0 m^2", "measure it"}.text()),
            "Duct: area = -1 m^2; must be above 0 m^2; measure it");
  EXPECT_EQ((Refusal{.field = "cooler", .rule = "be a table"}.text()), "cooler; must be a table");
}

TEST(Refusal, TellsThePlaceBeforeTheField) {
  const Refusal point{.where = "Map",
                      .field = "flow",
                      .value = "0 kg/s",
                      .rule = "be above 0 kg/s",
                      .indices = {{"speed line", 3}, {"point", 4}}};
  EXPECT_EQ(point.text(), "Map: speed line 3, point 4: flow = 0 kg/s; must be above 0 kg/s");
}

TEST(Refusal, StatementStandsForPlaceAndField) {
  const Refusal sizes{.where = "Map",
                      .field = "efficiency",
                      .value = "6 efficiencies",
                      .rule = "match",
                      .indices = {{"speed line", 3}},
                      .statement = "speed line 3 has 7 flows but 6 efficiencies"};
  EXPECT_EQ(sizes.text(), "Map: speed line 3 has 7 flows but 6 efficiencies; must match");
}

TEST(InputError, HasALineForEachRefusal) {
  const InputError error({{.where = "A", .field = "x", .value = "1", .rule = "be 2"},
                          {.where = "B", .statement = "there is none"}});
  EXPECT_STREQ(error.what(), "A: x = 1; must be 2\nB: there is none");
  ASSERT_EQ(error.refusals().size(), 2u);
  EXPECT_EQ(error.refusals()[0].field, "x");
}

TEST(Require, GivesThePartsOfWhatItRefuses) {
  const auto refusals = refusals_of([] {
    require("Cooler", "coolant", 25.0, "K", between(230.0, 420.0), "as in the logs", {{"row", 2}});
  });
  ASSERT_EQ(refusals.size(), 1u);
  EXPECT_EQ(refusals[0].where, "Cooler");
  EXPECT_EQ(refusals[0].field, "coolant");
  EXPECT_EQ(refusals[0].value, "25 K");
  EXPECT_EQ(refusals[0].rule, "be between 230 and 420 K");
  EXPECT_EQ(refusals[0].hint, "did you mean 25 degC?; as in the logs");
  ASSERT_EQ(refusals[0].indices.size(), 1u);
  EXPECT_EQ(refusals[0].indices[0].name, "row");
  EXPECT_EQ(refusals[0].indices[0].number, 2);
}

TEST(RequireThat, GivesTheRefusalOnlyWhereItDoesNotHold) {
  EXPECT_NO_THROW(require_that(true, {.where = "Duct"}));
  EXPECT_EQ(message_of([] {
              require_that(false, {.where = "Duct", .field = "area", .value = "0", .rule = "grow"});
            }),
            "Duct: area = 0; must grow");
}

}  // namespace airchain::base
