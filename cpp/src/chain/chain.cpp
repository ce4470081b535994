#include "airchain/chain/chain.hpp"

#include <type_traits>

namespace airchain::chain {

void validate(const Chain<double>& chain, Cycles cycles) {
  for_each_station(chain, chain, [](const char*, const auto& station, const auto&) {
    using Station = std::decay_t<decltype(station)>;
    if constexpr (!std::is_same_v<Station, Operation<double>>) base::require_fields(station);
  });
  const auto& b = chain.breathing;
  const int ways = int(b.table != nullptr) + int(b.surface != nullptr) + int(b.held.has_value());
  if (cycles == Cycles::are_run && chain.cylinder) {
    base::require_that(ways == 0, {.where = "Chain",
                                   .field = "breathing",
                                   .rule = "be a Breathing without, or a chain without a cylinder",
                                   .statement = "breathing has a table beside a cylinder"});
    cycle::validate(*chain.cylinder);
  } else {
    base::require_that(
        ways > 0, {.where = "Chain",
                   .field = "breathing",
                   .rule = "be a Breathing with its table of volumetric efficiency or its surface",
                   .statement = "breathing has no table"});
    base::require_that(ways == 1, {.where = "Chain",
                                   .field = "breathing",
                                   .rule = "be a Breathing with one of them",
                                   .statement = "breathing has a table and a surface"});
  }
  base::require_that(chain.cooler.shape != nullptr, {.where = "Chain",
                                                     .field = "cooler",
                                                     .rule = "be a curve",
                                                     .statement = "cooler has no shape"});
  if (chain.supercharged()) {
    const double highest = chain.compressor.map->highest_efficiency();
    base::require("Compressor", "efficiency_scale", chain.compressor.efficiency_scale, "1",
                  base::above_up_to(0.0, compressor::kMostEfficiency / highest),
                  "the map reaches an efficiency of " + base::number_text(highest) + " by itself");
  }
  if (b.table)
    base::require("Breathing", "scale", b.scale, "1",
                  base::above_up_to(0.0, cylinder::kMostFilling / cylinder::highest(*b.table)),
                  "the table reaches a volumetric efficiency of " +
                      base::number_text(cylinder::highest(*b.table)) + " by itself");
  base::require("Cooler", "effectiveness",
                chain.cooler.effectiveness * chain.cooler.shape->highest(), "1",
                base::between(0.0, 1.0), "a cooler cannot take the charge below its coolant");
}

}  // namespace airchain::chain
