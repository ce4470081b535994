#pragma once

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/cylinder/mean_value.hpp"
#include "airchain/numerics/elementary.hpp"

namespace airchain::cylinder {

/// The four-stroke engine's size and rubbing losses.
template <class T>
struct Engine {
  static constexpr const char* kName = "Engine";
  T displacement{base::kRequired};
  T stroke{base::kRequired};
  T compression_ratio{base::kRequired};
  T speed_limit{base::kRequired};
  T friction_constant{0.4e5};
  T friction_pressure{0.005};
  T friction_speed{9.0e3};
  T friction_speed_squared{90.0};
  T valve_loss{mean_value::kValveLoss};

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("displacement", &Engine::displacement, "m^3", between(1e-5, 0.05),
              "swept volume of all cylinders"),
        field("stroke", &Engine::stroke, "m", between(0.02, 0.25), "piston travel"),
        field("compression_ratio", &Engine::compression_ratio, "1", between(5.0, 20.0),
              "volume at bottom centre over volume at top centre"),
        field("speed_limit", &Engine::speed_limit, "rad/s", between(50.0, 2500.0),
              "highest crank speed allowed"),
        field("friction_constant", &Engine::friction_constant, "Pa", between(0.0, 5e5),
              "friction mean effective pressure at no load and speed"),
        field("friction_pressure", &Engine::friction_pressure, "1", between(0.0, 0.05),
              "friction mean effective pressure per peak cylinder pressure"),
        field("friction_speed", &Engine::friction_speed, "Pa s/m", between(0.0, 5e4),
              "friction mean effective pressure per mean piston speed"),
        field("friction_speed_squared", &Engine::friction_speed_squared, "Pa s^2/m^2",
              between(0.0, 2e3), "friction mean effective pressure per mean piston speed squared"),
        field("valve_loss", &Engine::valve_loss, "1", between(0.0, 1e3),
              "pressure lost through open valves in the pumping loop over charge density and mean "
              "piston speed squared: 65 to 220 by the cycle, some 130 with two valves a cylinder "
              "and 88 "
              "with four; not asked where a surface tells the pumping")};
  }

  /// Mean piston speed [m/s] at a crank speed [rad/s]: U = stroke omega/pi.
  AIRCHAIN_INLINE T mean_piston_speed(T engine_speed) const {
    return stroke * engine_speed * T(1.0 / base::kPi);
  }
  /// Cycles a second times displacement [m^3/s]: V' = V_d omega/(4 pi).
  AIRCHAIN_INLINE T displaced_rate(T engine_speed) const {
    return displacement * engine_speed * T(0.25 / base::kPi);
  }
  /// Friction mean effective pressure [Pa]:
  ///
  ///     fmep = a + b p_max + c U + d U^2
  ///
  /// Form of Chen and Flynn (SAE 650733); default constants of its common use on spark-ignition
  /// engines (from memory). Pumping apart.
  AIRCHAIN_INLINE T friction_pressure_at(T peak_pressure, T piston_speed) const {
    return friction_constant + friction_pressure * peak_pressure +
           piston_speed * (friction_speed + friction_speed_squared * piston_speed);
  }
  /// Work lost in the gas exchange over displacement [Pa]; negative when boost gains.
  ///
  ///     pmep = p_exhaust - p_plenum + p_plenum exchange_loss
  AIRCHAIN_INLINE T pumping_pressure(T exhaust_pressure, T plenum_pressure, T density,
                                     T piston_speed, T volumetric_efficiency) const {
    return exhaust_pressure - plenum_pressure +
           plenum_pressure * exchange_loss(valve_loss, density, piston_speed, plenum_pressure,
                                           exhaust_pressure, volumetric_efficiency);
  }
};

/// Tailpipe, silencer and primaries behind the valves.
template <class T>
struct Exhaust {
  static constexpr const char* kName = "Exhaust";
  T loss_coefficient{2.0};
  T area{0.012};

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("loss_coefficient", &Exhaust::loss_coefficient, "1", base::between(0.0, 1e3),
              "pressure lost over the dynamic pressure in `area`"),
        field("area", &Exhaust::area, "m^2", base::between(base::kLeastFlowArea, 1.0),
              "flow area of all exhaust pipes together")};
  }
  /// k = 2 K/A^2 [1/m^4].
  AIRCHAIN_INLINE T resistance() const { return T(2.0) * loss_coefficient / (area * area); }
  /// Mean pressure behind the exhaust valves [Pa]; density taken there, so that
  /// p^2 - p_ambient p = K R T W^2 / (2 A^2), p = (p_ambient + sqrt(p_ambient^2 + k R T W^2))/2.
  AIRCHAIN_INLINE static T back_pressure(T resistance, T ambient_pressure, T mass_flow,
                                         T gas_constant_temperature) {
    return T(0.5) *
           (ambient_pressure + sqrt(ambient_pressure * ambient_pressure +
                                    resistance * gas_constant_temperature * mass_flow * mass_flow));
  }
};

}  // namespace airchain::cylinder
