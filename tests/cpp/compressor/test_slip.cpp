#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>

#include "airchain/base/constants.hpp"
#include "airchain/compressor/slip.hpp"

namespace airchain::compressor {
namespace {

using base::kDegree;

// Wiesner 1967: computed from the printed formulas, six figures.
TEST(SlipFactor, AgreesWithPublishedFormulas) {
  std::ifstream file(AIRCHAIN_PUBLISHED "/slip_factors.csv");
  ASSERT_TRUE(file) << "slip_factors.csv is missing";
  std::string text;
  std::getline(file, text);  // column names
  int rows = 0;
  while (std::getline(file, text)) {
    SCOPED_TRACE(text);
    std::istringstream row(text.substr(text.find(',') + 1));
    std::array<double, 4> v{};
    std::string cell;
    for (double& value : v) {
      ASSERT_TRUE(std::getline(row, cell, ','));
      value = std::stod(cell);
    }
    const double backsweep = v[1] * kDegree;
    EXPECT_NEAR(wiesner_slip(v[0], backsweep), v[2], 1e-6);
    EXPECT_NEAR(wiesner_limiting_radius_ratio(v[0], backsweep), v[3], 1e-6);
    ++rows;
  }
  EXPECT_EQ(rows, 5);
}

TEST(SlipFactor, FallsAboveTheLimitingRadiusRatioWithoutAJump) {
  const double backsweep = 30.0 * kDegree;
  const double limit = wiesner_limiting_radius_ratio(16.0, backsweep);
  const double plain = wiesner_slip(16.0, backsweep);
  EXPECT_DOUBLE_EQ(wiesner_slip(16.0, backsweep, limit - 0.1), plain);
  EXPECT_NEAR(wiesner_slip(16.0, backsweep, limit + 1e-4), plain, 1e-9);
  double before = plain;
  for (double ratio = limit + 0.05; ratio < 1.0; ratio += 0.05) {
    const double sigma = wiesner_slip(16.0, backsweep, ratio);
    EXPECT_LT(sigma, before);
    before = sigma;
  }
  EXPECT_NEAR(wiesner_slip(16.0, backsweep, 1.0), 0.0, 1e-12);  // blades of no length
}

TEST(SlipFactor, NearsOneWithManyBlades) {
  for (double backsweep : {0.0, 0.5, 1.0}) {
    double before = 0.0;
    for (double blades : {6.0, 12.0, 24.0, 1e3, 1e6}) {
      const double sigma = wiesner_slip(blades, backsweep);
      EXPECT_GT(sigma, before);
      before = sigma;
    }
    EXPECT_NEAR(before, 1.0, 1e-4);
  }
}

}  // namespace
}  // namespace airchain::compressor
