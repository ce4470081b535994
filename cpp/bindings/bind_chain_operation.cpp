#include "airchain/chain/chain.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

void bind_chain_operation(py::module_& m) {
  bind_station<chain::Operation<double>>(m, "Operation", "How the engine is run at a point.");
  bind_station<chain::Bypass<double>>(m, "Bypass",
                                      "Valve at the plenum that vents charge above a boost.");
}

}  // namespace airchain::bindings
