#include "airchain/engine/order.hpp"

#include <gtest/gtest.h>

#include "support/bad_input.hpp"

namespace airchain::engine {

namespace {

std::vector<double> degrees(const FiringOrder& order) {
  std::vector<double> found;
  for (double a : firing_angles(order)) found.push_back(a / base::kDegree);
  return found;
}

FiringOrder v_eight(const char* crank, const std::vector<int>& order) {
  FiringOrder f;
  f.order = order;
  f.banks = {{1, 3, 5, 7}, {2, 4, 6, 8}};
  f.throws = throws_of(crank, 4);
  f.either_hand = true;
  return f;
}

void expect_angles(const FiringOrder& order, const std::vector<double>& wanted) {
  const auto found = degrees(order);
  ASSERT_EQ(found.size(), wanted.size());
  for (std::size_t i = 0; i < wanted.size(); ++i) EXPECT_NEAR(found[i], wanted[i], 1e-9) << i + 1;
}

void expect_refusal(const FiringOrder& order, const std::vector<std::string>& parts) {
  for (const auto& part : parts) test::expect_refusal([&] { firing_angles(order); }, part);
}

}  // namespace

// Orders and cranks of usual engines: common practice, no source.
TEST(FiringOrder, FiresEvenlyWithoutACrank) {
  FiringOrder f;
  f.order = {1, 3, 4, 2};
  expect_angles(f, {0, 540, 180, 360});
  f.order = {3, 1, 2};  // told from cylinder 1 wherever the order begins
  expect_angles(f, {0, 240, 480});
}

TEST(FiringOrder, FollowsFromTheCrank) {
  expect_angles(v_eight("crossplane", {1, 8, 4, 3, 6, 5, 7, 2}),
                {0, 630, 270, 180, 450, 360, 540, 90});
  expect_angles(v_eight("flat", {1, 8, 3, 6, 7, 2, 5, 4}), {0, 450, 180, 630, 540, 270, 360, 90});
  FiringOrder line;
  line.order = {1, 3, 4, 2};
  line.throws = throws_of("flat", 4);
  expect_angles(line, {0, 540, 180, 360});
  line.order = {1, 5, 3, 6, 2, 4};
  const double third = 2.0 / 3.0 * base::kPi;
  line.throws = {0.0, third, 2 * third, 2 * third, third, 0.0};
  expect_angles(line, {0, 480, 240, 600, 120, 360});
}

TEST(FiringOrder, MayBeUneven) {
  FiringOrder twin;
  twin.order = {1, 2};
  twin.throws = {0.0, base::kPi};
  expect_angles(twin, {0, 180});
  FiringOrder vee;  // both rods on one throw; the bank leans so that it is least uneven
  vee.order = {1, 2};
  vee.banks = {{1}, {2}};
  vee.bank_angle = 45 * base::kDegree;
  vee.throws = {0.0};
  expect_angles(vee, {0, 315});
}

TEST(FiringOrder, NamesTheBadInputAndWhatWouldFit) {
  FiringOrder f;
  f.order = {1, 3, 3, 2};
  expect_refusal(f, {"order", "1-3-3-2", "named twice: 3", "fires: 4"});
  f.order = {1, 3, 5, 2};
  expect_refusal(f, {"order = 5", "from 1 to 4"});
  f.order = {1, 4, 3, 2};
  f.throws = throws_of("flat", 4);
  expect_refusal(f, {"1-4-3-2", "one cylinder at a time", "1 and 4 are at top centre together",
                     "brings up 2 or 3, 180 degrees later"});
  auto contrary = v_eight("flat", {1, 8, 4, 3, 6, 5, 7, 2});
  expect_refusal(contrary, {"more than two turns", "this crank brings up"});
  auto lost = v_eight("crossplane", {1, 8, 4, 3, 6, 5, 7, 2});
  lost.banks = {{1, 3, 5, 7}, {2, 4, 6}};
  expect_refusal(lost, {"banks", "stands in a bank: 8"});
  lost.banks.clear();
  expect_refusal(lost, {"throws = 4 throws", "needs banks"});
  lost.banks = {{1, 2, 3}, {4, 5, 6}, {7, 8}};
  expect_refusal(lost, {"3 banks", "one or two"});
  test::expect_refusal([] { throws_of("crossplane", 3); }, "have 4 cylinders in a bank");
}

}  // namespace airchain::engine
