#include "airchain/pipe/shape.hpp"
#include "bindings.hpp"
#include "fields.hpp"

namespace airchain::bindings {

void bind_pipe(py::module_& m) {
  bind_station<pipe::Taper>(m, pipe::Taper::kName, "A straight or conical pipe as built.");
}

}  // namespace airchain::bindings
