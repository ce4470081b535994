#include <gtest/gtest.h>

#include <cmath>

#include "airchain/cycle/setup.hpp"
#include "pipe/runs.hpp"

namespace airchain::cycle {

// Quarter wave of a pipe with an open end, f = a/(4 (L + 0.6133 d/2)) [Levine and Schwinger 1948].
TEST(Runner, AgreesWithQuarterWaveFrequencyOfAPlainEnd) {
  Runner runner;
  runner.taper = {0.35, 0.05, 0.05, 0.0};
  runner.cells = 40.0;
  EXPECT_NEAR(runner.acting_length(), 0.35 + 0.6133 * 0.025, 1e-12);
  const auto shape = runner.shape();
  test::PlainPipe p(shape, test::kAir);
  for (int i = 0; i < 40; ++i)  // the fundamental's shape: the near end open, the far end closed
    p.set(i, 1e5 + 200.0 * std::sin(0.5 * base::kPi * (i + 0.5) / 40), 300.0, 0.0, 0.0);
  p.start();
  std::vector<double> t, y;
  test::run(p, 0.05, test::open_to(test::kAir, 1e5, 300.0), test::closed, [&](double now) {
    t.push_back(now);
    y.push_back(p.cell(39).pressure - 1e5);
  });
  const double expected = std::sqrt(1.4 * test::kAir.constant * 300.0) / (4.0 * 0.3653325);
  EXPECT_NEAR(test::frequency_of(t, y), expected, 0.01 * expected);
}

// The piece before the open end has its diameter; the cone behind it stays where it is.
TEST(Runner, EndCorrectionIsAPieceOfTheNearDiameter) {
  Runner runner;
  runner.taper = {0.3, 0.06, 0.04, 0.0};
  runner.cells = 31.0;
  runner.end_correction = 1.0 / 3.0;  // 0.01 m, a cell
  const auto shape = runner.shape();
  EXPECT_NEAR(shape.width() * shape.cells(), 0.31, 1e-12);
  EXPECT_NEAR(shape.view().volume[0], 0.25 * base::kPi * 0.06 * 0.06 * 0.01, 1e-12);
  EXPECT_NEAR(shape.right_area(), 0.25 * base::kPi * 0.04 * 0.04, 1e-12);
  double volume = 0.0;
  for (int i = 1; i < shape.cells(); ++i) volume += shape.view().volume[i];
  EXPECT_NEAR(volume, base::kPi / 12.0 * 0.3 * (0.06 * 0.06 + 0.06 * 0.04 + 0.04 * 0.04), 1e-9);
  runner.end_correction = 0.0;
  EXPECT_NEAR(runner.shape().width() * 31, 0.3, 1e-12);
}

}  // namespace airchain::cycle
