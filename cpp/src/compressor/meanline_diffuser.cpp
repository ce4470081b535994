#include "airchain/compressor/meanline_diffuser.hpp"

#include <array>
#include <cmath>

namespace airchain::compressor {
namespace {

using base::kPi;
namespace k = meanline_constants;

/// Angular momentum [m^2/s] and entropy risen over R [1].
using Carried = std::array<double, 2>;

struct VanelessSpace {
  const PerfectGas& gas;
  const Diffuser& diffuser;
  double inlet_radius;
  double total_temperature;
  double inlet_total_pressure;
  double mass_flow;
  double friction;

  double width(double r) const {
    const double share = (r - inlet_radius) / (diffuser.exit_radius - inlet_radius);
    return diffuser.inlet_width + share * (diffuser.exit_width - diffuser.inlet_width);
  }
  double total_pressure(const Carried& y) const { return inlet_total_pressure * std::exp(-y[1]); }
  double meridional(double r, const Carried& y, double guess) const {
    return through_flow_velocity(gas, total_temperature, total_pressure(y), y[0] / r, mass_flow,
                                 2.0 * kPi * r * width(r), guess);
  }
  /// Derivatives by ln r, with the meridional velocity there.
  Carried rates(double r, const Carried& y, double cm) const {
    const double tangential = y[0] / r;
    const double square = tangential * tangential + cm * cm;
    const double temperature = total_temperature - 0.5 * square / gas.heat_capacity();
    const double drag = friction * std::sqrt(square) * r / (width(r) * cm);
    return {-drag * tangential * r, drag * square / (gas.gas_constant * temperature)};
  }
};

/// What enters the volute.
struct VoluteInlet {
  double radius;
  double meridional;
  double tangential;
  GasState state;
};

VoluteInlet pass_vanes(const PerfectGas& gas, const Vanes& vanes, double mass_flow,
                       MeanlinePoint& p) {
  const GasState& edge = p.vaneless_exit_state;
  const double dynamic = edge.total_pressure - edge.pressure;
  p.vane_choke_ratio = mass_flow / choked_mass_flow(gas, edge.total_temperature,
                                                    edge.total_pressure, vanes.throat_area);
  const double throat_speed = through_flow_velocity(
      gas, edge.total_temperature, edge.total_pressure, 0.0, mass_flow, vanes.throat_area);
  const GasState throat = moving(gas, edge.total_temperature, edge.total_pressure, throat_speed);
  const double turn = std::sin(p.vaneless_exit.absolute_angle - vanes.leading_edge_angle);
  p.pressure_losses.vane_incidence = k::kIncidence * turn * turn * dynamic;
  p.pressure_losses.vane_choking = choking_loss_coefficient(p.vane_choke_ratio) * dynamic;
  p.pressure_losses.vane_channel = (1.0 - k::kChannelEffectiveness) *
                                   (1.0 - 1.0 / (vanes.area_ratio * vanes.area_ratio)) *
                                   (throat.total_pressure - throat.pressure);
  p.stall_ratio = (throat.pressure - edge.pressure) / dynamic / k::kVanedStallRecovery;

  const double left = edge.total_pressure - p.pressure_losses.vane_incidence -
                      p.pressure_losses.vane_choking - p.pressure_losses.vane_channel;
  const double speed = through_flow_velocity(gas, edge.total_temperature, left, 0.0, mass_flow,
                                             vanes.throat_area * vanes.area_ratio);
  GasState exit = moving(gas, edge.total_temperature, left, speed);
  p.pressure_losses.downstream = vanes.downstream_loss_coefficient * (left - exit.pressure);
  exit.total_pressure -= p.pressure_losses.downstream;
  return {vanes.exit_radius, speed * std::cos(vanes.exit_angle), speed * std::sin(vanes.exit_angle),
          exit};
}

void pass_volute(const PerfectGas& gas, const Volute& volute, double mass_flow,
                 const VoluteInlet& in, PressureLosses& losses) {
  const double dynamic = in.state.total_pressure - in.state.pressure;
  const double square = in.meridional * in.meridional + in.tangential * in.tangential;
  const auto section_speed = [&](double area) {
    return through_flow_velocity(gas, in.state.total_temperature, in.state.total_pressure, 0.0,
                                 mass_flow, area);
  };
  const double throat = section_speed(volute.throat_area);
  const double flange = section_speed(volute.exit_area);
  const double size = in.radius * in.tangential / (volute.throat_radius * throat);
  const double swirl = in.radius * in.tangential * in.tangential / (volute.throat_radius * square);
  const double inverse = 1.0 / size;
  losses.volute_tangential =
      dynamic * swirl *
      (size >= 1.0 ? 0.5 * (1.0 - inverse * inverse) : (1.0 - inverse) * (1.0 - inverse));
  losses.volute_meridional = dynamic * in.meridional * in.meridional / square;
  const double diameter = std::sqrt(4.0 * volute.throat_area / kPi);
  const double length = 0.5 * kPi * (in.radius + volute.throat_radius);
  const double reynolds =
      in.state.density * throat * diameter / air_viscosity(in.state.temperature);
  losses.volute_friction = dynamic * 4.0 * friction_factor(reynolds, volute.roughness / diameter) *
                           throat * throat / square * length / diameter;
  losses.volute_cone = dynamic * (throat - flange) * (throat - flange) / square;
}

}  // namespace

double vaneless_stall_angle(double width_over_radius) {
  return (90.0 - 5.5 - 62.0 * width_over_radius) * kPi / 180.0;
}

void solve_vaneless_space(const PerfectGas& gas, const Stage& stage, double mass_flow,
                          MeanlinePoint& p) {
  constexpr int kSteps = 12;
  const double inlet_radius = stage.impeller.exit_radius;
  const GasState& in = p.impeller_exit_state;
  const double reynolds = in.density * p.impeller_exit.absolute * stage.impeller.exit_width /
                          air_viscosity(in.temperature);
  const VanelessSpace space{gas,
                            stage.diffuser,
                            inlet_radius,
                            in.total_temperature,
                            in.total_pressure,
                            mass_flow,
                            k::kVanelessFriction * std::pow(1.8e5 / reynolds, 0.2)};
  const double step = std::log(stage.diffuser.exit_radius / inlet_radius) / kSteps;
  const double half = std::exp(0.5 * step);
  Carried y{inlet_radius * p.impeller_exit.tangential, 0.0};
  double r = inlet_radius;
  double cm = p.impeller_exit.meridional;
  double before = cm;
  const auto velocity = [&](const Carried& here) {
    const double guess = cm * cm / before;  // nearly a power of the radius
    before = cm;
    return cm = space.meridional(r, here, guess);
  };
  for (int i = 0; i < kSteps; ++i) {  // midpoint rule
    const Carried a = space.rates(r, y, velocity(y));
    const Carried middle{y[0] + 0.5 * step * a[0], y[1] + 0.5 * step * a[1]};
    r *= half;
    const Carried b = space.rates(r, middle, velocity(middle));
    r *= half;
    y = {y[0] + step * b[0], y[1] + step * b[1]};
  }
  const double meridional = velocity(y);
  if (!(meridional > 0.0)) {
    p.status = MeanlineStatus::diffuser_choked;
    return;
  }
  const double tangential = y[0] / r;
  p.vaneless_exit_state = moving(gas, in.total_temperature, space.total_pressure(y),
                                 std::sqrt(meridional * meridional + tangential * tangential));
  p.vaneless_exit =
      velocity_triangle(gas, r, 0.0, meridional, tangential, p.vaneless_exit_state.temperature);
  p.pressure_losses.vaneless_friction = in.total_pressure - p.vaneless_exit_state.total_pressure;
  const double limit = vaneless_stall_angle(stage.diffuser.inlet_width / inlet_radius);
  p.stall_ratio = std::tan(p.impeller_exit.absolute_angle) / std::tan(limit);
}

double solve_vanes_and_volute(const PerfectGas& gas, const Stage& stage, double mass_flow,
                              MeanlinePoint& p) {
  VoluteInlet in{p.vaneless_exit.radius, p.vaneless_exit.meridional, p.vaneless_exit.tangential,
                 p.vaneless_exit_state};
  if (stage.diffuser.vanes) in = pass_vanes(gas, *stage.diffuser.vanes, mass_flow, p);
  double exit = in.state.total_pressure;
  if (stage.volute) {
    pass_volute(gas, *stage.volute, mass_flow, in, p.pressure_losses);
    exit -= p.pressure_losses.volute_tangential + p.pressure_losses.volute_meridional +
            p.pressure_losses.volute_friction + p.pressure_losses.volute_cone;
  }
  if (!(exit > 0.0)) p.status = MeanlineStatus::diffuser_choked;
  return exit;
}

}  // namespace airchain::compressor
