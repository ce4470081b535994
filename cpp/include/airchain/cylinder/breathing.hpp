#pragma once

#include <memory>
#include <optional>

#include "airchain/base/guards.hpp"
#include "airchain/cylinder/surface.hpp"
#include "airchain/numerics/elementary.hpp"
#include "airchain/numerics/table.hpp"

namespace airchain::cylinder {

/// What the cylinders take at one state of plenum and exhaust.
template <class T>
struct Filling {
  T volumetric_efficiency;  ///< charge that stays over that of full cylinders
  T trapping;               ///< charge that stays over charge drawn
};

/// What the crank-resolved cycle of one operating point says of the gas exchange there, in place of
/// a table or surface. Near that point it changes with charge temperature as `Breathing` has it; at
/// the point itself it is exact.
template <class T>
struct HeldFilling {
  T volumetric_efficiency;  ///< at the breathing's reference temperature
  T trapping;               ///< charge that stays over charge drawn
  T pumping;                ///< mean effective pressure lost over plenum pressure
  BurnedCharge<T> burned;   ///< what its work and heat come to
};

/// How well the engine fills: all the chain knows of cams, ports and runners.
///
/// Volumetric efficiency is the charge that stays in the cylinders a cycle (humid air and fuel
/// vapour) over what fills the displacement at plenum pressure and charge temperature:
///
///     eta_v = scale table(engine speed, plenum pressure / exhaust pressure) (T_charge/T_ref)^x
///
/// The exponent is 0.3 to 0.5 by common practice: hot charge is less throttled by the valves.
/// Left out: wave tuning moving with the square root of temperature, and charge lost in the
/// overlap.
///
/// Or, instead of the typed table, the surface of a crank-resolved cylinder, which knows both, and
/// the work of the gas exchange; the factor of charge temperature then comes on top of it, and the
/// exponent is to be 0. Outside table or surface the value at its edge holds and the point is
/// flagged.
///
/// A surface or cycle is one cylinder's. Where whole engines were solved too, `together` tells by
/// how much the mean of all cylinders fills more than the one at the same plenum and exhaust, over
/// the speed u = N/(1 + x + x^2/2), x = 0.2 s, s = 2 (T - 300 K)/(T + 300 K), and their ratio.
/// Waves of the primaries hardly feel the charge, those of the runners go with its root: of 0 to
/// 0.25, some 0.2 is nearest to whole engines at 52 states of an invented V8 from 287 to 330 K,
/// within 1.2 %, 0.4 % as root of the mean square.
template <class T>
struct Breathing {
  static constexpr const char* kName = "Breathing";
  T scale{1.0};
  T reference_temperature{298.15};
  T temperature_exponent{0.4};
  std::optional<HeldFilling<T>> held;  ///< instead of the next two, at one operating point
  std::shared_ptr<const numerics::Table<1>> table;
  std::shared_ptr<const Surface> surface;              ///< instead of the table
  std::shared_ptr<const numerics::Table<1>> together;  ///< all cylinders' charge over the one's

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

  /// Factor on table or surface [1]: f = scale (T_charge/T_ref)^x, T in K.
  AIRCHAIN_INLINE T temperature_factor(T charge_temperature) const {
    const T e = temperature_exponent;
    if (!numerics::any((e < T(0.0)) | (e > T(0.0)))) return scale;
    return scale * numerics::pow(charge_temperature / reference_temperature, e);
  }

  /// Where all cylinders are looked up: charge temperature of the whole engines [K].
  static constexpr double kTogetherTemperature = 300.0;
  /// Engine speed at that temperature [rad/s] which tells the cylinders apart as `speed` does.
  static AIRCHAIN_INLINE T together_speed(T speed, T charge_temperature) {
    const T x = T(0.2) * Surface::difference(charge_temperature, T(kTogetherTemperature));
    return speed / (T(1.0) + x + T(0.5) * x * x);
  }
  /// Mean charge of all cylinders over that of the one [1]; 1 where it is not told.
  AIRCHAIN_INLINE T together_at(T speed, T pressure_ratio, T charge_temperature) const {
    if (!together) return T(1.0);
    return together->at(together_speed(speed, charge_temperature), pressure_ratio)[0];
  }

  using Burn = Surface::Burn<T>;

  /// The breathing at one speed in every lane.
  class Line {
   public:
    AIRCHAIN_INLINE Line(const Breathing& breathing, T speed)
        : breathing_(breathing), speed_(speed) {
      if (breathing.held) return;
      if (breathing.surface)
        made_.emplace(*breathing.surface, speed);
      else
        typed_.emplace(*breathing.table, speed);
    }
    /// eta_v = f table(speed, pressure_ratio), or f times surface or held value; pressure in Pa.
    AIRCHAIN_INLINE Filling<T> at(T pressure_ratio, T charge_temperature, T exhaust_pressure,
                                  const Burn& burn) {
      T factor = breathing_.temperature_factor(charge_temperature);
      if (typed_) return {typed_->at(pressure_ratio)[0] * factor, T(1.0)};
      if (breathing_.together)
        factor *= breathing_.together_at(speed_, pressure_ratio, charge_temperature);
      if (const auto& held = breathing_.held)
        return {held->volumetric_efficiency * factor, held->trapping};
      const auto found = made_->at(pressure_ratio, charge_temperature, exhaust_pressure, burn);
      return {found.volumetric_efficiency * factor, found.trapping};
    }
    /// Temperature of what leaves the primary by the cycles [K]; only where they tell it.
    AIRCHAIN_INLINE T exhaust_temperature(T pressure_ratio, T charge_temperature,
                                          T exhaust_pressure, const Burn& burn) {
      if (const auto& held = breathing_.held) return held->burned.exhaust_temperature;
      return made_->exhaust_temperature(pressure_ratio, charge_temperature, exhaust_pressure, burn);
    }

   private:
    const Breathing& breathing_;
    std::optional<typename numerics::Table<1>::template Line<T>> typed_;
    std::optional<Surface::Line<T>> made_;
    T speed_;
  };

  /// Whether cycles tell the work of the gas exchange.
  bool tells_pumping() const { return surface != nullptr || held.has_value(); }
  /// Whether cycles tell work, heat and exhaust temperature too.
  bool tells_work() const { return held.has_value() || (surface && surface->burned); }
  /// Mean effective pressure lost in the gas exchange by the cycles [Pa]: pmep = p_plenum pumping.
  AIRCHAIN_INLINE T pumping_pressure(T speed, T pressure_ratio, T charge_temperature,
                                     T plenum_pressure, T lambda) const {
    if (held) return plenum_pressure * held->pumping;
    const T like = surface->like(charge_temperature, lambda);
    return plenum_pressure * surface->pumping_at(speed, pressure_ratio, like);
  }
  /// Work, peak pressure and wall heat by the cycles, where they tell it, and what phasing, mixture
  /// and exhaust pressure add to the pumping over plenum pressure [1].
  AIRCHAIN_INLINE BurnedCharge<T> burned_charge(T speed, T pressure_ratio, T charge_temperature,
                                                T exhaust_pressure, const Burn& burn,
                                                T& pumping_change) const {
    pumping_change = T(0.0);
    if (held) return held->burned;
    return surface->burned->charge_at(
        surface->state(speed, pressure_ratio, charge_temperature, exhaust_pressure, burn.lambda),
        surface->departure(pressure_ratio, burn), pumping_change);
  }
  /// Whether a state lies in what was typed or computed.
  AIRCHAIN_INLINE auto inside(T speed, T pressure_ratio, T charge_temperature,
                              T exhaust_pressure) const {
    auto known = (speed > T(0.0)) & (pressure_ratio > T(0.0));
    if (together)
      known = known & together->inside_u(together_speed(speed, charge_temperature)) &
              together->inside_v(pressure_ratio);
    if (held) return known;
    if (!surface) return known & table->inside_u(speed) & table->inside_v(pressure_ratio);
    return known & surface->inside(speed, pressure_ratio, charge_temperature, exhaust_pressure);
  }
};

/// Most volumetric efficiency that a point may have; engines with tuned pipes reach some 1.3 [1]
/// (common practice, no source).
inline constexpr double kMostFilling = 1.6;

/// Table over engine speed [rad/s] and plenum over exhaust pressure from typed values; one value
/// for every speed means no dependence on the pressure ratio. Refuses values outside 0.1 to 1.6.
std::shared_ptr<const numerics::Table<1>> breathing_table(std::vector<double> engine_speed,
                                                          std::vector<double> pressure_ratio,
                                                          const std::vector<double>& values);

/// Highest node of such a table.
double highest(const numerics::Table<1>& table);

}  // namespace airchain::cylinder
