#include <gtest/gtest.h>

#include <cmath>

#include "airchain/numerics/table.hpp"
#include "support/bad_input.hpp"
#include "support/lanes.hpp"

namespace airchain::numerics {

using test::expect_refusal;

namespace {

const std::vector<double> kU{0.0, 1.0, 1.5, 4.0, 5.0};
const std::vector<double> kV{-1.0, 0.0, 0.25, 2.0};

double wavy(double u, double v) { return std::sin(1.3 * u) + v * v - 0.4 * u * v; }
double bicubic(double u, double v) { return (1.0 + u - 0.2 * u * u * u) * (v * v * v - 2.0 * v); }

template <class Function>
Table<1> table_of(Function&& f, Slopes slopes) {
  std::vector<std::array<double, 1>> values;
  for (const double u : kU)
    for (const double v : kV) values.push_back({f(u, v)});
  return Table<1>(kU, kV, values, slopes);
}

Table<1> flat(std::size_t cells, std::vector<double> u = {0.0, 1.0}) {
  return Table<1>(std::move(u), {0.0, 1.0}, std::vector<std::array<double, 1>>(cells, {1.0}));
}

}  // namespace

TEST(Table, PassesThroughItsNodes) {
  for (const Slopes slopes : {Slopes::monotone, Slopes::smooth}) {
    const auto table = table_of(wavy, slopes);
    for (std::size_t i = 0; i < kU.size(); ++i) {
      for (std::size_t j = 0; j < kV.size(); ++j) {
        EXPECT_NEAR(table.at(kU[i], kV[j])[0], wavy(kU[i], kV[j]), 4e-15);
        EXPECT_EQ(table.node(0, i, j), wavy(kU[i], kV[j]));
      }
    }
  }
}

TEST(Table, SmoothReproducesABicubic) {
  const auto table = table_of(bicubic, Slopes::smooth);
  for (double u = 0.0; u <= 5.0; u += 0.37)
    for (double v = -1.0; v <= 2.0; v += 0.21) EXPECT_NEAR(table.at(u, v)[0], bicubic(u, v), 3e-13);
}

TEST(Table, MonotoneRowsStayBetweenTheirNodes) {
  const auto table =
      table_of([](double u, double v) { return v > 0.1 ? 1.0 + u : 0.0; }, Slopes::monotone);
  for (const double u : kU) {
    for (double v = -1.0; v <= 2.0; v += 0.01) {
      EXPECT_GE(table.at(u, v)[0], -1e-15);
      EXPECT_LE(table.at(u, v)[0], 1.0 + u + 1e-15);
    }
  }
}

TEST(Table, HoldsItsEdgeAndKnowsIt) {
  const auto table = table_of(wavy, Slopes::smooth);
  EXPECT_EQ(table.at(-3.0, 0.0)[0], wavy(0.0, 0.0));
  EXPECT_NEAR(table.at(5.0, 9.0)[0], wavy(5.0, 2.0), 1e-14);  // a node, but for rounding
  EXPECT_TRUE(table.inside_u(0.0) && table.inside_u(5.0));
  EXPECT_TRUE(table.inside_v(-1.0) && table.inside_v(2.0));
  EXPECT_FALSE(table.inside_u(-1e-9) || table.inside_u(5.0 + 1e-9));
  EXPECT_FALSE(table.inside_v(-1.0 - 1e-9) || table.inside_v(2.0 + 1e-9));
  EXPECT_TRUE(std::isnan(table.at(std::nan(""), table.v().front())[0]));
  EXPECT_TRUE(std::isnan(table.at(table.u().front(), std::nan(""))[0]));
  EXPECT_FALSE(table.inside_u(std::nan("")) || table.inside_v(std::nan("")));
  EXPECT_TRUE(std::isnan(table.at(std::nan(""), 0.0)[0]));
  EXPECT_TRUE(std::isnan(table.at(0.0, std::nan(""))[0]));
}

TEST(Table, OneRowDoesNotDependOnIt) {
  const Table<1> row({3.0}, {0.0, 1.0}, {{2.0}, {4.0}});
  EXPECT_EQ(row.at(-50.0, 0.5)[0], row.at(50.0, 0.5)[0]);
  EXPECT_NEAR(row.at(3.0, 0.5)[0], 3.0, 1e-15);
  EXPECT_TRUE(row.inside_u(-50.0));
}

TEST(Table, FieldsDoNotMix) {
  const Table<3> table({0.0, 1.0}, {0.0, 1.0},
                       {{{1, 10, 100}}, {{2, 20, 200}}, {{3, 30, 300}}, {{4, 40, 400}}});
  const auto middle = table.at(0.25, 0.5);
  EXPECT_NEAR(middle[0], 2.0, 1e-14);
  EXPECT_NEAR(middle[1], 20.0, 1e-13);
  EXPECT_NEAR(middle[2], 200.0, 1e-12);
}

TEST(Table, LanesAgreeBitwiseWithPlainNumbers) {
  const auto table = table_of(wavy, Slopes::smooth);
  test::expect_lanes_agree([&](auto u) { return table.at(u, u * decltype(u)(0.3))[0]; },
                           {0.2, 1.7, 4.9, 12.0});
}

TEST(Table, NamesTheBadInput) {
  expect_refusal([] { flat(3); }, "Table: the table has 3 values; must be 2 x 2 values");
  expect_refusal([] { flat(4, {1.0, 0.0}); }, "Table: u[1] = 0; must be greater than");
  expect_refusal([] { flat(4, {0.0, std::nan("")}); }, "Table: u[1] = nan; must be a finite");
  expect_refusal(
      [] {
        Table<1>({0.0}, {0.0, 1.0}, {{1.0}, {std::nan("")}});
      },
      "the value in row 1, column 2 is nan; must be a finite number");
}

}  // namespace airchain::numerics
