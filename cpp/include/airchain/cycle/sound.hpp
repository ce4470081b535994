#pragma once

#include "airchain/cycle/mixture.hpp"

namespace airchain::cycle {

/// Speed of sound in the fresh charge [m/s] at a temperature [K], its droplets as hot as the gas:
///
///     a = sqrt(gamma R T),   gamma = cp/(cp - R)
double sound_speed(const ChargeMixture& mixture, double temperature);

}  // namespace airchain::cycle
