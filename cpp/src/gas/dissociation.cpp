#include "airchain/gas/dissociation.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "airchain/base/constants.hpp"

namespace airchain::gas {

namespace {

// Where equilibria are fitted: from the lowest temperature at which gas counts as reacting up.
constexpr int kTemperatures = 16, kDensities = 7;
constexpr double kLowest = 1700.0;
// Below this energy a mistake counts as it is [J/kg], above it over the energy.
constexpr double kLeastEnergy = 20e3;

/// Nodes from -1 to 1 that crowd at the ends: cos(pi i/(count - 1)), rising.
double node(int i, int count) { return -std::cos(base::kPi * i / (count - 1)); }

}  // namespace

Dissociation::Dissociation(const std::vector<Parcel>& parcels) {
  constexpr int kRows = kTemperatures * kDensities, kTerms = kTemperature * kDensity;
  Eigen::MatrixXd terms(kRows, kTerms);
  Eigen::MatrixXd wanted(kRows, 2);
  for (int j = 0; j < kDensities; ++j) {
    const double z = node(j, kDensities);
    const double density = std::exp(kMeanLog + kHalfLog * z);
    std::vector<Composition> now;
    // NOLINTNEXTLINE(performance-inefficient-vector-operation): a few parcels, once an engine
    for (const auto& parcel : parcels) now.push_back(parcel.burned);
    for (int i = 0; i < kTemperatures; ++i) {
      const double low = (kLowest - kFrozenBelow) / kReach;
      const double s = low + (1.0 - low) * 0.5 * (1.0 + node(i, kTemperatures));
      const double t = kFrozenBelow + kReach * s;
      double energy = 0.0, constant = 0.0;
      for (std::size_t p = 0; p < parcels.size(); ++p) {
        const auto& [mass, burned] = parcels[p];
        now[p] = equilibrium(burned, t, density, now[p]);
        energy += mass * (formation_energy(now[p], t) - formation_energy(burned, t));
        constant += mass * (gas_constant(now[p]) - gas_constant(burned));
      }
      const int row = j * kTemperatures + i;
      const double weight = 1.0 / (kLeastEnergy + std::abs(energy));
      double in_temperature = weight * s * s;
      for (int k = 0; k < kTemperature; ++k) {
        double term = in_temperature;
        for (int l = 0; l < kDensity; ++l) {
          terms(row, k * kDensity + l) = term;
          term *= z;
        }
        in_temperature *= 2.0 * s - 1.0;
      }
      wanted(row, 0) = weight * energy;
      wanted(row, 1) = weight * constant;
    }
  }
  const Eigen::MatrixXd found = terms.householderQr().solve(wanted);
  for (int k = 0; k < kTemperature; ++k)
    for (int l = 0; l < kDensity; ++l) {
      energy_[k][l] = found(k * kDensity + l, 0);
      constant_[k][l] = found(k * kDensity + l, 1);
    }
}

}  // namespace airchain::gas
