// The chain for a page: plain numbers in, plain numbers out, C linkage, one thread. The order of
// the numbers is told in python/airchain/live/packing.py, which writes them.
#include <cmath>
#include <cstddef>
#include <string>
#include <type_traits>
#include <vector>

#include "airchain/ambient/ambient.hpp"
#include "airchain/chain/solve.hpp"

namespace {

using namespace airchain;
using Chain = chain::Chain<double>;

/// Reads numbers one after another; too few of them are refused, not read past the end.
class Numbers {
 public:
  Numbers(const double* numbers, std::size_t count) : next_(numbers), left_(count) {}

  double one() {
    base::require_that(left_ > 0, "Page", "the numbers of a chain end early", "be whole");
    --left_;
    return *next_++;
  }
  std::size_t count() {
    const double value = one();
    base::require_that(value >= 0.0 && value <= double(left_), "Page",
                       "a list is longer than the numbers that are left", "be whole");
    return std::size_t(value);
  }
  std::vector<double> list() {
    std::vector<double> values(count());
    for (double& value : values) value = one();
    return values;
  }
  bool empty() const { return left_ == 0; }

 private:
  const double* next_;
  std::size_t left_;
};

/// Every number of every station, in the order of stations and fields, and then of the belts.
template <class Visitor>
void for_each_number(Chain& chain, Visitor&& visit) {
  chain::for_each_station(chain, chain, [&](const char*, auto& station, auto&) {
    using Station = std::decay_t<decltype(station)>;
    base::for_each_field<Station>([&](const auto& field) { visit(station.*(field.member)); });
  });
  for (auto& belt : chain.drive.belts) {
    visit(belt.speed_per_crank_speed);
    visit(belt.power_per_rotor_power);
    visit(belt.capacity);
    visit(belt.mass_term);
  }
}

std::shared_ptr<const compressor::CompressorMap> map_from(Numbers& in) {
  if (in.one() == 0.0) return nullptr;
  compressor::MapData data;
  data.name = "map";
  data.reference = {in.one(), in.one(), in.one(), in.one()};
  data.tip_diameter = in.one();
  data.speed_limit = in.one();
  data.left_end = compressor::LeftEnd(int(in.one()));
  data.right_end = compressor::RightEnd(int(in.one()));
  data.lines.resize(in.count());
  for (auto& line : data.lines) {
    line.speed = in.one();
    line.flow = in.list();
    line.pressure_ratio = in.list();
    line.efficiency = in.list();
  }
  return std::make_shared<const compressor::CompressorMap>(compressor::CompressorMap::from(data));
}

std::shared_ptr<const cylinder::Burned> burned_from(Numbers& in) {
  if (in.one() == 0.0) return nullptr;
  cylinder::BurnedNodes nodes;
  for (auto* list :
       {&nodes.wave_speed, &nodes.pressure_ratio, &nodes.temperature, &nodes.work,
        &nodes.exhaust_temperature, &nodes.peak_pressure, &nodes.wall_heat, &nodes.coarse_speed,
        &nodes.coarse_ratio, &nodes.coarse_temperature, &nodes.responses, &nodes.shapes})
    *list = in.list();
  for (double& number : nodes.own) number = in.one();
  return cylinder::burned_surface(nodes);
}

std::shared_ptr<const cylinder::Surface> surface_from(Numbers& in) {
  cylinder::SurfaceNodes nodes;
  nodes.wave_speed = in.list();
  nodes.pressure_ratio = in.list();
  nodes.temperature = in.list();
  for (double& pressure : nodes.exhaust_pressure) pressure = in.one();
  nodes.volumetric_efficiency = in.list();
  nodes.trapping = in.list();
  nodes.pumping = in.list();
  nodes.pressure_effect = in.list();
  return cylinder::breathing_surface(nodes, burned_from(in));
}

void read_breathing(Numbers& in, cylinder::Breathing<double>& breathing) {
  if (in.one() == 1.0) {
    auto speeds = in.list(), ratios = in.list();
    breathing.table = cylinder::breathing_table(std::move(speeds), std::move(ratios), in.list());
  } else {
    breathing.surface = surface_from(in);
    if (in.one() == 0.0) return;
    auto speeds = in.list(), ratios = in.list();
    breathing.together = cylinder::breathing_table(std::move(speeds), std::move(ratios), in.list());
  }
}

Chain chain_from(Numbers in) {
  Chain chain;
  for_each_number(chain, [&](double& value) { value = in.one(); });
  chain.injection.place = fuel::InjectionPlace(int(in.one()));
  chain.cooler.ambient_cooled = in.one() != 0.0;
  const auto flows = in.list(), shares = in.list();
  if (!flows.empty())
    chain.cooler.shape =
        std::make_shared<const numerics::Curve>(flows, shares, "Cooler", "flow", "effectiveness");
  chain.compressor.map = map_from(in);
  read_breathing(in, chain.breathing);
  base::require_that(in.empty(), "Page", "numbers are left over", "be those of one chain");
  chain::validate(chain);
  return chain;
}

// A page holds few chains, and none is let go of while it is open.
std::vector<Chain> chains;
std::string message;

/// What `run` returns, or -1 with the refusal's words in `message`.
template <class Run>
int refusing(Run&& run) {
  try {
    return run();
  } catch (const std::exception& refused) {
    message = refused.what();
    return -1;
  }
}

}  // namespace

extern "C" {

int airchain_columns() {
  return int(std::tuple_size_v<decltype(chain::Result<double>::columns())>);
}

const char* airchain_message() { return message.c_str(); }

/// Keeps a chain and returns its number, or -1.
int airchain_chain(const double* numbers, int count) {
  return refusing([&] {
    chains.push_back(chain_from({numbers, std::size_t(count)}));
    return int(chains.size()) - 1;
  });
}

/// Solves chain `number` with `changes` of its numbers set (`fields[i]` counts them in the order of
/// `for_each_number`) at `speeds` [rad/s]; `out` receives every column of the first speed, then of
/// the second. -1 where a value is refused.
int airchain_solve(int number, const int* fields, const double* values, int changes,
                   const double* speeds, int speed_count, double* out) {
  return refusing([&] {
    Chain chain = chains.at(std::size_t(number));
    std::vector<double*> places;
    for_each_number(chain, [&](double& value) { places.push_back(&value); });
    for (int i = 0; i < changes; ++i) *places.at(std::size_t(fields[i])) = values[i];
    chain::validate(chain);
    chain::Setup<double> setup(chain);
    constexpr auto columns = chain::Result<double>::columns();
    for (int i = 0; i < speed_count; ++i) {
      chain.operation.engine_speed = speeds[i];
      base::require_fields(chain.operation);
      setup.set_speed(chain);
      const auto result = chain::solve(chain, setup);
      std::apply([&](const auto&... column) { ((*out++ = result.*(column.member)), ...); },
                 columns);
    }
    return 0;
  });
}

/// Station pressure [Pa] from an altimeter setting [Pa] and altitude [m]; NaN where refused.
double airchain_station_pressure(double altimeter_setting, double altitude) {
  double pressure = std::nan("");
  refusing([&] {
    pressure = ambient::station_pressure(altimeter_setting, altitude);
    return 0;
  });
  return pressure;
}
}
