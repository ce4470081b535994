#pragma once

#include <pybind11/pybind11.h>

namespace airchain::bindings {

void bind_base(pybind11::module_& m);
void bind_ambient(pybind11::module_& m);
void bind_duct(pybind11::module_& m);
void bind_compressor(pybind11::module_& m);
void bind_drive(pybind11::module_& m);
void bind_cooler(pybind11::module_& m);
void bind_throttle(pybind11::module_& m);
void bind_fuel(pybind11::module_& m);
void bind_cylinder(pybind11::module_& m);
void bind_surface(pybind11::module_& m);
void bind_valves(pybind11::module_& m);
void bind_pipe(pybind11::module_& m);
void bind_cycle(pybind11::module_& m);
void bind_cycle_runs(pybind11::module_& m);
void bind_chain(pybind11::module_& m);
void bind_sweep(pybind11::module_& m);

}  // namespace airchain::bindings
