#pragma once

#include "airchain/compressor/meanline_flow.hpp"
#include "airchain/compressor/meanline_stage.hpp"

namespace airchain::compressor {

/// Flow in the fixed and in the rotating frame at one radius; speeds in m/s, angles in rad.
struct VelocityTriangle {
  double radius;
  double blade_speed;
  double meridional;
  double tangential;
  double absolute;
  double relative;
  double absolute_angle;  ///< of the absolute velocity from the meridional plane
  double relative_angle;  ///< of the relative velocity, positive against rotation
  double mach;
};

/// The velocities alone; angles and Mach number are NaN.
VelocityTriangle velocities(double radius, double blade_speed, double meridional,
                            double tangential);

///     Wt = U - Ct,   C^2 = Cm^2 + Ct^2,   W^2 = Cm^2 + Wt^2
///     tan(alpha) = Ct/Cm,   tan(beta) = Wt/Cm,   M = C/a,   M_rel = W/a,   a = sqrt(gamma R T)
VelocityTriangle velocity_triangle(const PerfectGas& gas, double radius, double blade_speed,
                                   double meridional, double tangential, double temperature);

/// Work lost inside the impeller [J/kg]: it lowers the exit total pressure.
struct ImpellerLosses {
  double incidence;
  double inducer_choking;
  double blade_loading;  ///< 0.05 Df^2 U2^2                                       [Coppage1956]
  double skin_friction;
  double clearance;
  double mixing;

  double sum() const {
    return incidence + inducer_choking + blade_loading + skin_friction + clearance + mixing;
  }
};

/// Work spent beside the through-flow [J/kg]: it heats the gas and raises no pressure.
struct ParasiticWork {
  double disc_friction;
  double recirculation;
  double leakage;

  double sum() const { return disc_friction + recirculation + leakage; }
};

/// Total pressure lost behind the impeller [Pa].
struct PressureLosses {
  double vaneless_friction;
  double vane_incidence;
  double vane_choking;
  double vane_channel;
  double downstream;
  double volute_tangential;
  double volute_meridional;
  double volute_friction;
  double volute_cone;
};

/// Published constants of the loss models; the same for every machine.
namespace meanline_constants {
inline constexpr double kIncidence = 0.6;       ///< 0.5 to 0.7                      [Conrad1980]
inline constexpr double kBladeLoading = 0.05;   ///<                               [Coppage1956]
inline constexpr double kRecirculation = 0.02;  ///<                               [Coppage1956]
inline constexpr double kClearance = 0.6;       ///<                                [Jansen1967]
inline constexpr double kWakeFraction = 0.35;   ///< share of the exit passage     [Eckardt1976]
inline constexpr double kVanelessFriction = 0.010;  ///< 0.005 to 0.02            [Japikse1982]
inline constexpr double kChannelEffectiveness =
    0.80;  ///< unstalled, thin inlet layers [Runstadler1975]
inline constexpr double kVanedStallRecovery =
    0.40;  ///< vane edge to throat, 0.35 to 0.45 [Kenny1972]
}  // namespace meanline_constants

/// Blade length along the mean camber [m] and hydraulic diameter [m] of the passage [Jansen1967].
struct Passage {
  double length;
  double diameter;
};

Passage passage_of(const Impeller& impeller);

/// What the exit-side losses depend on, at one trial exit state; `exit` may lack its angles.
struct ImpellerState {
  Passage passage;
  double mass_flow;
  double inlet_density;
  double inlet_temperature;
  double exit_density;
  double exit_temperature;
  VelocityTriangle hub;
  VelocityTriangle mean;
  VelocityTriangle tip;
  VelocityTriangle exit;
};

/// Flow angle at which the inducer works best [rad]: the blade angle less the turn that blade
/// thickness asks for, B = Z t/(2 pi r cos(beta)), Z of the full blades.
///
///     beta_opt = beta - atan(B tan(beta)/(1 + (1 - B) tan^2(beta)))    [Stanitz1953; Galvas1973]
double best_incidence_angle(const Impeller& impeller);

/// Work lost by incidence at the mean radius [J/kg], f = 0.6.
///
///     dh = f (W1 sin|beta1 - beta_opt|)^2/2                                          [Conrad1980]
double incidence_loss(const Impeller& impeller, const VelocityTriangle& mean);

/// Loss coefficient near choke [1], in a throat or between vanes; zero below 10/11 of it.
///
///     zeta = (0.05 X + X^7)/2,   X = 11 - 10 (choking flow)/(flow)     [Aungier1995; Aungier2000]
double choking_loss_coefficient(double flow_over_choke);

/// Diffusion factor of the blade passage.
///
///     Df = 1 - W2/W1t + 0.75 (U2 Ct2/U2^2)/((W1t/W2)(Z/pi (1 - r1t/r2) + 2 r1t/r2))
///                                                                                   [Coppage1956]
double diffusion_factor(const Impeller& impeller, const ImpellerState& state);

/// Work lost by friction over the mean passage of length L and hydraulic diameter D [J/kg], cf by
/// `friction_factor` at the mean density and viscosity of both ends.
///
///     dh = 2 cf (L/D) W^2,   W = (C1t + C2 + W1t + 2 W1h + 3 W2)/8           [Jansen1967; Oh1997]
///     L = pi/4 (2 r2 - d - b2 + 2 axial length)/(c1 + c2),   d = r1t + r1h,   c2 = cos(beta2)
///     D = 2 r2 c2/(Z/pi + 2 r2 c2/b2) + d c1/(Z_full/pi + d c1/(r1t - r1h))
///     c1 the mean of the cosines of the blade angles at tip and hub
double skin_friction_loss(const Impeller& impeller, const ImpellerState& state);

/// Work lost by the flow through the clearance s to the shroud [J/kg].
///
///     dh = 0.6 (s/b2) Ct2
///          sqrt(4 pi/(b2 Z) (r1t^2 - r1h^2)/((r2 - r1t)(1 + rho2/rho1)) Ct2 Cm1)
///                                                                            [Jansen1967; Oh1997]
double clearance_loss(const Impeller& impeller, const ImpellerState& state);

/// Work lost as wake and jet mix [J/kg], e = 0.35 the wake's share of the exit passage, b* the
/// diffuser's width over the impeller's.
///
///     dh = ((1 - e - b*)/(1 - e))^2 C2^2/(2 (1 + tan^2(alpha2)))       [JohnstonDean1966; Oh1997]
double mixing_loss(double width_ratio, const VelocityTriangle& exit);

/// Work that the disc spends by friction [J/kg], W the mass flow, Re = rho2 U2 r2/mu2.
///
///     dh = f rho_mean r2^2 U2^3/(4 W)                                     [DailyNece1960; Oh1997]
///     f = 2.67/Re^0.5 below Re = 3e5, 0.0622/Re^0.2 above
double disc_friction_work(const Impeller& impeller, const ImpellerState& state);

/// Work that flow spends which runs back into the impeller [J/kg].
///
///     dh = 0.02 sqrt(tan(alpha2)) Df^2 U2^2                                         [Coppage1956]
///
/// Oh's own 8e-5 sinh(3.5 alpha2^3) is not used: beyond 75 degrees it grows without bound, against
/// the measured work of the NASA HECC stage.
double recirculation_work(double diffusion, const VelocityTriangle& exit);

/// Work that leakage through the blade clearance spends, driven by blade loading [J/kg].
///
///     dh = W_leak u U2/(2 W),   W_leak = rho2 Z s L u,   u = 0.816 sqrt(2 dp/rho2)  [Aungier1995]
///     dp = W r2 Ct2/(Z r b L),   r = (r1 + r2)/2,   b = (r1t - r1h + b2)/2
double leakage_work(const Impeller& impeller, const ImpellerState& state);

}  // namespace airchain::compressor
