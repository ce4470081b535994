#pragma once

#include "airchain/cycle/droplets.hpp"
#include "airchain/cycle/setup.hpp"
#include "airchain/cycle/tally.hpp"
#include "airchain/cylinder/knock.hpp"
#include "airchain/pipe/paired_ends.hpp"
#include "airchain/pipe/pipe.hpp"

namespace airchain::cycle {

using numerics::abs;
using numerics::any;
using numerics::sqrt;
using numerics::where;

/// Largest step over the time in which sound fills the cylinder through its valves.
inline constexpr double kFilling = 0.5;
/// Weight of the new flow in the pressure half a step on: 1 would leave a wave from step to step
/// undamped where the valves are wide, 1.5 damps it by 0.58 a step.
inline constexpr double kFlowWeight = 1.5;

/// Ratio of heat capacities in the speed of sound that bounds a step: that of cold air, the highest
/// of any gas here, since a guess too quick only shortens the step.
inline constexpr double kQuickestRatio = 1.4;
/// Open area below which valves count as shut and bound no step [m^2].
inline constexpr double kShut = 1e-9;
/// Polytropic exponent of the pressure that compression and expansion alone would give, from which
/// Woschni's law takes the rise by the burn: 1.3 plus or minus 0.05 for mixtures of gasoline
/// [Heywood 1988, section 9.2.2, from memory].
inline constexpr double kMotoredExponent = 1.3;

/// Gas in the cylinder.
template <class T>
struct Vessel {
  T mass, energy, burned_mass;
  T temperature, pressure, volume;
};

/// What the inlet's closing fixes for the rest of the cycle.
template <class T>
struct Trapped {
  T mass, fresh, residual;
  T pressure, temperature, volume;
  T burn_start, burn_duration;
};

/// Cylinder, runner and primary over crank angle; lanes are operating points, each at its own
/// angle and with its own time step. A cycle runs from inlet closing to inlet closing.
///
/// The cylinder is one zone (its unburned gas a second one for knock only), stepped by the midpoint
/// rule: the valves see it half a step on, from the flows of the step before; valves without pipes
/// see the pressure that their own flow leaves. Its burned gas is in equilibrium (`Dissociation`);
/// what passes a valve has the fixed composition from there on, so that what is still dissociated
/// as it leaves gives its heat to the gas of the pipe. Left out: blow-by, crevices. Other
/// cylinders' pulses in plenum and collector come with the gas that `advance` is given (`engine`);
/// `step` is without them.
template <class T>
class Kernel {
 public:
  using Gas = gas::Charge;

  Kernel(const Setup& setup, const pipe::Shape& intake, const pipe::Shape& exhaust,
         const Controls& controls)
      : setup_(setup),
        controls_(controls),
        gas_(setup.mixture.fresh, setup.mixture.burned, setup.mixture.evaporated),
        intake_area_(intake.right_area()),
        exhaust_area_(exhaust.right_area()),
        collector_area_(exhaust.left_area()),
        plenum_area_(intake.left_area()),
        woschni_size_(cylinder::HeatLoss::size_factor(setup.crank.bore)),
        intake_pipe(intake, gas_),
        exhaust_pipe(exhaust, gas_) {
    intake_pipe.wall_temperature = T(setup.intake.wall_temperature);
    exhaust_pipe.wall_temperature = T(setup.exhaust.wall_temperature);
  }

  /// Angle of the cycle's start [rad]: inlet closing = end - 4 pi.
  double start_angle() const { return setup_.intake_valve.closing - 4.0 * base::kPi; }
  double end_angle() const { return setup_.intake_valve.closing; }

  const Setup& setup() const { return setup_; }
  const Gas& gas() const { return gas_; }

  /// Gas at rest outside both pipes.
  struct Outside {
    pipe::EndGas<T> plenum, collector;
  };
  /// Flux out of a pipe at its outer end and into the cylinder at its valve.
  struct Breath {
    pipe::Flux<T> outer, valve;
  };
  struct Breaths {
    Breath in, out;
  };

  /// One step of every lane, cut short where a lane's cycle ends, the gas outside that of the
  /// point. `watch` sees the kernel after it.
  template <class Watch>
  AIRCHAIN_INLINE void step(Watch&& watch);
  /// Longest step of each lane [s]: dt = min(courant crossing, 0.5 filling_time,
  /// largest_step/omega, rest of the cycle).
  AIRCHAIN_INLINE T longest_step() const;
  /// One step of every lane, each at most its `longest_step`, and what passed both pipes' ends.
  AIRCHAIN_INLINE Breaths advance(T dt, const Outside& outside);
  /// The point's gas outside, whatever flows.
  AIRCHAIN_INLINE Outside still_outside() const {
    return {pipe::still_gas(gas_, point.plenum_pressure, point.plenum_temperature, T(0.0)),
            pipe::still_gas(gas_, point.exhaust_pressure, point.collector_temperature, T(1.0))};
  }

  Point<T> point;
  T angle;
  Vessel<T> vessel;
  Trapped<T> trapped;
  Tally<T> tally;
  T unburned_temperature;
  Droplets<T> droplets;
  // Flows into the cylinder in the last step, for the half step ahead.
  T mass_rate, energy_rate, burned_rate;
  T bare_mass_rate, bare_energy_rate;  // their part through valves without pipes
  T open_area;                         // of both valves in the last step

 private:
  const Setup& setup_;
  Controls controls_;
  Gas gas_;
  double intake_area_, exhaust_area_, collector_area_, plenum_area_, woschni_size_;

 public:
  pipe::Pipe<T, Gas> intake_pipe, exhaust_pipe;

  /// What a lane's ends remember says nothing of another flow that is put there.
  void forget_ends(int lane) {
    for (auto* memory : {&outer_memory_, &valve_memory_}) {
      memory->forget(lane);
      memory->forget(lane + numerics::kLanes<T>);
    }
  }

 private:
  // Of the intake pipe, then of the exhaust pipe.
  pipe::EndMemory<pipe::Both<T>> outer_memory_, valve_memory_;

  struct Half {
    pipe::EndGas<T> gas;
    T volume, burned;  // share of the charge burned since ignition
  };

  /// Share of the charge burned at a step's start and end.
  struct Burn {
    T before, after;
  };

  /// Droplets in a step: the share of them that is vapour at its middle and its end.
  struct Evaporation {
    T square, middle, end, step;
  };

  /// What the valves open to, and their areas over the pipes'.
  struct Doors {
    pipe::EndGas<T> plenum, collector;
    T intake, exhaust;
  };

  /// Time in which sound would fill or empty the cylinder through its open valves. A longer step
  /// would overshoot the pressure outside: at low speed, with both valves open over a small volume.
  /// t = V/(A a) [s], a^2 = 1.4 p V/m.
  AIRCHAIN_INLINE T filling_time() const {
    const T sound_squared = T(kQuickestRatio) * vessel.pressure * vessel.volume / vessel.mass;
    return vessel.volume / (numerics::max(open_area, T(kShut)) * sqrt(sound_squared));
  }
  bool bare() const { return intake_pipe.size() == 0 || exhaust_pipe.size() == 0; }
  /// x = Burn::burned_at((angle - start)/duration).
  AIRCHAIN_INLINE T burned_share(T at) const {
    return setup_.burn.burned_at((at - trapped.burn_start) / trapped.burn_duration);
  }
  /// Mass that burns in a step: what is left of the charge burns as the law says of a closed
  /// cylinder, m = m_fresh (x_after - x_before)/(1 - x_before). What has left burns no more.
  AIRCHAIN_INLINE static T burnt_of(T fresh, const Burn& burn) {
    const T left = numerics::max(T(1.0) - burn.before, T(1e-12));
    return numerics::max(fresh, T(0.0)) * ((burn.after - burn.before) / left);
  }
  AIRCHAIN_INLINE Evaporation evaporation(T dt, T middle) const;
  /// Gas in the cylinder of an energy per mass.
  struct Found {
    T temperature, heat, gas_constant;
  };
  AIRCHAIN_INLINE Found found(T energy, T burned, T evaporated, T guess, T density) const;
  AIRCHAIN_INLINE Half half_step(T dt, T middle, const Evaporation& drops) const;
  AIRCHAIN_INLINE T settled_pressure(const Half& half, T dt, const Doors& doors) const;
  /// Both pipes' step, their ends solved together.
  AIRCHAIN_INLINE void breathe_together(const Doors& doors, const pipe::EndGas<T>& cylinder, T dt,
                                        Breath& in, Breath& out);
  /// One pipe's, or that of a valve without a pipe.
  AIRCHAIN_INLINE static Breath breathe(pipe::Pipe<T, Gas>& pipe, const pipe::EndGas<T>& outside,
                                        const pipe::EndGas<T>& cylinder, T area_ratio, T dt);
  AIRCHAIN_INLINE T heat_flow(const Half& half, T middle, T liner_area) const;
  AIRCHAIN_INLINE void finish_step(T dt, T middle, const Half& half, const Evaporation& drops,
                                   const pipe::Flux<T>& in, const pipe::Flux<T>& out);
  AIRCHAIN_INLINE void compress_unburned(T dt, T middle, const Burn& burn, const Evaporation& drops,
                                         T pressure_before, T pressure_between);
  /// Heat that a kilogram of fresh charge releases, that of its vapour with it.
  AIRCHAIN_INLINE T heat_of(T evaporated) const {
    return T(setup_.mixture.heat * setup_.burn.completeness) +
           T(setup_.mixture.latent_heat * setup_.burn.completeness) * evaporated;
  }
};

/// Pressure half a step on that agrees with the flow it lets through valves without pipes: flow and
/// pressure answer to each other faster than a step where they are nearly level.
///
///     p = p_still + 0.75 dt R/V (m' (T - u/cv) + E'/cv),   m', E' the flow at p
template <class T>
AIRCHAIN_INLINE T Kernel<T>::settled_pressure(const Half& half, T dt, const Doors& doors) const {
  const auto& gas = half.gas;
  const T push = T(0.5 * kFlowWeight) * dt * gas.gas_constant / half.volume;
  const T per_energy = T(1.0) / gas.heat;
  const T per_mass = gas.temperature - gas.energy * per_energy;
  const T still = gas.pressure - push * (per_mass * bare_mass_rate + per_energy * bare_energy_rate);
  T low = still, high = still;
  const bool intake = intake_pipe.size() == 0, exhaust = exhaust_pipe.size() == 0;
  for (const auto* door : {intake ? &doors.plenum : nullptr, exhaust ? &doors.collector : nullptr})
    if (door != nullptr) {
      low = numerics::min(low, door->pressure);
      high = numerics::max(high, door->pressure);
    }
  const T scale = T(1.0) / gas.pressure;
  const auto surplus = [&](T pressure) {
    auto cylinder = gas;
    cylinder.pressure = pressure;
    T rate(0.0);
    const auto add = [&](const pipe::EndGas<T>& outside, T area) {
      const auto flux = pipe::orifice_flux(outside, cylinder);
      rate += area * (per_mass * flux.mass + per_energy * flux.energy);
    };
    if (intake) add(doors.plenum, T(intake_area_) * doors.intake);
    if (exhaust) add(doors.collector, T(exhaust_area_) * doors.exhaust);
    return scale * (pressure - still - push * rate);
  };
  return numerics::bracketed_root<T>(surplus, numerics::max(low, T(1e-2) * gas.pressure), high,
                                     gas.pressure, scale, 1e-7, 1e-12)
      .x;
}

/// Woschni's heat to the walls [W], as `cylinder::HeatLoss` writes it:
///
///     Q = multiplier h sum of A_i (T - T_i),   p_motored = p_r (V_r/V)^1.3, at most p
template <class T>
AIRCHAIN_INLINE T Kernel<T>::heat_flow(const Half& half, T middle, T liner_area) const {
  using namespace cylinder;
  const T piston_speed = T(setup_.crank.stroke / base::kPi) * point.speed;
  const T ratio = trapped.volume / half.volume;
  const T motored = trapped.pressure * numerics::quick_pow(ratio, T(kMotoredExponent));
  const T over = numerics::max(half.gas.pressure - motored, T(0.0));
  const T stir = T(kWoschniBurn * setup_.crank.displacement()) * trapped.temperature /
                 (trapped.pressure * trapped.volume) * over;
  const auto closed = middle < T(setup_.exhaust_valve.opening);
  const auto lit = closed & (middle > trapped.burn_start);
  const T speed = where(closed, T(kWoschniClosed), T(kWoschniExchange)) * piston_speed +
                  where(lit, stir, T(0.0));
  const T h = HeatLoss::coefficient(woschni_size_, half.gas.pressure, half.gas.temperature, speed);
  return T(setup_.heat_loss.multiplier) * h *
         setup_.heat_loss.exposure(setup_.crank.piston_area(), liner_area, half.gas.temperature);
}

/// The whole step: dm = dt m', dE = dt (sum of A h - Q) - p dV + heat released, p = m R T/V.
template <class T>
AIRCHAIN_INLINE void Kernel<T>::finish_step(T dt, T middle, const Half& half,
                                            const Evaporation& drops, const pipe::Flux<T>& in,
                                            const pipe::Flux<T>& out) {
  const T ai(intake_area_), ae(exhaust_area_);
  mass_rate = ai * in.mass + ae * out.mass;
  burned_rate = ai * in.burned + ae * out.burned;
  const T next = numerics::min(angle + dt * point.speed, T(end_angle()));
  const T burned_before = tally.burned;
  const auto crank = setup_.crank.at(next);
  const T share = burned_share(next);
  const T fresh = vessel.mass - vessel.burned_mass;
  const T burn = burnt_of(fresh, {tally.burned, share});
  const T released = burn * heat_of(drops.middle);
  const T latent = T(setup_.mixture.latent_heat) * drops.step * fresh;
  const T liner = T(0.5) * (crank.liner_area + setup_.crank.liner_area(vessel.volume));
  const T heat = heat_flow(half, middle, liner);
  const T work = half.gas.pressure * (crank.volume - vessel.volume);
  energy_rate = ai * in.energy + ae * out.energy - heat;
  bare_mass_rate = bare_energy_rate = T(0.0);
  const auto add_bare = [&](int cells, T area, const pipe::Flux<T>& flux) {
    if (cells > 0) return;
    bare_mass_rate += area * flux.mass;
    bare_energy_rate += area * flux.energy;
  };
  add_bare(intake_pipe.size(), ai, in);
  add_bare(exhaust_pipe.size(), ae, out);
  tally.add_valves(dt * ai, in, dt * ae, out);
  tally.add_cylinder(middle, work, dt * heat, released, share);
  tally.evaporation += latent;

  vessel.mass += dt * mass_rate;
  vessel.burned_mass += dt * burned_rate + burn;
  vessel.energy += dt * energy_rate - work + released - latent;
  vessel.volume = crank.volume;
  const T burned = vessel.burned_mass / vessel.mass;
  const T vapour = (T(1.0) - burned) * drops.end;
  const auto at = found(vessel.energy / vessel.mass, burned, vapour, half.gas.temperature,
                        vessel.mass / vessel.volume);
  vessel.temperature = at.temperature;
  const T before = vessel.pressure;
  vessel.pressure = vessel.mass * at.gas_constant * vessel.temperature / vessel.volume;
  tally.add_peak(vessel.pressure, next);

  compress_unburned(dt, middle, {burned_before, share}, drops, before, half.gas.pressure);
  droplets.square = drops.square;
  angle = next;
}

}  // namespace airchain::cycle

#include "airchain/cycle/kernel_gas.hpp"
#include "airchain/cycle/kernel_step.hpp"
#include "airchain/cycle/kernel_unburned.hpp"
