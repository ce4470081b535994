#pragma once

#include <memory>

#include "airchain/base/guards.hpp"
#include "airchain/compressor/map.hpp"

namespace airchain::compressor {

/// A compressor in the chain: its map and factors that a measurement may ask for.
///
/// Similarity carries the map from its reference state to the air at hand:
///
///     n = N / N_design sqrt((gamma R T)_ref / (gamma R T01)),
///     W = flow_scale phi n (p01 / p_ref) sqrt((R T / gamma)_ref / (R T01 / gamma)),
///     ln(p02 / p01) = head_scale L n^2,   h02 - h01 = (head_scale / efficiency_scale) w n^2 gamma
///     R T01
///
/// Left out: Reynolds number, heat from the case, the second-order effect of gamma on the map.
template <class T>
struct Compressor {
  static constexpr const char* kName = "Compressor";
  T flow_scale{1.0};
  T head_scale{1.0};
  T efficiency_scale{1.0};
  T tip_speed_limit{base::kInfinity};
  std::shared_ptr<const CompressorMap> map;

  static constexpr auto fields() {
    using base::between;
    using base::field;
    return std::tuple{field("flow_scale", &Compressor::flow_scale, "1", between(0.5, 2.0),
                            "factor on the map's flow"),
                      field("head_scale", &Compressor::head_scale, "1", between(0.5, 1.5),
                            "factor on the map's logarithm of pressure ratio"),
                      field("efficiency_scale", &Compressor::efficiency_scale, "1",
                            between(0.5, 1.2), "factor on the map's efficiency"),
                      field("tip_speed_limit", &Compressor::tip_speed_limit, "m/s",
                            base::above_up_to(0.0, base::kInfinity),
                            "speed of the impeller's rim that its material allows")};
  }
};

}  // namespace airchain::compressor
