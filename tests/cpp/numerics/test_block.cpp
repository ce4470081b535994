#include "airchain/numerics/block.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/bad_input.hpp"

namespace airchain::numerics {
namespace {

using Values = std::vector<double>;

template <class Function>
Block<1> block_of(const Values& u, const Values& v, const Values& w, Function&& f) {
  std::vector<std::array<double, 1>> values;
  for (double a : u)
    for (double b : v)
      for (double c : w) values.push_back({f(a, b, c)});
  return {u, v, w, std::move(values)};
}

double cubic(double u, double v, double w) {
  return 1.0 + 0.3 * u * u * u - 0.2 * u * v * v + v * v * v * w + 0.1 * w * w * w - u * w;
}

TEST(Block, FollowsCubicsEverywhere) {
  const auto block =
      block_of({0.0, 0.5, 1.5, 2.0, 3.0}, {-1.0, 0.0, 0.4, 1.0}, {0.0, 1.0, 1.5, 2.0}, cubic);
  for (double u : {0.0, 0.2, 1.7, 2.5, 3.0})
    for (double v : {-1.0, -0.3, 0.1, 0.9, 1.0})
      for (double w : {0.0, 0.7, 1.2, 2.0})
        EXPECT_NEAR(block.at(u, v, w)[0], cubic(u, v, w), 1e-12);
}

// Three nodes cannot show a cubic: along w runs the parabola through them.
TEST(Block, RunsThePolynomialThroughAllNodesAlongTheLastAxis) {
  const auto block = block_of({0.0, 1.0}, {0.0, 1.0}, {0.0, 1.0, 3.0},
                              [](double u, double v, double w) { return u + v * w * w; });
  EXPECT_NEAR(block.at(0.3, 0.8, 2.2)[0], 0.3 + 0.8 * 2.2 * 2.2, 1e-12);
}

// A spline's order; its ends are steeper still.
TEST(Block, ErrorFallsWithTheFourthPowerOfTheSpacing) {
  const auto wave = [](double u, double, double) { return std::sin(u); };
  const auto worst = [&](int count) {
    Values u;
    for (int i = 0; i < count; ++i) u.push_back(6.0 * i / (count - 1.0));
    const auto block = block_of(u, {0.0}, {0.0}, wave);
    double most = 0.0;
    for (double x = 0.0; x < 6.0; x += 0.013)
      most = std::max(most, std::abs(block.at(x, 0.0, 0.0)[0] - std::sin(x)));
    return most;
  };
  const double order = std::log2(worst(25) / worst(49));
  EXPECT_GT(order, 3.8);
  EXPECT_LT(order, 4.6);
}

TEST(Block, HoldsItsEdgeAndSaysSo) {
  const auto block = block_of({0.0, 1.0, 2.0}, {0.0, 1.0, 2.0}, {0.0, 1.0, 2.0}, cubic);
  EXPECT_EQ(block.at(-1.0, 5.0, 0.5)[0], block.at(0.0, 2.0, 0.5)[0]);
  EXPECT_TRUE(block.inside(0.0, 2.0, 1.0));
  EXPECT_FALSE(block.inside(-0.1, 1.0, 1.0));
  EXPECT_FALSE(block.inside(1.0, 2.1, 1.0));
  EXPECT_FALSE(block.inside(1.0, 1.0, 2.1));
  EXPECT_TRUE(std::isnan(block.at(std::nan(""), 1.0, 1.0)[0]));
}

TEST(Block, ASingleNodeHoldsEverywhere) {
  const auto block = block_of({3.0}, {1.0}, {2.0}, [](...) { return 7.0; });
  EXPECT_EQ(block.at(-5.0, 9.0, 100.0)[0], 7.0);
  EXPECT_TRUE(block.inside(-5.0, 9.0, 100.0));
}

TEST(Block, KeepsTheFieldsApart) {
  std::vector<std::array<double, 3>> values;
  for (double u : {0.0, 1.0})
    for (double v : {0.0, 1.0})
      for (double w : {0.0, 1.0}) values.push_back({u, v, w});
  const Block<3> block({0.0, 1.0}, {0.0, 1.0}, {0.0, 1.0}, values);
  const auto found = block.at(0.25, 0.5, 0.75);
  EXPECT_NEAR(found[0], 0.25, 1e-15);
  EXPECT_NEAR(found[1], 0.5, 1e-15);
  EXPECT_NEAR(found[2], 0.75, 1e-15);
}

TEST(Block, NamesTheBadInput) {
  test::expect_refusal(
      [] {
        block_of({1.0, 1.0}, {0.0}, {0.0}, cubic);
      },
      "Block: u[1] = 1; must be greater than the one before it (1)");
  test::expect_refusal(
      [] {
        (Block<1>{{0.0, 1.0}, {0.0}, {0.0}, {{1.0}}});
      },
      "Block: the block has 1 values; must be 2");
  test::expect_refusal(
      [] {
        (Block<1>{{0.0}, {0.0}, {0.0}, {{std::nan("")}}});
      },
      "Block: value 1 is nan");
}

}  // namespace
}  // namespace airchain::numerics
