#pragma once

#include "airchain/compressor/meanline.hpp"

namespace airchain::compressor {

/// Flow angle from the radius [rad] at which a vaneless diffuser begins to stall.
///
///     alpha = 90 deg - (5.5 + 62 b/r) deg,   b width and r radius at its inlet
///
/// A straight line through the chart of [Senoo and Kinoshita 1977], from memory, good to about
/// 2 degrees for b/r from 0.03 to 0.2; `validate` lets it be stretched to 0.4.
double vaneless_stall_angle(double width_over_radius);

/// Carries the flow from the impeller exit to the end of the vaneless space.
///
///     d(r Ct)/dr = -cf r C Ct/(b Cm)     T ds/dr = cf C^3/(b Cm)     rho r b Cm = const
///                                                                       [Stanitz1952a]
///     cf = 0.010 (1.8e5/Re)^0.2,  Re = rho2 C2 b2/mu2                     [Japikse1982]
///
/// Sets `vaneless_exit`, `vaneless_exit_state`, the friction loss and the stall ratio.
void solve_vaneless_space(const PerfectGas& gas, const Stage& stage, double mass_flow,
                          MeanlinePoint& point);

/// Carries it on through vanes and volute and returns the stage's exit total pressure [Pa]; NaN
/// with status `diffuser_choked` where an area will not pass the flow.
///
/// Vanes: Conrad's incidence loss, Aungier's choking loss, and (1 - 0.80)(1 - 1/AR^2) of the throat
/// dynamic pressure. With vanes the stall ratio is the pressure recovery from vane edge to throat
/// over 0.40. Volute [WeberKoronowski1986], SP = r Ct/(r6 C6), in dynamic pressures p0 - p:
///     tangential  r Ct^2/(2 r6 C^2) (1 - 1/SP^2) for SP >= 1, r Ct^2/(r6 C^2) (1 - 1/SP)^2 below
///     meridional  (Cm/C)^2      friction  4 f (C6/C)^2 L/D      cone  ((C6 - C7)/C)^2
double solve_vanes_and_volute(const PerfectGas& gas, const Stage& stage, double mass_flow,
                              MeanlinePoint& point);

}  // namespace airchain::compressor
