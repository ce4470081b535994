#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "airchain/engine/rooms.hpp"
#include "airchain/gas/nozzle.hpp"
#include "support/bad_input.hpp"
#include "support/demo_engine.hpp"
#include "support/lanes.hpp"
#include "support/pulse.hpp"

// Primaries that meet in two steps, collectors that differ, and a plenum behind a throttle.
namespace airchain::engine {

namespace {

using namespace test;

DemoEngine short_pipes() {
  DemoEngine size;
  size.intake_cells = 10;
  size.exhaust_cells = 10;
  return size;
}

void expect_same(const EngineResult& a, const EngineResult& b) {
  for (std::size_t c = 0; c < a.cylinders.size(); ++c)
    for (const auto& number : cycle::kResultNumbers)
      EXPECT_TRUE(same_bits(a.cylinders[c].*number.member, b.cylinders[c].*number.member))
          << number.name << " of cylinder " << c + 1;
}

throttle::Throttle<double> bores(double area) {
  throttle::Throttle<double> t;
  t.area = area;
  return t;
}

/// Two pairs of primaries that meet, their secondaries, and where these meet.
struct TwoSteps {
  static constexpr double kPrimary = 0.044, kSecondary = 0.056, kCollector = 0.06;
  static constexpr double kLength = 2.0, kSmall = 2e-5;
  gas::Charge gas = perfect_gas();
  pipe::Shape primary = straight(kLength, kPrimary, 400);
  pipe::Shape secondary = straight(1.0, kSecondary, 200);
  pipe::Shape outlet = straight(kLength, kCollector, 400);
  std::vector<RoomPlan> plans;
  Rooms<double> rooms;
  std::vector<pipe::Pipe<double, gas::Charge>> pipes;

  TwoSteps() : plans(planned()), rooms({3, false, plans.data()}, false, gas) {
    rooms.fill({kPressure, kTemperature, 0.0});
    for (int i = 0; i < 4; ++i) {
      pipes.emplace_back(primary, gas);
      pipes.back().fill({kPressure, kTemperature, 0.0});
    }
    rooms.begin_round();
  }
  std::vector<RoomPlan> planned() const {
    const double end = 2.0 * area_of(kSecondary) + area_of(kCollector);
    const double pair = 2.0 * area_of(kPrimary) + area_of(kSecondary);
    return {{kSmall, end, 0.0, 0.0, &outlet, &outlet, 300.0, -1},
            {kSmall, pair, 0.0, 0.0, &secondary, &secondary, 300.0, 0},
            {kSmall, pair, 0.0, 0.0, &secondary, &secondary, 300.0, 0}};
  }
  double step() {
    double dt = rooms.longest_step(0.9);
    for (const auto& p : pipes) dt = std::min(dt, 0.9 * p.crossing_time());
    rooms.prepare(dt);
    for (int i = 0; i < 4; ++i) {
      const int room = 1 + i / 2;
      const auto& g = rooms.gas(room);
      const auto seen = pipe::still_gas(gas, g.pressure, g.temperature, g.burned);
      pipes[static_cast<std::size_t>(i)].advance(
          dt,
          [&](const pipe::EndGas<double>& arriving) {
            const auto end = pipe::open_end(arriving, seen);
            rooms.take(room, amount_of(dt * primary.left_area(), end.flux, 0));
            return end;
          },
          [&](const pipe::EndGas<double>& arriving) { return pipe::closed_end(arriving); });
    }
    rooms.finish(dt);
    return dt;
  }
  Amount<double> all() const {
    Amount<double> sum = rooms.stored();
    for (const auto& p : pipes)
      sum.add({p.content(&pipe::Cell<double>::mass), p.content(&pipe::Cell<double>::energy), 0.0});
    return sum;
  }
};

}  // namespace

// One-dimensional acoustics of two branches one after the other [Benson 1982, section 7.4]: a part
// t = 2 A_i/(sum of A) passes each, t - 1 comes back.
TEST(Merges, AgreeWithTheScatteringOfAPulseAtTheSecondJunction) {
  const double height = 50.0;
  TwoSteps m;
  put_pulse(m.pipes[0], TwoSteps::kLength, 0.6, 0.12, height);
  // 0.6 m to the pair's merge, 1 m to the second, 1 m back or on, and 0.7 m into the primaries.
  for (double t = 0.0; t < 3.3 / kSound;) t += m.step();
  const double a1 = area_of(TwoSteps::kPrimary), a2 = area_of(TwoSteps::kSecondary);
  const double pair = 2.0 * a1 + a2, end = 2.0 * a2 + area_of(TwoSteps::kCollector);
  const double in = 2.0 * a1 / pair, second = 2.0 * a2 / end, out = 2.0 * a2 / pair;
  const double on = in * second * out, back = in * (second - 1.0) * out;
  EXPECT_GT(on + back, 0.1);  // each would show if taken for the other
  EXPECT_NEAR(extreme(m.pipes[2]) / height, on, 0.01);
  EXPECT_NEAR(extreme(m.pipes[3]) / height, on, 0.01);
  // In the pulse's own pair what the first merge did has not yet come back from the valves: it is
  // in the far half of the pipes.
  const auto near = [&](std::size_t i) {
    double most = 0.0;
    for (int n = 0; n < m.pipes[i].size() / 2; ++n) {
      const double over = m.pipes[i].cell(n).pressure - kPressure;
      if (std::abs(over) > std::abs(most)) most = over;
    }
    return most;
  };
  EXPECT_NEAR(near(1) / height, back, 0.01);
}

TEST(Merges, ConserveMassAndEnergyOneAfterTheOther) {
  TwoSteps m;
  put_pulse(m.pipes[0], TwoSteps::kLength, 1.0, 0.2, 80e3);
  m.rooms.begin_round();
  const auto begun = m.all();
  for (int i = 0; i < 2000; ++i) m.step();
  const auto given = m.rooms.given(), held = m.all();
  EXPECT_NEAR(held.mass - given.mass, begun.mass, 1e-12 * begun.mass);
  EXPECT_NEAR(held.energy - given.energy, begun.energy, 1e-12 * std::abs(begun.energy));
}

// A vessel that empties through a choked nozzle, adiabatic but for what leaves:
//
//     p/p_0 = (1 + (g - 1)/2 C t)^(-2 g/(g - 1)),   C = A/V sqrt(g R T_0) (2/(g + 1))^((g + 1)/(2
//     (g - 1)))
//
// [Anderson, Modern Compressible Flow, chapter 5, from memory].
TEST(Opening, AgreesWithTheDischargeOfAVessel) {
  const double volume = 5e-3, area = 5e-4, first = 500e3;
  const RoomPlan plan{volume, area, 0.0, area, nullptr, nullptr, 300.0, -1};
  Rooms<double> room({1, false, &plan}, false, perfect_gas());
  room.fill({first, kTemperature, 0.0});
  room.set_outside_pressure(100e3);
  room.begin_round();
  const double g = kRatio, speed = std::sqrt(g * kConstant * kTemperature);
  const double choked = std::pow(2.0 / (g + 1.0), 0.5 * (g + 1.0) / (g - 1.0));
  const double rate = area / volume * speed * choked;
  double t = 0.0;
  while (room.pressure(0) > 250e3) {
    const double dt = 0.02 * room.longest_step(0.9);
    room.prepare(dt);
    room.finish(dt);
    t += dt;
    const double wanted = first * std::pow(1.0 + 0.5 * (g - 1.0) * rate * t, -2.0 * g / (g - 1.0));
    ASSERT_NEAR(room.pressure(0) / wanted, 1.0, 2e-3);
  }
  EXPECT_NEAR(room.stored().mass - room.given().mass, first * volume / (kConstant * kTemperature),
              1e-14);
}

// The flow grows as the root of a small difference: an explicit step would swing about it for ever.
TEST(Opening, LetsAVesselComeToRest) {
  const RoomPlan plan{5e-3, 0.01, 0.0, 0.01, nullptr, nullptr, 300.0, -1};
  Rooms<double> room({1, false, &plan}, false, perfect_gas());
  room.fill({101e3, kTemperature, 0.0});
  room.set_outside_pressure(100e3);
  room.begin_round();
  double over = 1e3;
  for (int i = 0; i < 400; ++i) {
    const double dt = room.longest_step(0.9);
    room.prepare(dt);
    room.finish(dt);
    const double now = std::abs(room.pressure(0) - 100e3);
    EXPECT_LE(now, over + 0.01);
    over = now;
  }
  EXPECT_LT(over, 0.1);
}

// A large plenum draws steadily, so that its pressure is that behind the nozzle at the engine's
// flow [St Venant and Wantzel].
TEST(Opening, HoldsThePlenumBehindTheNozzle) {
  auto e = demo_v_eight("crossplane", short_pipes());
  e.plenum = {demo_plenum(0.02)};
  e.plenum[0].opening = bores(2e-3);
  const auto point = demo_engine_point(5200);
  const auto r = solve(e, point);
  ASSERT_TRUE(r.converged);
  double drawn = 0.0;
  for (const auto& c : r.cylinders)
    drawn += c.fresh_mass / (1.0 - c.scavenging_loss) * point.point.speed / (4.0 * base::kPi);
  const auto& fresh = e.kinds[0].mixture.fresh;
  const double before = point.point.plenum_pressure, t = point.point.plenum_temperature;
  const double flow = before * 2e-3 * 0.9 / std::sqrt(fresh.gas_constant * t) *
                      gas::nozzle_flow_function(r.rooms[0].pressure / before, 1.39);
  EXPECT_LT(r.rooms[0].pressure, 0.97 * before);
  EXPECT_NEAR(drawn / flow, 1.0, 0.01);
  // As wide as a wall that is not there, it holds the pressure before it.
  e.plenum[0].opening = bores(0.5);
  EXPECT_NEAR(solve(e, point).rooms[0].pressure / before, 1.0, 2e-3);
}

// The plain case is that of a list, to the last bit.
TEST(Merges, ListedOneByOneAreWhatOneThatStandsForAllIs) {
  auto e = demo_v_eight("crossplane", short_pipes());
  e.plenum = {demo_plenum()};
  e.collectors = {demo_collector()};
  const auto point = demo_engine_point(4100);
  const auto one = solve(e, point);
  ASSERT_TRUE(one.converged);
  e.collectors = {demo_collector(), demo_collector()};
  e.into = {-1, -1};
  expect_same(one, solve(e, point));
}

// Secondaries that hold next to nothing make two steps one: the nearer, the shorter they are.
TEST(SlowMerges, OfTwoStepsWithoutSecondariesAreNearlyOne) {
  const auto point = demo_engine_point(4500);
  const double wide = 0.1;
  const auto solved = [&](double length) {
    auto e = demo_v_eight("crossplane", short_pipes());
    auto collector = demo_collector(1.4e-3);
    if (length > 0.0) {
      meet_in_pairs(e, demo_pair(2e-5, length, wide, 4.0), collector);
    } else {
      collector.volume += 2.0 * (2e-5 + 0.02 * area_of(wide));
      e.collectors = {collector};
    }
    const auto r = solve(e, point);
    EXPECT_TRUE(r.converged);
    return r;
  };
  const auto one = solved(0.0);
  const auto away = [&](double length) {
    const auto r = solved(length);
    double most = 0.0;
    for (std::size_t c = 0; c < 8; ++c)
      most =
          std::max(most, std::abs(r.cylinders[c].fresh_mass / one.cylinders[c].fresh_mass - 1.0));
    return most;
  };
  const double near = away(0.02), far = away(0.3);
  EXPECT_LT(near, 0.015);
  EXPECT_GT(far, 3.0 * near);
}

// The four of a flat bank fire evenly, so that pairs a turn apart are alike.
TEST(Merges, OfEvenPairsTellNoCylinderFromAnother) {
  auto e = demo_v_eight("flat", short_pipes());
  e.plenum = {demo_plenum()};
  meet_in_pairs(e, demo_pair(), demo_collector());
  cycle::Controls fine;
  fine.tolerance = 3e-5;
  const auto r = solve(e, demo_engine_point(4500), fine);
  ASSERT_TRUE(r.converged);
  EXPECT_LT(spread(r, {0, 2, 4, 6}), 2e-4);
  EXPECT_EQ(r.rooms.size(), 7u);
  EXPECT_NEAR(r.rooms[3].pressure / r.rooms[4].pressure, 1.0, 2e-4);
}

// An open far end lengthens the pipe at that end [Levine and Schwinger 1948], an end at a room at
// the other.
TEST(Merges, PipesActLongerByTheirEnds) {
  cycle::Runner cone;
  cone.taper = {0.4, 0.08, 0.06, 0.0};
  cone.cells = 40.0;
  cone.end_correction = 0.2;
  const auto shape = cone.shape(0.6133);
  const double acting = 0.4 + 0.2 * 0.04 + 0.6133 * 0.03;
  EXPECT_DOUBLE_EQ(cone.acting_length(0.6133), acting);
  EXPECT_NEAR(shape.width() * shape.cells(), acting, 1e-15);
  EXPECT_DOUBLE_EQ(shape.right_area(), area_of(0.06));
  // The last cell is a piece of the far end's diameter, the first one is cone but for 8 mm.
  EXPECT_NEAR(shape.view().volume[39], area_of(0.06) * shape.width(), 1e-15);
  EXPECT_LT(shape.view().volume[0], area_of(0.08) * shape.width());
  const auto solved = [](double length, double outer) {
    auto e = demo_v_eight("crossplane", short_pipes());
    e.collectors = {demo_collector()};
    e.collectors[0].pipe.taper.length = length;
    e.collectors[0].outer_correction = outer;
    return solve(e, demo_engine_point(4500)).cylinders[0].fresh_mass;
  };
  const double told = solved(0.45, 0.6133), longer = solved(0.45 + 0.5 * 0.6133 * 0.1016, 0.0);
  EXPECT_NEAR(told / longer, 1.0, 1e-5);
  EXPECT_GT(std::abs(told / solved(0.45, 0.0) - 1.0), 1e-3);
}

// Settled or not, with banks that differ, merges in two steps and a throttle before the plenum.
TEST(Merges, ConserveMassAndEnergyOfTheWhole) {
  auto e = demo_v_eight("crossplane", short_pipes());
  e.plenum = {demo_plenum()};
  e.plenum[0].opening = bores(4e-3);
  meet_in_pairs(e, demo_pair(), demo_collector());
  e.collectors[1] = demo_collector(6e-4, 0.076, 7.0);
  e.collectors[4].pipe.taper.length = 0.55;
  for (const double most : {2.0, 60.0}) {
    cycle::Controls controls;
    controls.most_cycles = most;
    const auto r = solve(e, demo_engine_point(3300, 150e3, 120e3), controls);
    EXPECT_EQ(r.converged, most > 2.0);
    EXPECT_LT(std::abs(r.mass_error), 1e-9);
    EXPECT_LT(std::abs(r.energy_error), 1e-9);
    EXPECT_GT(std::abs(r.mass_error) + std::abs(r.energy_error), 0.0);
  }
}

// Without a plenum banks know nothing of each other but the time step.
TEST(Merges, OfUnlikeCollectorsAreEachWhatTheyAreAlone) {
  const auto point = demo_engine_point(4500);
  const auto narrow = demo_collector(5e-4, 0.07);
  auto e = demo_v_eight("crossplane", short_pipes());
  const auto of = [&](std::vector<Room> collectors) {
    e.collectors = std::move(collectors);
    const auto r = solve(e, point);
    EXPECT_TRUE(r.converged);
    return r;
  };
  const auto wide = of({demo_collector()}), tight = of({narrow});
  const auto unlike = of({demo_collector(), narrow});
  for (std::size_t c = 0; c < 8; ++c) {
    const auto& own = c % 2 == 0 ? wide : tight;
    const auto& other = c % 2 == 0 ? tight : wide;
    EXPECT_NEAR(unlike.cylinders[c].fresh_mass / own.cylinders[c].fresh_mass, 1.0, 1e-3) << c;
    EXPECT_GT(std::abs(unlike.cylinders[c].fresh_mass / other.cylinders[c].fresh_mass - 1.0), 3e-3);
  }
}

TEST(Merges, NameTheBadInput) {
  const auto refused = [](const Engine& e, const char* part) {
    expect_refusal([&] { validate(e); }, part);
  };
  auto e = demo_v_eight();
  meet_in_pairs(e, demo_pair(), demo_collector());
  validate(e);
  auto bad = e;
  bad.into[1] = 1;
  refused(bad, "collector 1 ends in 1");
  bad = e;
  bad.into.pop_back();
  refused(bad, "5 ways out of 6 collectors");
  bad = e;
  bad.collectors.pop_back();
  refused(bad, "cylinders that end in 6");
  bad = e;
  bad.into[2] = bad.into[3] = -1;
  refused(bad, "collector 0 has no primary");
  bad = e;
  bad.collectors[3].pipe = Room::none();
  refused(bad, "collector 3 ends in another without a pipe");
  bad = e;
  bad.plenum = {demo_plenum(), demo_plenum()};
  refused(bad, "several plenums");
  auto room = demo_collector();
  room.opening = bores(1e-3);
  expect_refusal([&] { validate(room); }, "a pipe and an opening");
}

}  // namespace airchain::engine
