#include "airchain/gas/equilibrium.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

#include "airchain/gas/species.hpp"

namespace airchain::gas {

namespace {

constexpr double kReferencePressure = 1e5;
constexpr int kBasis = 4;  // CO, H2, O2, N2; and the elements C, H, O, N

/// High range of the polynomials with the constants of enthalpy and entropy, what a molecule is
/// made of, and of which of the basis it forms.
struct Kind {
  double a[7];
  double atoms[kBasis];
  double from[kBasis];
};

constexpr Kind kind(const Species& s, double enthalpy, double entropy,
                    const double (&atoms)[kBasis], const double (&from)[kBasis]) {
  Kind k{};
  for (int i = 0; i < 5; ++i) k.a[i] = s.high[i];
  k.a[5] = enthalpy;
  k.a[6] = entropy;
  for (int i = 0; i < kBasis; ++i) {
    k.atoms[i] = atoms[i];
    k.from[i] = from[i];
  }
  return k;
}

// Constants and radicals from the source of `Species`; in the order of `Molecule`.
constexpr Kind kKinds[kMolecules] = {
    kind(kCarbonDioxide, -49024.9341, -1.93534855, {1, 0, 2, 0}, {1, 0, 0.5, 0}),
    kind(kCarbonMonoxide, -14266.1171, 6.0170979, {1, 0, 1, 0}, {1, 0, 0, 0}),
    kind(kWater, -29885.8938, 6.88255571, {0, 2, 1, 0}, {0, 1, 0.5, 0}),
    kind(kHydrogen, -813.065597, -1.02432887, {0, 2, 0, 0}, {0, 1, 0, 0}),
    kind(kOxygen, -1215.97725, 3.41536184, {0, 0, 2, 0}, {0, 0, 1, 0}),
    kind(kNitrogen, -923.948645, 5.87189252, {0, 0, 0, 2}, {0, 0, 0, 1}),
    {{2.83864607, 1.10725586e-03, -2.93914978e-07, 4.20524247e-11, -2.42169092e-15, 3943.95852,
      5.84452662},
     {0, 1, 1, 0},
     {0, 0.5, 0.5, 0}},
    {{2.50000286, -5.65334214e-09, 3.63251723e-12, -9.1994972e-16, 7.95260746e-20, 25473.6589,
      -0.446698494},
     {0, 1, 0, 0},
     {0, 0.5, 0, 0}},
    {{2.54363697, -2.73162486e-05, -4.1902952e-09, 4.95481845e-12, -4.79553694e-16, 29226.012,
      4.92229457},
     {0, 0, 1, 0},
     {0, 0, 0.5, 0}},
    {{3.26071234, 1.19101135e-03, -4.29122646e-07, 6.94481463e-11, -4.03295681e-15, 9921.43132,
      6.36900518},
     {0, 0, 1, 1},
     {0, 0, 0.5, 0.5}},
    {{2.41594293, 1.748906e-04, -1.19023667e-07, 3.02262387e-11, -2.0360979e-15, 56133.7748,
      4.64960986},
     {0, 0, 0, 1},
     {0, 0, 0, 0.5}}};
constexpr Molecule kBasisMolecules[kBasis] = {Molecule::CO, Molecule::H2, Molecule::O2,
                                              Molecule::N2};

/// H/(R T) = sum of a_k T^k/(k + 1) + a_5/T.
double enthalpy(const Kind& k, double t) {
  double sum = 0.0;
  for (int i = 4; i >= 0; --i) sum = sum * t + k.a[i] / (i + 1);
  return sum + k.a[5] / t;
}
/// G/(R T) = H/(R T) - S/R,   S/R = a_0 ln T + sum of a_k T^k/k + a_6.
double gibbs(const Kind& k, double t) {
  double sum = 0.0;
  for (int i = 4; i >= 1; --i) sum = (sum + k.a[i] / i) * t;
  return enthalpy(k, t) - (k.a[0] * std::log(t) + sum + k.a[6]);
}

}  // namespace

double formation_energy(const Composition& moles, double temperature) {
  double sum = 0.0;
  for (int i = 0; i < kMolecules; ++i)
    sum += moles[std::size_t(i)] * (enthalpy(kKinds[i], temperature) - 1.0);
  return base::kMolarGasConstant * temperature * sum;
}

double gas_constant(const Composition& moles) {
  double sum = 0.0;
  for (const double n : moles) sum += n;
  return base::kMolarGasConstant * sum;
}

Composition equilibrium(const Composition& atoms_of, double temperature, double density,
                        const Composition& start) {
  using Vector = Eigen::Matrix<double, kBasis, 1>;
  using Square = Eigen::Matrix<double, kBasis, kBasis>;
  // Moles per kilogram at the reference pressure.
  const double unit = kReferencePressure / (density * base::kMolarGasConstant * temperature);
  Vector wanted = Vector::Zero();
  double constants[kMolecules];
  double basis[kBasis];
  for (int c = 0; c < kBasis; ++c)
    basis[c] = gibbs(kKinds[static_cast<int>(kBasisMolecules[c])], temperature);
  for (int i = 0; i < kMolecules; ++i) {
    constants[i] = -gibbs(kKinds[i], temperature);
    for (int c = 0; c < kBasis; ++c) constants[i] += kKinds[i].from[c] * basis[c];
    for (int e = 0; e < kBasis; ++e) wanted[e] += atoms_of[std::size_t(i)] * kKinds[i].atoms[e];
  }
  Vector x;  // ln(p/p0) of the basis
  for (int c = 0; c < kBasis; ++c)
    x[c] = std::log(std::max(start[static_cast<std::size_t>(kBasisMolecules[c])], 1e-12) / unit);
  Composition n{};
  for (int round = 0; round < 100; ++round) {
    Vector have = Vector::Zero();
    Square slope = Square::Zero();
    for (int i = 0; i < kMolecules; ++i) {
      double power = constants[i];
      for (int c = 0; c < kBasis; ++c) power += kKinds[i].from[c] * x[c];
      const double moles = unit * std::exp(std::min(power, 200.0));
      n[std::size_t(i)] = moles;
      for (int e = 0; e < kBasis; ++e) {
        const double held = kKinds[i].atoms[e] * moles;
        have[e] += held;
        for (int c = 0; c < kBasis; ++c) slope(e, c) += held * kKinds[i].from[c];
      }
    }
    // Balances as logarithms: they are nearly straight in x.
    Vector miss;
    for (int e = 0; e < kBasis; ++e) {
      miss[e] = std::log(wanted[e] / have[e]);
      slope.row(e) /= have[e];
    }
    Vector step = slope.partialPivLu().solve(miss);
    const double largest = step.cwiseAbs().maxCoeff();
    constexpr double kFarthest = 3.0, kClose = 1e-10;
    if (largest > kFarthest) step *= kFarthest / largest;
    x += step;
    if (largest < kClose) break;
  }
  return n;
}

}  // namespace airchain::gas
