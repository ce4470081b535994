#pragma once

#include <string>
#include <vector>

#include "airchain/base/guards.hpp"
#include "airchain/gas/mixture.hpp"

namespace airchain::fuel {

/// A generic fuel C_1 H_y O_z: what chemistry and the chain need of it.
template <class T>
struct Fuel {
  static constexpr const char* kName = "Fuel";
  T hydrogen_ratio{base::kRequired};
  T oxygen_ratio{0.0};
  T vapour_molar_mass{base::kRequired};
  T lower_heating_value{base::kRequired};
  T latent_heat{base::kRequired};
  T vapour_pressure{base::kRequired};
  T density{base::kRequired};
  T vapour_heat_capacity{1600.0};
  T liquid_heat_capacity{2200.0};
  T research_octane{base::kRequired};
  T motor_octane{base::kRequired};

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("hydrogen_ratio", &Fuel::hydrogen_ratio, "1", between(0.0, 4.0),
              "hydrogen atoms per carbon atom"),
        field("oxygen_ratio", &Fuel::oxygen_ratio, "1", between(0.0, 1.0),
              "oxygen atoms per carbon atom"),
        field("vapour_molar_mass", &Fuel::vapour_molar_mass, "kg/mol", between(0.02, 0.2),
              "mean of the vapour, which displaces air"),
        field("lower_heating_value", &Fuel::lower_heating_value, "J/kg", between(1e7, 5e7),
              "heat of combustion of the liquid, water as vapour"),
        field("latent_heat", &Fuel::latent_heat, "J/kg", between(1e5, 1.5e6),
              "heat of vaporization at 25 degC"),
        field("vapour_pressure", &Fuel::vapour_pressure, "Pa", between(10.0, 1e5),
              "over the liquid at 25 degC; of a gasoline with some 40 % evaporated"),
        field("density", &Fuel::density, "kg/m^3", between(600.0, 900.0), "liquid at 15 degC"),
        field("vapour_heat_capacity", &Fuel::vapour_heat_capacity, "J/(kg K)",
              between(800.0, 3000.0), "of the vapour near 350 K"),
        field("liquid_heat_capacity", &Fuel::liquid_heat_capacity, "J/(kg K)",
              between(1500.0, 3500.0), "of the liquid near 300 K"),
        field("research_octane", &Fuel::research_octane, "1", between(50.0, 130.0),
              "research octane number"),
        field("motor_octane", &Fuel::motor_octane, "1", between(50.0, 130.0),
              "motor octane number")};
  }

  /// Fuel per mole of carbon [kg/mol]: m = M_C + y M_H + z M_O.
  AIRCHAIN_INLINE T mass_per_carbon() const {
    return T(12.011e-3) + T(1.00794e-3) * hydrogen_ratio + T(15.9994e-3) * oxygen_ratio;
  }
  /// Oxygen molecules that burn one carbon atom's share completely [1]: n = 1 + y/4 - z/2.
  AIRCHAIN_INLINE T oxygen_demand() const {
    return T(1.0) + T(0.25) * hydrogen_ratio - T(0.5) * oxygen_ratio;
  }
  /// Stoichiometric air-fuel ratio by mass [1], dry air of gas/species.hpp with x of oxygen by
  /// mole.
  ///
  ///     AFR = n (M_air/x)/m                                 [Heywood 1988, eq. 3.6, from memory]
  AIRCHAIN_INLINE T stoichiometric_ratio() const {
    return oxygen_demand() * T(gas::kDryAir.molar_mass / gas::kOxygenFraction) / mass_per_carbon();
  }
  /// Heating value over the oxygen that burns it [J/kg]. It is nearly one number for all fuels of
  /// carbon, hydrogen and oxygen, 13.1 MJ/kg within 5 % [Thornton 1917; Huggett 1980].
  AIRCHAIN_INLINE T heat_per_oxygen() const {
    return lower_heating_value * mass_per_carbon() / (oxygen_demand() * T(31.9988e-3));
  }
  /// What is to be refused although every number by itself may be: a heating value that such a
  /// molecule cannot have. Only of plain numbers.
  std::vector<base::Refusal> contradictions() const;
  /// What thermodynamics needs; of the vapour R = R_molar/M [J/(kg K)].
  AIRCHAIN_INLINE gas::FuelThermo<T> thermo() const {
    gas::FuelThermo<T> t;
    t.gas_constant = T(base::kMolarGasConstant) / vapour_molar_mass;
    t.vapour_heat_capacity = vapour_heat_capacity;
    t.liquid_heat_capacity = liquid_heat_capacity;
    t.latent_heat = latent_heat;
    t.vapour_pressure = vapour_pressure;
    return t;
  }
};

/// Heat per oxygen that a fuel may have [J/kg]: 20 % either side of Huggett's figure.
inline constexpr base::Range kHeatPerOxygen = base::between(10.5e6, 15.7e6);
template <>
std::vector<base::Refusal> Fuel<double>::contradictions() const;

/// Where the fuel meets the air.
enum class InjectionPlace { before_compressor, plenum, port };

/// How the fuel is put in. It evaporates as far as is typed, or as the air can hold (see
/// evaporation.hpp); the rest enters the cylinder as liquid and cools the charge there.
template <class T>
struct Injection {
  static constexpr const char* kName = "Injection";
  T lambda{0.88};
  T evaporated_fraction{0.35};
  T fuel_temperature{298.15};
  InjectionPlace place = InjectionPlace::port;

  static constexpr auto fields() {
    using base::field;
    return std::tuple{
        field("lambda", &Injection::lambda, "1", base::between(0.5, 1.5),
              "air-fuel ratio over the stoichiometric one"),
        field("evaporated_fraction", &Injection::evaporated_fraction, "1", base::between(0.0, 1.0),
              "share of the fuel that evaporates before the inlet valve closes, as far as the air "
              "can hold it; common practice 0.3 to 0.6"),
        field("fuel_temperature", &Injection::fuel_temperature, "K", base::between(240.0, 350.0),
              "of the liquid as it is injected")};
  }
};

/// A generic fuel by name, with where its figures come from.
struct NamedFuel {
  std::string name;
  std::string words;
  Fuel<double> fuel;
};
const std::vector<NamedFuel>& generic_fuels();
/// Throws InputError that lists the known names.
const NamedFuel& generic_fuel(const std::string& name);

}  // namespace airchain::fuel
