"""A computed pull in the form of a measured one, so that both can be held against each other."""

from __future__ import annotations

import numpy as np

from ..base.errors import refusal
from ..chain.pull import Pull
from .measured import MeasuredPull

__all__ = ["as_measured"]

#: What the chain computes at the place where a dyno's sensor reads it.
_READ = (
    "engine_speed",
    "torque",
    "power",
    "plenum_pressure",
    "plenum_temperature",
    "compressor_inlet_temperature",
    "compressor_inlet_pressure",
    "compressor_outlet_temperature",
    "compressor_outlet_pressure",
    "air_flow",
    "fuel_flow",
    "rotor_speed",
)


def as_measured(pull: Pull, name: str = "") -> MeasuredPull:
    """Return a computed pull as sensors would read it, its torque observed in its own weather.

    Parameters
    ----------
    pull : Pull
        The computed pull.
    name : str
        What it is called; its label and that it was computed without it.

    Returns
    -------
    MeasuredPull
        The solved points.

    Raises
    ------
    InputError
        No point was solved.
    """
    name = name or f"{pull.label} (computed)"
    solved = np.asarray(pull.matched)
    if not solved.any():
        raise refusal(name, "pull", "no point solved", "have an answer somewhere")
    air = pull.build.chain.ambient
    columns = {
        column: np.asarray(pull.columns[column])[solved]
        for column in _READ
        if column in pull.columns and np.isfinite(np.asarray(pull.columns[column])[solved]).any()
    }
    ambient = {
        "barometer": air.pressure,
        "ambient_temperature": air.temperature,
        "relative_humidity": air.relative_humidity,
    }
    return MeasuredPull.of(name, columns, ambient)
