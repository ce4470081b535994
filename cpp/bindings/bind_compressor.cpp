#include "airchain/compressor/compressor.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

using namespace compressor;

void bind_compressor(py::module_& m) {
  bind_compressor_data(m);
  bind_compressor_map(m);
  bind_compressor_stage(m);
  bind_compressor_readings(m);
  using C = Compressor<double>;
  auto map = shared_part("map", &C::map, "CompressorMap", "What was measured or predicted");
  map.required = true;
  bind_station<C>(
      m, "Compressor",
      "A compressor in the chain: its map and factors that a measurement may ask for.\n\n"
      "    n = N / N_design sqrt((gamma R T)_ref / (gamma R T01))\n"
      "    W = flow_scale phi n (p01 / p_ref) sqrt((R T / gamma)_ref / (R T01 / gamma))\n"
      "    ln(p02 / p01) = head_scale L n^2\n"
      "    h02 - h01 = (head_scale / efficiency_scale) w n^2 gamma R T01\n\n"
      "Left out: Reynolds number, heat from the case.",
      {map}, [](const C& c) {
        base::require_that(
            c.map != nullptr,
            {.where = C::kName, .field = "map", .value = "None", .rule = "be a CompressorMap"});
      });
}

}  // namespace airchain::bindings
