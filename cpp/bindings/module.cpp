#include <pybind11/pybind11.h>

#include "bindings.hpp"
#include "gil.hpp"

#ifndef AIRCHAIN_VERSION
#define AIRCHAIN_VERSION "0"
#endif

namespace py = pybind11;

PYBIND11_MODULE(_core, m, py::mod_gil_not_used()) {
  using namespace airchain;
  m.doc() = "The stations, the match and the sweep, computed in C++. All numbers are SI.";
  m.attr("__version__") = AIRCHAIN_VERSION;

  bindings::bind_base(m);
  bindings::bind_numerics(m);
  bindings::bind_gas(m);
  bindings::bind_ambient(m);
  bindings::bind_duct(m);
  bindings::bind_compressor(m);
  bindings::bind_drive(m);
  bindings::bind_cooler(m);
  bindings::bind_throttle(m);
  bindings::bind_fuel(m);
  bindings::bind_cylinder(m);
  bindings::bind_pipe(m);
  bindings::bind_cycle_mixture(m);
  bindings::bind_cycle(m);
  bindings::bind_cycle_runs(m);
  bindings::bind_cycle_spark(m);
  bindings::bind_engine(m);
  bindings::bind_chain(m);
  bindings::bind_sweep(m);
  bindings::bind_sweep_direct(m);
  bindings::bind_sweep_engines(m);
  bindings::bind_surge(m);
  bindings::watch_the_end_of_python();
}
