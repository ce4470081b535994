#pragma once

#include <memory>

#include "airchain/base/constants.hpp"
#include "airchain/base/guards.hpp"
#include "airchain/gas/mixture.hpp"
#include "airchain/numerics/curve.hpp"

namespace airchain::cooler {

/// The curve that is 1 at every flow.
std::shared_ptr<const numerics::Curve> constant_shape();

/// Charge cooler: effectiveness on the charge side, pressure loss as of a duct.
///
///     T_out = T_in - e (T_in - T_coolant),   e = effectiveness * shape(mass flow)
///
/// `shape` is 1 for a constant effectiveness, or a curve against charge flow, measured or made by
/// effectiveness-NTU. The outlet lies between inlet and coolant: a hot coolant heats the charge.
/// Left out: heat stored in the core, change of the curve with inlet temperature and humidity.
template <class T>
struct Cooler {
  static constexpr const char* kName = "Cooler";
  T effectiveness{0.0};
  T coolant_temperature{293.15};
  T coolant_rise{0.0};
  T loss_coefficient{0.0};
  T area{0.01};
  std::shared_ptr<const numerics::Curve> shape = constant_shape();
  bool ambient_cooled = false;

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("effectiveness", &Cooler::effectiveness, "1", base::between(0.0, 1.0),
              "temperature drop over inlet minus coolant temperature; the factor on its curve "
              "when it varies with flow"),
        field("coolant_temperature", &Cooler::coolant_temperature, "K", base::between(230.0, 420.0),
              "of the coolant as it enters; unused when cooled by "
              "ambient air"),
        field("coolant_rise", &Cooler::coolant_rise, "K", base::between(-5.0, 80.0),
              "cooling air above ambient as it enters, for a cooler in the air stream"),
        field("loss_coefficient", &Cooler::loss_coefficient, "1", base::between(0.0, 1e4),
              "charge pressure lost over the dynamic pressure in `area`"),
        field("area", &Cooler::area, "m^2", base::between(base::kLeastFlowArea, 10.0),
              "flow area the loss coefficient refers to")};
  }

  /// Coolant as it enters [K]: T_coolant = T_ambient + coolant_rise where ambient air cools.
  AIRCHAIN_INLINE T coolant(T ambient_temperature) const {
    return ambient_cooled ? ambient_temperature + coolant_rise : coolant_temperature;
  }
  /// On the charge side [1] at a charge mass flow W [kg/s]: e = effectiveness shape(W).
  AIRCHAIN_INLINE T effectiveness_at(T mass_flow) const {
    return effectiveness * shape->at(mass_flow);
  }
  /// k of p_out/p_in = 1 - k W^2 R T/p_in^2, as of a duct: k = K/(2 A^2) [1/m^4].
  AIRCHAIN_INLINE T resistance() const { return T(0.5) * loss_coefficient / (area * area); }
};

/// How the two streams pass each other.
enum class FlowArrangement {
  counterflow,
  parallel,
  crossflow_unmixed,
  crossflow_charge_mixed,
  crossflow_coolant_mixed
};

/// Effectiveness of the stream with the smaller capacity rate from transfer units N and
/// capacity-rate ratio C; both streams unmixed by the exact series, the others in closed form
/// [Kays and London 1984; Incropera et al. 2007, table 11.3].
///
///     counterflow    e = (1 - E)/(1 - C E),  E = exp(-N (1 - C));  N/(1 + N) at C = 1
///     parallel       e = (1 - exp(-N (1 + C)))/(1 + C)
///     smaller mixed  e = 1 - exp(-(1 - exp(-C N))/C)
///     larger mixed   e = (1 - exp(-C (1 - exp(-N))))/C
///     both unmixed   e = sum over k of P_k(N) P_k(C N)/(C N),
///                    P_k(x) = 1 - exp(-x) sum over m up to k of x^m/m!
///     at C = 0       e = 1 - exp(-N)
///
/// `charge_is_smaller`: whether the charge has the smaller capacity rate.
/// Range: N 0 to 20, C 0 to 1.
double effectiveness(FlowArrangement arrangement, double transfer_units, double capacity_ratio,
                     bool charge_is_smaller = true);

/// Curve of charge-side effectiveness against charge mass flow [kg/s] up to `most_flow`.
///
/// `conductance` UA [W/K] holds at `reference_flow` and varies with charge flow to the power
/// `flow_exponent` (0 constant; 0.8 when turbulent charge-side transfer rules alone; common
/// practice about 0.5). `coolant_capacity_rate` [W/K] is that of the coolant.
///
///     UA = UA_ref (W/W_ref)^flow_exponent,   N = UA/C_small, at most 20
///     effectiveness = e(N, C_small/C_large) C_small/C_charge
///
/// with C_charge = W cp, cp = 1009 J/(kg K) of dry air at 350 K.
std::shared_ptr<const numerics::Curve> effectiveness_curve(
    FlowArrangement arrangement, double conductance, double reference_flow, double flow_exponent,
    double coolant_capacity_rate, double most_flow);

/// Curve through measured effectivenesses at charge mass flows [kg/s].
std::shared_ptr<const numerics::Curve> measured_effectiveness(std::vector<double> mass_flow,
                                                              std::vector<double> effectiveness);

}  // namespace airchain::cooler
