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
    base::require_that(ways == 0, "Chain", "breathing has a table or surface beside a cylinder",
                       "a Breathing without, or a chain without a cylinder");
    cycle::validate(*chain.cylinder);
  } else {
    base::require_that(ways > 0, "Chain", "breathing has no table",
                       "a Breathing with its table of volumetric efficiency or its surface");
    base::require_that(ways == 1, "Chain", "breathing has a table and a surface",
                       "a Breathing with one of them");
  }
  base::require_that(chain.cooler.shape != nullptr, "Chain", "cooler has no shape", "a curve");
  base::require("Cooler", "effectiveness",
                chain.cooler.effectiveness * chain.cooler.shape->highest(), "1",
                base::between(0.0, 1.0), "a cooler cannot take the charge below its coolant");
}

}  // namespace airchain::chain
