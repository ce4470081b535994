#include "airchain/compressor/similarity.hpp"

#include <cmath>
#include <limits>

#include "airchain/base/guards.hpp"

namespace airchain::compressor {

namespace {

/// Of humid air without fuel.
struct Air {
  gas::Mixture<double> mixture;
  double gas_constant;  // of a kilogram of humid air [J/(kg K)]
  double gamma;

  Air(double temperature, double humidity_ratio)
      : mixture(gas::mixture_of(humidity_ratio, 0.0, 0.0, 0.0, gas::FuelThermo<double>{})),
        gas_constant(mixture.gas_constant / (1.0 + humidity_ratio)),
        gamma(mixture.heat_capacity_ratio(temperature)) {}
};

}  // namespace

double measured_work(const Reading& r) {
  const Air air(r.inlet_temperature, r.humidity_ratio);
  return air.mixture.enthalpy(r.outlet_temperature) - air.mixture.enthalpy(r.inlet_temperature);
}

double measured_efficiency(const Reading& r) {
  const Air air(r.inlet_temperature, r.humidity_ratio);
  const double work = measured_work(r);
  if (!(work > 0.0)) return std::numeric_limits<double>::quiet_NaN();
  return air.mixture.isentropic_rise(r.inlet_temperature,
                                     std::log(r.outlet_pressure / r.inlet_pressure)) /
         work;
}

double corrected_flow(const ReferenceState& reference, double air_flow, double pressure,
                      double temperature, double humidity_ratio) {
  const Air air(temperature, humidity_ratio);
  return air_flow * (1.0 + humidity_ratio) /
         (pressure * flow_factor(reference, air.gas_constant, temperature, air.gamma));
}

double corrected_speed(const ReferenceState& reference, double speed, double temperature,
                       double humidity_ratio) {
  const Air air(temperature, humidity_ratio);
  const double there = reference.gamma * reference.gas_constant * reference.temperature;
  return speed * std::sqrt(there / (air.gamma * air.gas_constant * temperature));
}

}  // namespace airchain::compressor
