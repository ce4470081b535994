#pragma once

#include <pybind11/pybind11.h>

namespace airchain::bindings {

void bind_base(pybind11::module_& m);
void bind_base_input_error(pybind11::module_& m);
void bind_numerics(pybind11::module_& m);
void bind_gas(pybind11::module_& m);
void bind_ambient(pybind11::module_& m);
void bind_ambient_power_correction(pybind11::module_& m);
void bind_duct(pybind11::module_& m);
void bind_compressor(pybind11::module_& m);
void bind_compressor_data(pybind11::module_& m);
void bind_compressor_map(pybind11::module_& m);
void bind_compressor_stage(pybind11::module_& m);
void bind_compressor_readings(pybind11::module_& m);
void bind_drive(pybind11::module_& m);
void bind_drive_links(pybind11::module_& m);
void bind_drive_loads(pybind11::module_& m);
void bind_drive_teeth(pybind11::module_& m);
void bind_cooler(pybind11::module_& m);
void bind_cooler_tank(pybind11::module_& m);
void bind_throttle(pybind11::module_& m);
void bind_fuel(pybind11::module_& m);
void bind_fuel_parts(pybind11::module_& m);
void bind_fuel_supply(pybind11::module_& m);
void bind_cylinder(pybind11::module_& m);
void bind_cylinder_table(pybind11::module_& m);
void bind_cylinder_burned(pybind11::module_& m);
void bind_cylinder_surface(pybind11::module_& m);
void bind_cylinder_nodes(const pybind11::object& cls);
void bind_cylinder_look_ups(const pybind11::object& cls);
void bind_cylinder_burned_look_ups(const pybind11::object& cls);
void bind_cylinder_crank(pybind11::module_& m);
void bind_cylinder_valves(pybind11::module_& m);
void bind_cylinder_port(pybind11::module_& m);
void bind_cylinder_combustion(pybind11::module_& m);
void bind_pipe(pybind11::module_& m);
void bind_cycle_mixture(pybind11::module_& m);
void bind_cycle(pybind11::module_& m);
void bind_cycle_runs(pybind11::module_& m);
void bind_cycle_spark(pybind11::module_& m);
void bind_engine(pybind11::module_& m);
void bind_chain(pybind11::module_& m);
void bind_chain_states(pybind11::module_& m);
void bind_chain_timed(pybind11::module_& m);
void bind_sweep(pybind11::module_& m);
void bind_sweep_direct(pybind11::module_& m);
void bind_sweep_engines(pybind11::module_& m);
void bind_surge(pybind11::module_& m);

}  // namespace airchain::bindings
