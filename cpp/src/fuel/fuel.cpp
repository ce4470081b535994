#include "airchain/fuel/fuel.hpp"

#include "airchain/fuel/evaporation.hpp"

namespace airchain::fuel {

template <>
std::vector<base::Refusal> Fuel<double>::contradictions() const {
  const double share = heat_per_oxygen();
  if (kHeatPerOxygen.holds(share)) return {};
  const double whole = lower_heating_value / share;
  const auto words = [&](double heat) { return base::number_text(heat * whole * 1e-6); };
  return {{.where = kName,
           .field = "lower_heating_value",
           .value = base::quantity_text(lower_heating_value, "J/kg"),
           .rule = "be between " + words(kHeatPerOxygen.low) + " and " +
                   words(kHeatPerOxygen.high) + " MJ/kg for its hydrogen_ratio and oxygen_ratio",
           .hint = "13.1 MJ for each kilogram of oxygen that burns it, give or take 20 %; check "
                   "the unit, and hydrogen and oxygen atoms per carbon atom"}};
}

namespace {

NamedFuel make(const char* name, const char* words, double hydrogen, double oxygen, double molar,
               double heating, double latent, double vapour_pressure, double density,
               double vapour_cp, double liquid_cp, double ron, double mon) {
  Fuel<double> f;
  f.hydrogen_ratio = hydrogen;
  f.oxygen_ratio = oxygen;
  f.vapour_molar_mass = molar;
  f.lower_heating_value = heating;
  f.latent_heat = latent;
  f.vapour_pressure = vapour_pressure;
  f.density = density;
  f.vapour_heat_capacity = vapour_cp;
  f.liquid_heat_capacity = liquid_cp;
  f.research_octane = ron;
  f.motor_octane = mon;
  base::require_fields(f);
  return {name, words, f};
}

std::vector<NamedFuel> make_all() {
  // Gasolines: typical of their kind [Heywood 1988, table D.4, from memory; octane numbers common
  // practice]. Alcohols: heats of formation of ATcT 1.112 (heating value, latent heat), CRC
  // Handbook (density, heat capacities, from memory), octane numbers of Florian and Liming.
  // E85: 85 % ethanol by volume in the regular gasoline, weighted by mass (vapour by moles).
  // Vapour pressure at 25 degC: methanol 127, ethanol 59.0 and iso-octane 49 mmHg [CRC Handbook,
  // from memory; checked against CoolProp]. Gasolines count as iso-octane, E85 as its ethanol.
  return {
      make("gasoline_regular", "pump gasoline, regular, no ethanol", 1.87, 0.0, 0.100, 43.0e6,
           350e3, 6.5e3, 745.0, 1700.0, 2200.0, 91.0, 82.0),
      make("gasoline_premium", "pump gasoline, premium, no ethanol", 1.80, 0.0, 0.102, 42.9e6,
           350e3, 6.5e3, 752.0, 1700.0, 2200.0, 98.0, 88.0),
      make("race_gasoline_leaded", "leaded race gasoline, mostly alkylate", 2.10, 0.0, 0.108,
           43.9e6, 310e3, 6.5e3, 730.0, 1700.0, 2150.0, 116.0, 112.0),
      make("e85", "85 % ethanol by volume in gasoline", 2.749, 0.379, 0.0499, 29.1e6, 840e3, 7.87e3,
           782.0, 1610.0, 2410.0, 106.0, 89.0),
      make("ethanol", "pure ethanol", 3.0, 0.5, 46.069e-3, 26.818e6, 921.7e3, 7.87e3, 789.0, 1600.0,
           2440.0, 108.6, 89.7),
      make("methanol", "pure methanol", 4.0, 1.0, 32.042e-3, 19.935e6, 1177e3, 16.9e3, 792.0,
           1520.0, 2530.0, 108.7, 88.6),
  };
}

}  // namespace

const std::vector<NamedFuel>& generic_fuels() {
  static const std::vector<NamedFuel> fuels = make_all();
  return fuels;
}

const NamedFuel& generic_fuel(const std::string& name) {
  std::string known;
  for (const auto& fuel : generic_fuels()) {
    if (fuel.name == name) return fuel;
    known += (known.empty() ? "" : ", ") + fuel.name;
  }
  base::refuse({.where = "Fuel",
                .field = "name",
                .value = "\"" + name + "\"",
                .rule = "be one of " + known});
}

gas::Stream<double> charge_after_fuel(const Fuel<double>& liquid,
                                      const Injection<double>& injection, double pressure,
                                      double temperature, double humidity_ratio) {
  base::require_fields(liquid);
  base::require_fields(injection);
  base::require("Charge", "pressure", pressure, "Pa", base::between(1e4, 1e6));
  base::require("Charge", "temperature", temperature, "K", base::between(230.0, 500.0));
  base::require("Charge", "humidity_ratio", humidity_ratio, "1", base::between(0.0, 0.1));
  gas::Stream<double> air;
  air.pressure = pressure;
  air.temperature = temperature;
  air.vapour = humidity_ratio;
  const double ratio = 1.0 / (injection.lambda * liquid.stoichiometric_ratio());
  return inject(injection, ratio, liquid.thermo(), air);
}

}  // namespace airchain::fuel
