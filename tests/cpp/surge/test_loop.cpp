#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "airchain/chain/solve.hpp"
#include "airchain/surge/loop.hpp"
#include "support/demo_chain.hpp"

namespace airchain::surge {

namespace {

/// A train whose cooler takes all the heat, and whose ducts lose nothing: what flows into the
/// volume has the temperature of what stands there, as the closed forms have it.
chain::Chain<double> plain_train() {
  auto c = test::boosted_chain();
  c.cooler.effectiveness = 1.0;
  c.cooler.loss_coefficient = 0.0;
  c.inlet.loss_coefficient = c.discharge.loss_coefficient = c.charge_duct.loss_coefficient = 0.0;
  return c;
}

LiftOff shut_at_once(double lag) {
  LiftOff how;
  how.volume = 0.02;
  how.plenum_volume = 0.007;
  how.length = 1.5;
  how.flow_area = 0.006;
  how.closing_time = 0.005;
  how.shut_opening = 1e-6;
  how.lag = lag;
  return how;
}

/// What swings of the compressor's flow about a value do: how fast they grow [1/s] and how often
/// they come [1/s], from the times and heights of their peaks.
struct Swing {
  double growth, frequency;
};

/// About a steady flow that a valve of the right area passes.
Swing swing_about(double flow, const LiftOff& how) {
  const auto c = plain_train();
  const auto open = chain::solve(c);
  chain::Setup<double> setup(c);
  const double coolant = setup.coolant;
  const double warmth = setup.gas.gas_constant * coolant;
  ReliefValve valve{1e-12, 0.0, 0.001};
  // Far above the leak where nothing else flows out.
  const double small = flow > 0.0 ? 1e-8 : 1e-3;
  constexpr double kLater = 1.0;  // throttle and valve stand still
  Loop probe(c, open, how, valve);
  const double log_ratio = probe.steady_log_ratio(flow);
  const double pressure = probe.end_pressure(flow, log_ratio, 0.0, coolant, coolant);
  State s = probe.start();
  s.y[State::pressure] = pressure;
  s.y[State::mass] = pressure * how.volume / warmth;
  s.y[State::log_ratio] = log_ratio;
  s.y[State::plenum_pressure] = 2e4;
  s.y[State::plenum_mass] = 2e4 * how.plenum_volume / warmth;
  Moment moment{};
  probe.rates(kLater, s, &moment);
  const double leak = moment.throttle_flow;  // through the shut throttle
  if (flow > 0.0) valve.effective_area *= (flow * probe.carried() - leak) / moment.bypass_flow;
  Loop loop(c, open, how, valve);
  s.y[State::flow] = flow + small;
  std::vector<double> times, heights;
  double before = 0.0, last = small;
  constexpr double kStep = 5e-5;
  for (int i = 0; i < 40000 && times.size() < 8 && last < 1e4 * small; ++i) {
    s = loop.after(kLater, s, kStep);
    const double now = s.y[State::flow] - flow;
    if (last > before && last >= now && last > 0.0) {
      times.push_back(i * kStep);
      heights.push_back(last);
    }
    before = last;
    last = now;
  }
  if (times.size() < 3) return {std::nan(""), std::nan("")};
  const double span = times.back() - times[1];
  return {std::log(heights.back() / heights[1]) / span,
          static_cast<double>(times.size() - 2) / span};
}

}  // namespace

// The air of the pipe as one mass on the volume's spring, the frequency of a Helmholtz resonator
// [Rayleigh, Theory of Sound, from memory]. Where nothing flows the characteristic has its valley,
// so that it neither drives nor damps.
TEST(Loop, AgreesWithAHelmholtzResonator) {
  const auto how = shut_at_once(20.0);
  const auto found = swing_about(0.0, how);
  const auto c = plain_train();
  chain::Setup<double> setup(c);
  const double sound = std::sqrt(setup.gas.heat_capacity_ratio(setup.coolant) *
                                 setup.gas.gas_constant / setup.mass * setup.coolant);
  const double helmholtz =
      sound / (2.0 * base::kPi) * std::sqrt(how.flow_area / (how.length * how.volume));
  EXPECT_NEAR(found.frequency / helmholtz, 1.0, 2e-3);
  EXPECT_NEAR(found.growth, 0.0, 0.05 * helmholtz);
}

// [Greitzer 1976, from memory] without lag: a swing grows by half of what the characteristic's
// slope gives less what the outlet's slope takes,
//
//     2 sigma = (A/l) dp/dW - (a^2/V) dW_out/dp,
//
// so that the slope at which surge begins is known in closed form.
TEST(Loop, AgreesWithTheStabilityLimitInClosedForm) {
  const auto how = shut_at_once(0.1);
  const auto c = plain_train();
  const auto open = chain::solve(c);
  chain::Setup<double> setup(c);
  const ReliefValve none{1e-12, 0.0, 0.001};
  Loop loop(c, open, how, none);
  const double gamma = setup.gas.heat_capacity_ratio(setup.coolant);
  const double left = open.compressor_flow / setup.mass / loop.share(loop.start());
  int growing = 0, dying = 0;
  for (const double share : {0.93, 0.985, 1.1}) {
    const double flow = share * left, h = 1e-5 * left;
    const auto pressure = [&](double w) {
      return loop.end_pressure(w, loop.steady_log_ratio(w), 0.0, setup.coolant, setup.coolant);
    };
    const double p = pressure(flow);
    const double slope = (pressure(flow + h) - pressure(flow - h)) / (2.0 * h);
    // The valve: W = psi(p_a/p) p A/sqrt(R T), T rising with p as of a perfect gas that is pressed.
    const auto out = [&](double q) {
      const double warm = std::pow(q / p, (gamma - 1.0) / gamma);
      return gas::nozzle_flow_function(setup.ambient.pressure / q, gamma) * q / std::sqrt(warm);
    };
    const double taken = flow * (out(p * 1.0001) - out(p * 0.9999)) / (0.0002 * p * out(p));
    const double spring = gamma * setup.gas.gas_constant * setup.coolant / how.volume;
    const double expected =
        0.5 * (how.flow_area / how.length * slope / setup.mass - spring * taken);
    const auto found = swing_about(flow, how);
    EXPECT_NEAR(found.growth, expected, 0.1 * std::abs(expected) + 2.0) << share;
    growing += found.growth > 0.0;
    dying += found.growth < 0.0;
  }
  EXPECT_GE(growing, 1);
  EXPECT_GE(dying, 1);
}

}  // namespace airchain::surge
