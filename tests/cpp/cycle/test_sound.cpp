#include "airchain/cycle/sound.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "support/bad_input.hpp"

namespace airchain::cycle {
namespace {

ChargeMixture sound_mixture(double lambda, double evaporated) {
  ChargeRecipe recipe;
  recipe.fuel = fuel::generic_fuel("gasoline_premium").fuel;
  recipe.lambda = lambda;
  recipe.evaporated_fraction = evaporated;
  return charge_mixture(recipe);
}

// 347.2 m/s in dry air at 300 K (handbook tables of the properties of air, from memory). Droplets
// weigh the air down and hold it at their temperature.
TEST(Sound, IsThatOfAirWeighedDownByItsFuel) {
  const double t = 300.0;
  for (double lambda : {0.8, 1.0, 1.4}) {
    const auto m = sound_mixture(lambda, 0.0);
    const double per_air = 1.0 / m.air_fraction;  // no water here
    const double r = 287.05 / per_air, air = 347.2 * 347.2 / (287.05 * t);
    const double cp =
        (287.05 * air / (air - 1.0) + (per_air - 1.0) * m.recipe.fuel.liquid_heat_capacity) /
        per_air;
    EXPECT_NEAR(sound_speed(m, t), std::sqrt(cp / (cp - r) * r * t), 0.2);
  }
  EXPECT_LT(sound_speed(sound_mixture(0.8, 0.4), t), sound_speed(sound_mixture(0.9, 0.4), t));
}

TEST(Sound, NamesTheBadInput) {
  const auto m = sound_mixture(0.9, 0.4);
  test::expect_refusal([&] { sound_speed(m, 100.0); }, "ChargeMixture: temperature = 100 K");
}

}  // namespace
}  // namespace airchain::cycle
