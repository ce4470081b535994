#pragma once

#include <memory>

#include "airchain/cycle/mixture.hpp"
#include "airchain/cylinder/burn.hpp"
#include "airchain/cylinder/camshaft.hpp"
#include "airchain/cylinder/crank.hpp"
#include "airchain/cylinder/heat_loss.hpp"
#include "airchain/cylinder/port.hpp"
#include "airchain/pipe/shape.hpp"

namespace airchain::cycle {

/// Effective area of a valve over crank angle, 0 at its ends; angle 0 is firing top centre.
struct ValveArea {
  static constexpr const char* kName = "ValveArea";
  numerics::Curve area{0.0};
  double opening = 0.0, closing = 0.0;
};

/// From rising angles and areas [m^2]; throws InputError unless these are 0 at both ends.
ValveArea valve_area(std::vector<double> angle, std::vector<double> area);
/// Area through the event of a lobe whose peak stands at `peak` [rad], at least every half degree:
/// A(angle) = bench(lift(angle - peak)). Throws InputError where the lift
/// exceeds the last row of the flow bench.
ValveArea valve_area(const cylinder::LiftCurve& lift, double peak, const numerics::Curve& bench);

/// End correction of a thin plain end, over its radius [Levine and Schwinger 1948].
inline constexpr double kPlainEnd = 0.6133;

/// A runner or primary: pipe, wall and cells. With no cells there is no pipe: the valve opens
/// straight to the gas at rest outside, and only the diameter at the valve counts.
struct Runner {
  static constexpr const char* kName = "Runner";
  pipe::Taper taper;  ///< near end: plenum or collector; far end: valve
  double wall_temperature = 330.0;
  double cells = 30.0;
  double end_correction = kPlainEnd;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{field("wall_temperature", &Runner::wall_temperature, "K",
                            between(230.0, 1300.0), "of the inside"),
                      field("cells", &Runner::cells, "1", between(0.0, 400.0),
                            "that the pipe is cut into, a whole number; 0 for no pipe"),
                      field("end_correction", &Runner::end_correction, "1", between(0.0, 1.0),
                            "length by which the near end acts longer, over its radius; 0.61 for a "
                            "plain end, 0.82 for one flush with a wall")};
  }
  /// Length between the ends of the moving gas [m], far_correction being that of a far end that is
  /// open too: L = length + end_correction diameter/2 + far_correction far_diameter/2. The gas
  /// before an open end moves with that in the pipe: 0.6133 radii of it before a thin plain end
  /// [Levine and Schwinger 1948], 0.8217 before one flush with a wall [Nomura et al. 1960]. Left
  /// out: a jet that leaves shortens it.
  double acting_length(double far_correction = 0.0) const {
    return taper.length + 0.5 * end_correction * taper.diameter +
           0.5 * far_correction * taper.far_diameter;
  }
  /// The pipe in cells, with its end corrections as pieces of the ends' diameters, or without any
  /// an opening of A = pi/4 far_diameter^2 alone.
  pipe::Shape shape(double far_correction = 0.0) const;
  /// The same with a quarter of its cells, at least four.
  Runner coarser() const;
};
void validate(const Runner& runner);

/// What fixes the burn of a point: its middle, or its start, told as a spark.
enum class Phasing { half_burned, spark };

/// How hot the burned gas is that comes back from behind the primary: as hot as what leaves there,
/// which is found with the cycle, or as the point has it.
enum class Collector { follows, held };

/// What burned gas in the cylinder is: in equilibrium at its temperature and density, or of one
/// composition, as it always is in the pipes.
enum class BurnedGas { equilibrium, frozen };

/// One cylinder with its own runner and primary; the same for every lane of a batch.
struct Setup {
  static constexpr const char* kName = "CycleSetup";
  cylinder::Crank crank;
  ValveArea intake_valve, exhaust_valve;
  Runner intake, exhaust;
  cylinder::Burn burn;
  cylinder::HeatLoss heat_loss;
  ChargeMixture mixture;
  Phasing phasing = Phasing::half_burned;
  Collector collector = Collector::follows;
  BurnedGas burned_gas = BurnedGas::equilibrium;
  double octane = 98.0;

  static constexpr auto fields() {
    return std::tuple{base::field("octane", &Setup::octane, "1", base::between(50.0, 130.0),
                                  "research octane number, for the knock integral")};
  }
};

/// Throws InputError for numbers out of range, valves that are open at ignition, and pipes thinner
/// than the valves they feed.
void validate(const Setup& setup);

/// The grids of both pipes: that of a result, and one of a quarter as many cells, on which a cycle
/// costs less than a tenth. There a point's first cycles forget the gas at rest from which they
/// start.
struct Grids {
  explicit Grids(const Setup& setup);
  pipe::Shape intake, exhaust;
  pipe::Shape coarse_intake, coarse_exhaust;

  /// False where no pipe has a coarser grid.
  bool coarsens() const;
};

/// Operating point of one cylinder.
template <class T>
struct Point {
  static constexpr const char* kName = "CyclePoint";
  T speed{base::kRequired};
  T plenum_pressure{base::kRequired};
  T plenum_temperature{base::kRequired};
  T exhaust_pressure{base::kRequired};
  T half_burned{cylinder::kBestPhasing};
  T spark{-25.0 * base::kPi / 180.0};
  T collector_temperature{1050.0};

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("speed", &Point::speed, "rad/s", between(20.0, 2000.0), "of the crank"),
        field("plenum_pressure", &Point::plenum_pressure, "Pa", between(10e3, 600e3),
              "absolute, at rest at the mouth of the runner"),
        field("plenum_temperature", &Point::plenum_temperature, "K", between(230.0, 450.0),
              "of the charge in the plenum"),
        field("exhaust_pressure", &Point::exhaust_pressure, "Pa", between(30e3, 600e3),
              "absolute, behind the primary"),
        field("half_burned", &Point::half_burned, "rad", between(-0.3, 1.0),
              "crank angle after top centre at which half the charge has burned, where the setup "
              "is phased by it"),
        field("spark", &Point::spark, "rad", between(-1.3, 0.5),
              "crank angle after top centre at which the burn starts, before it negative, where "
              "the setup is phased by the spark; a flame's slow growth is in the burn law"),
        field("collector_temperature", &Point::collector_temperature, "K", between(280.0, 1500.0),
              "of burned gas that comes back from behind the primary, where the setup holds it")};
  }
};

/// How finely, and when to stop.
struct Controls {
  static constexpr const char* kName = "CycleControls";
  double courant = 0.95;
  double largest_step = 1.0 * base::kPi / 180.0;
  double tolerance = 3e-4;
  double most_cycles = 60.0;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{
        field("courant", &Controls::courant, "1", between(0.05, 0.98),
              "time step over the time a wave needs to cross a cell"),
        field("largest_step", &Controls::largest_step, "rad", between(1e-4, 0.05),
              "largest crank step"),
        field("tolerance", &Controls::tolerance, "1", between(1e-13, 1e-2),
              "distance from the settled cycle at which a point counts as converged: what changes "
              "of trapped charge from cycle to cycle, or those of the mass and energy stored, "
              "would still sum up to"),
        field("most_cycles", &Controls::most_cycles, "1", between(2.0, 1000.0),
              "cycles after which a point counts as not converged")};
  }
};

/// One converged cycle of one cylinder; masses and heats per cycle. Units and meaning are told
/// below, in `kResultNumbers`.
struct CycleResult {
  double volumetric_efficiency;
  double trapped_mass;
  double fresh_mass;
  double residual_fraction;
  double scavenging_loss;
  double imep;
  double gross_imep;
  double pmep;
  double peak_pressure;
  double peak_angle;
  double exhaust_temperature;
  double heat_loss;
  double fuel_heat;
  double knock_integral;
  double burn_duration;
  double burn_start;
  double half_burned;
  double air_mass;
  double fuel_mass;
  double mass_error;
  double energy_error;
  double change;
  double cycles;
  bool converged;
  bool refused;  ///< its figures are such as no engine can have, and are NaN; not converged then
};

/// One number of a result.
struct ResultNumber {
  const char* name;
  double CycleResult::*member;
  const char *unit, *words;
};
inline constexpr ResultNumber kResultNumbers[] = {
    {"volumetric_efficiency", &CycleResult::volumetric_efficiency, "1",
     "trapped fresh charge over displacement full at plenum state"},
    {"trapped_mass", &CycleResult::trapped_mass, "kg",
     "charge and burned gas in the cylinder at inlet closing"},
    {"fresh_mass", &CycleResult::fresh_mass, "kg", "fresh charge in the cylinder at inlet closing"},
    {"residual_fraction", &CycleResult::residual_fraction, "1", "burned mass over trapped mass"},
    {"scavenging_loss", &CycleResult::scavenging_loss, "1",
     "fresh charge lost to the exhaust over fresh charge drawn"},
    {"imep", &CycleResult::imep, "Pa", "indicated mean effective pressure of the whole cycle"},
    {"gross_imep", &CycleResult::gross_imep, "Pa",
     "indicated mean effective pressure of compression and expansion"},
    {"pmep", &CycleResult::pmep, "Pa",
     "pumping mean effective pressure, lost; negative when boost gains"},
    {"peak_pressure", &CycleResult::peak_pressure, "Pa", "in the cylinder, of the mean cycle"},
    {"peak_angle", &CycleResult::peak_angle, "rad", "crank angle of it after firing top centre"},
    {"exhaust_temperature", &CycleResult::exhaust_temperature, "K",
     "mean over the flow behind the primary"},
    {"heat_loss", &CycleResult::heat_loss, "J", "to the cylinder walls in a cycle"},
    {"fuel_heat", &CycleResult::fuel_heat, "J", "released in a cycle"},
    {"knock_integral", &CycleResult::knock_integral, "1",
     "of the unburned gas; 1 is the onset of knock by the delay formula"},
    {"burn_duration", &CycleResult::burn_duration, "rad", "crank angle from start to end of burn"},
    {"burn_start", &CycleResult::burn_start, "rad", "crank angle after firing top centre"},
    {"half_burned", &CycleResult::half_burned, "rad",
     "crank angle after firing top centre at which half the charge has burned"},
    {"air_mass", &CycleResult::air_mass, "kg", "dry air drawn in a cycle"},
    {"fuel_mass", &CycleResult::fuel_mass, "kg", "fuel drawn in a cycle"},
    {"mass_error", &CycleResult::mass_error, "1", "mass unbalanced over trapped mass"},
    {"energy_error", &CycleResult::energy_error, "1",
     "energy unbalanced over the heat of the trapped charge, which counts as a thousandth of the "
     "trapped mass where it is less"},
    {"change", &CycleResult::change, "1",
     "of trapped fresh charge from the cycle before, over that charge, counted as for "
     "energy_error"},
    {"cycles", &CycleResult::cycles, "1", "run for this point"},
};

}  // namespace airchain::cycle
