#pragma once

#include <memory>

#include "airchain/base/guards.hpp"
#include "airchain/numerics/elementary.hpp"
#include "airchain/numerics/table.hpp"

namespace airchain::cylinder {

/// How well the engine fills: all the chain knows of cams, ports and runners.
///
/// Volumetric efficiency is the charge that stays in the cylinders a cycle (humid air and fuel
/// vapour) over what fills the displacement at plenum pressure and charge temperature:
///
///     eta_v = scale table(engine speed, plenum pressure / exhaust pressure) (T_charge/T_ref)^x
///
/// The exponent is 0.3 to 0.5 by common practice: hot charge is less throttled by the valves.
/// Left out: wave tuning moving with the square root of temperature. Outside the table the value
/// at its edge holds and the point is flagged.
template <class T>
struct Breathing {
  static constexpr const char* kName = "Breathing";
  T scale{1.0};
  T reference_temperature{298.15};
  T temperature_exponent{0.4};
  std::shared_ptr<const numerics::Table<1>> table;

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("scale", &Breathing::scale, "1", base::between(0.3, 2.0),
              "factor on the whole table"),
        field("reference_temperature", &Breathing::reference_temperature, "K",
              base::between(230.0, 450.0), "charge temperature the table was taken at"),
        field("temperature_exponent", &Breathing::temperature_exponent, "1",
              base::between(0.0, 1.0), "rise of volumetric efficiency with charge temperature")};
  }

  AIRCHAIN_INLINE T temperature_factor(T charge_temperature) const {
    return scale * numerics::pow(charge_temperature / reference_temperature, temperature_exponent);
  }
};

/// Table over engine speed [rad/s] and plenum over exhaust pressure from typed values; one value
/// for every speed means no dependence on the pressure ratio. Refuses values outside 0.1 to 1.6.
std::shared_ptr<const numerics::Table<1>> breathing_table(std::vector<double> engine_speed,
                                                          std::vector<double> pressure_ratio,
                                                          const std::vector<double>& values);

}  // namespace airchain::cylinder
