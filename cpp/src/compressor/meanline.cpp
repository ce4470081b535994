#include "airchain/compressor/meanline.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "airchain/base/guards.hpp"
#include "airchain/compressor/meanline_diffuser.hpp"
#include "airchain/compressor/slip.hpp"

namespace airchain::compressor {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

constexpr GasState kNoState{kNan, kNan, kNan, kNan, kNan};
constexpr VelocityTriangle kNoTriangle{kNan, kNan, kNan, kNan, kNan, kNan, kNan, kNan, kNan};

MeanlinePoint unsolved(MeanlineStatus status) {
  return {status,
          kNoTriangle,
          kNoTriangle,
          kNoTriangle,
          kNoTriangle,
          kNoTriangle,
          kNoState,
          kNoState,
          kNoState,
          {kNan, kNan, kNan, kNan, kNan, kNan},
          {kNan, kNan, kNan},
          {kNan, kNan, kNan, kNan, kNan, kNan, kNan, kNan, kNan},
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan,
          kNan};
}

/// One stage at one speed and flow; `update` recomputes all that hangs on the exit density.
class ImpellerSolver {
 public:
  ImpellerSolver(const PerfectGas& gas, const Stage& stage, double speed, double mass_flow,
                 const ReferenceState& inlet, MeanlinePoint& point)
      : gas_(gas), impeller_(stage.impeller), mass_flow_(mass_flow), inlet_(inlet), point_(point) {
    width_ratio_ = stage.diffuser.inlet_width / impeller_.exit_width;
    tip_speed_ = speed * impeller_.exit_radius;
    const double blades = effective_blades(impeller_);
    exit_area_ = impeller_.exit_width *
                 (2.0 * base::kPi * impeller_.exit_radius * (1.0 - impeller_.exit_blockage) -
                  blades * impeller_.exit_blade_thickness / std::cos(impeller_.exit_backsweep));
    passage_ = passage_of(impeller_);
    backsweep_tangent_ = std::tan(impeller_.exit_backsweep);
    point_.slip_factor = wiesner_slip(blades, impeller_.exit_backsweep,
                                      inlet_mean_radius(impeller_) / impeller_.exit_radius);
  }

  bool solve_inlet(double speed) {
    const double annulus = base::kPi * (1.0 - impeller_.inlet_blockage) *
                           (impeller_.inlet_tip_radius * impeller_.inlet_tip_radius -
                            impeller_.inlet_hub_radius * impeller_.inlet_hub_radius);
    const double axial =
        through_flow_velocity(gas_, inlet_.temperature, inlet_.pressure, 0.0, mass_flow_, annulus);
    if (!(axial > 0.0)) return false;
    point_.inlet_state = moving(gas_, inlet_.temperature, inlet_.pressure, axial);
    const auto triangle = [&](double radius) {
      return velocity_triangle(gas_, radius, speed * radius, axial, 0.0,
                               point_.inlet_state.temperature);
    };
    point_.inlet_hub = triangle(impeller_.inlet_hub_radius);
    point_.inlet_mean = triangle(inlet_mean_radius(impeller_));
    point_.inlet_tip = triangle(impeller_.inlet_tip_radius);
    const double relative = point_.inlet_mean.relative;
    point_.impeller_losses.incidence = incidence_loss(impeller_, point_.inlet_mean);
    point_.impeller_losses.inducer_choking =
        choking_loss_coefficient(point_.inducer_choke_ratio) * 0.5 * relative * relative;
    return true;
  }

  /// Secant from the densest exit down to the subsonic root; false where there is none.
  bool solve_exit() {
    const double most_rise = tip_speed_ * tip_speed_ / (gas_.heat_capacity() * inlet_.temperature);
    double x = inlet_.pressure / (gas_.gas_constant * inlet_.temperature) *
               std::pow(1.0 + 1.2 * most_rise, 1.0 / (gas_.gamma - 1.0));
    double f = x - update(x);
    double slope = 1.0;
    for (int i = 0; i < 60; ++i) {
      const double next = std::clamp(x - f / slope, 0.6 * x, 1.4 * x);
      const double f_next = next - update(next);
      const double rise = (f_next - f) / (next - x);
      if (std::fabs(f_next) <= 1e-12 * next) {
        if (!sound_ || !(rise > 0.0 || next == x)) return false;
        const VelocityTriangle& exit = point_.impeller_exit;
        point_.impeller_exit =
            velocity_triangle(gas_, exit.radius, exit.blade_speed, exit.meridional, exit.tangential,
                              point_.impeller_exit_state.temperature);
        return true;
      }
      slope = std::max(rise, 0.02);
      x = next;
      f = f_next;
    }
    return false;
  }

 private:
  /// Exit density that follows from a trial one.
  double update(double density) {
    const double meridional = mass_flow_ / (density * exit_area_);
    const double tangential = point_.slip_factor * tip_speed_ - meridional * backsweep_tangent_;
    point_.euler_work = tip_speed_ * tangential;
    const double square = meridional * meridional + tangential * tangential;
    const double cp = gas_.heat_capacity();

    // Viscosity is taken before the parasitic work heats the gas: a few kelvin.
    const double cool = inlet_.temperature + (point_.euler_work - 0.5 * square) / cp;
    sound_ = cool > 0.3 * inlet_.temperature;
    if (!sound_) return 0.5 * density;
    point_.impeller_exit = velocities(impeller_.exit_radius, tip_speed_, meridional, tangential);
    set_losses({passage_, mass_flow_, point_.inlet_state.density, point_.inlet_state.temperature,
                density, cool, point_.inlet_hub, point_.inlet_mean, point_.inlet_tip,
                point_.impeller_exit});

    point_.work = point_.euler_work + point_.parasitic_work.sum();
    const double total_temperature = inlet_.temperature + point_.work / cp;
    const double ideal =
        1.0 + (point_.euler_work - point_.impeller_losses.sum()) / (cp * inlet_.temperature);
    sound_ = ideal > 0.3;
    if (!sound_) return 0.5 * density;
    point_.impeller_exit_state = moving(
        gas_, total_temperature, inlet_.pressure * gas_.pressure_ratio(ideal), std::sqrt(square));
    return point_.impeller_exit_state.density;
  }

  void set_losses(const ImpellerState& state) {
    const double diffusion = diffusion_factor(impeller_, state);
    point_.diffusion_factor = diffusion;
    ImpellerLosses& losses = point_.impeller_losses;
    losses.blade_loading =
        meanline_constants::kBladeLoading * diffusion * diffusion * tip_speed_ * tip_speed_;
    losses.skin_friction = skin_friction_loss(impeller_, state);
    losses.clearance = clearance_loss(impeller_, state);
    losses.mixing = mixing_loss(width_ratio_, state.exit);
    point_.parasitic_work = {disc_friction_work(impeller_, state),
                             recirculation_work(diffusion, state.exit),
                             leakage_work(impeller_, state)};
  }

  const PerfectGas& gas_;
  const Impeller& impeller_;
  double mass_flow_;
  const ReferenceState& inlet_;
  MeanlinePoint& point_;
  double width_ratio_ = 0.0;
  double tip_speed_ = 0.0;
  double exit_area_ = 0.0;
  double backsweep_tangent_ = 0.0;
  Passage passage_{};
  bool sound_ = false;
};

void set_ratios(const PerfectGas& gas, const ReferenceState& inlet, double exit_pressure,
                double tip_speed, MeanlinePoint& p) {
  const auto head = [&](double ratio) {
    return gas.heat_capacity() * inlet.temperature *
           std::expm1((gas.gamma - 1.0) / gas.gamma * std::log(ratio));
  };
  p.impeller_pressure_ratio = p.impeller_exit_state.total_pressure / inlet.pressure;
  p.impeller_efficiency = head(p.impeller_pressure_ratio) / p.work;
  p.pressure_ratio = exit_pressure / inlet.pressure;
  p.efficiency = head(p.pressure_ratio) / p.work;
  p.work_coefficient = p.work / (tip_speed * tip_speed);
  p.head_coefficient = head(p.pressure_ratio) / (tip_speed * tip_speed);
}

}  // namespace

double inducer_choke_flow(const Impeller& impeller, double speed, const ReferenceState& inlet) {
  const double g = inlet.gamma;
  const double sonic = std::sqrt(g * inlet.gas_constant * inlet.temperature);
  const double density = inlet.pressure / (inlet.gas_constant * inlet.temperature);
  const double mach = speed * inlet_mean_radius(impeller) / sonic;
  return impeller.inducer_throat_area * density * sonic *
         std::pow((2.0 + (g - 1.0) * mach * mach) / (g + 1.0), 0.5 * (g + 1.0) / (g - 1.0));
}

MeanlinePoint solve_meanline(const Stage& stage, double speed, double mass_flow,
                             const ReferenceState& inlet) {
  const PerfectGas gas{inlet.gamma, inlet.gas_constant};
  MeanlinePoint p{};
  p.inducer_choke_ratio = mass_flow / inducer_choke_flow(stage.impeller, speed, inlet);
  if (p.inducer_choke_ratio > 1.0) return unsolved(MeanlineStatus::inducer_choked);
  ImpellerSolver impeller(gas, stage, speed, mass_flow, inlet, p);
  if (!impeller.solve_inlet(speed)) return unsolved(MeanlineStatus::inducer_choked);
  if (!impeller.solve_exit()) return unsolved(MeanlineStatus::impeller_exit_choked);
  solve_vaneless_space(gas, stage, mass_flow, p);
  if (p.status != MeanlineStatus::solved) return unsolved(p.status);
  const double exit_pressure = solve_vanes_and_volute(gas, stage, mass_flow, p);
  if (p.status != MeanlineStatus::solved) return unsolved(p.status);
  set_ratios(gas, inlet, exit_pressure, speed * stage.impeller.exit_radius, p);
  return p;
}

void require_meanline_input(const Stage& stage, double speed, const ReferenceState& inlet) {
  validate(stage);
  base::require_fields(inlet);
  base::require("Meanline", "speed", speed, "rad/s", base::above_up_to(0.0, 3e4));
  const double mach = speed * stage.impeller.exit_radius /
                      std::sqrt(inlet.gamma * inlet.gas_constant * inlet.temperature);
  base::require("Meanline", "tip Mach number", mach, "1", base::between(0.05, 2.0),
                "check speed (rad/s, not rpm) and exit_radius");
}

MeanlinePoint meanline_point(const Stage& stage, double speed, double mass_flow,
                             const ReferenceState& inlet) {
  require_meanline_input(stage, speed, inlet);
  base::require("Meanline", "mass_flow", mass_flow, "kg/s", base::above_up_to(0.0, 100.0));
  return solve_meanline(stage, speed, mass_flow, inlet);
}

}  // namespace airchain::compressor
