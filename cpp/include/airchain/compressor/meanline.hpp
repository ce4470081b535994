#pragma once

#include "airchain/compressor/meanline_losses.hpp"

namespace airchain::compressor {

/// Whether a mean-line point was solved, or what chokes first. An unsolved point is NaN.
enum class MeanlineStatus { solved, inducer_choked, impeller_exit_choked, diffuser_choked };

/// One operating point of a stage: velocity triangles, losses one by one, and the result.
///
/// Method: one mean streamline; no inlet swirl; slip by Wiesner with Aungier's splitter count;
/// impeller losses of the set compiled in [Oh1997], with recirculation after [Coppage1956] and
/// wall roughness by [Haaland1983]; vaneless space by the equations of [Stanitz1952a] with
/// friction after [Japikse1982]; vanes as incidence, throat choking [Aungier2000] and channel
/// recovery; volute by [WeberKoronowski1986]. Constants stay at their published values.
///
/// Left out: inlet swirl, real-gas effects, shock losses in the inducer, heat to the walls,
/// bearing and seal drag, stall inside the impeller. Meant for tip Mach numbers to about 1.6.
struct MeanlinePoint {
  MeanlineStatus status = MeanlineStatus::solved;

  VelocityTriangle inlet_hub;
  VelocityTriangle inlet_mean;
  VelocityTriangle inlet_tip;
  VelocityTriangle impeller_exit;
  VelocityTriangle vaneless_exit;  ///< the vane leading edge, if vaned

  GasState inlet_state;
  GasState impeller_exit_state;
  GasState vaneless_exit_state;

  ImpellerLosses impeller_losses;
  ParasiticWork parasitic_work;
  PressureLosses pressure_losses;

  double slip_factor;
  double diffusion_factor;
  double euler_work;  ///< U2 Ct2 [J/kg]
  double work;        ///< Euler and parasitic work, the rise of total enthalpy [J/kg]

  double impeller_pressure_ratio;  ///< total to total
  double impeller_efficiency;      ///< isentropic, total to total
  double pressure_ratio;           ///< total to total
  double efficiency;               ///< isentropic, total to total
  double work_coefficient;         ///< work/U2^2
  double head_coefficient;         ///< isentropic work of the pressure ratio over U2^2

  double inducer_choke_ratio;  ///< flow over that which chokes the inducer throat
  double vane_choke_ratio;     ///< flow over that which chokes the vane throat; 0 if vaneless
  /// Diffuser stall, 1 at the limit: cotangents of limiting over inlet angle when vaneless,
  /// recovery before the vane throat over its limit when vaned (meanline_diffuser.hpp).
  double stall_ratio;
};

/// The stage at `speed` [rad/s] and `mass_flow` [kg/s], drawing gas in the reference state.
///
/// Throws InputError for dimensions, speed or flow out of range; never for a choked point.
///
///     Ct2 = sigma U2 - Cm2 tan(beta2),   Cm2 = W/(rho2 A2),   work = U2 Ct2 + parasitic work
///     p02 = p01 (1 + (U2 Ct2 - impeller losses)/(cp T01))^(gamma/(gamma - 1))
///     efficiency = cp T01 (PR^((gamma - 1)/gamma) - 1)/work
MeanlinePoint meanline_point(const Stage& stage, double speed, double mass_flow,
                             const ReferenceState& inlet = {});

/// The same for a stage, speed and inlet already checked.
MeanlinePoint solve_meanline(const Stage& stage, double speed, double mass_flow,
                             const ReferenceState& inlet);

/// Checks stage, inlet and speed [rad/s]; the tip Mach number must stay within 0.05 to 2.
void require_meanline_input(const Stage& stage, double speed, const ReferenceState& inlet);

/// Mass flow [kg/s] that chokes the inducer throat in the rotating frame.
///
///     W = A rho01 a01 ((2 + (gamma - 1)(U1/a01)^2)/(gamma + 1))^((gamma + 1)/(2 (gamma - 1)))
///                                                                       [Dixon and Hall, ch. 7]
double inducer_choke_flow(const Impeller& impeller, double speed, const ReferenceState& inlet);

}  // namespace airchain::compressor
