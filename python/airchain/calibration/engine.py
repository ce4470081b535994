"""From a calibration's filling back to the build's table: the same engine out of the files."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.factors import filling_factor
from ..cylinder.keys import OWN
from ._surface import answered, filled
from .tables import CalibrationTables

__all__ = ["breathing_changes"]

Array = NDArray[np.float64]


def breathing_changes(data: CalibrationTables, build: Build) -> dict[str, object]:
    """Return what to replace in a build so that it breathes as a calibration says.

    An engine with cams gets a typed table in place of them. It takes in the same air; its filling
    moves with charge temperature by one exponent, fitted to the trims, and pumping work and charge
    lost in overlap become what the chain reckons without cams.

    The calibration's volumetric efficiency over plenum pressure is brought to the build's own
    form: charge over displacement at plenum pressure and charge temperature, over plenum over
    exhaust pressure, at the build's reference temperature.

    Parameters
    ----------
    data : CalibrationTables
        The calibration, as made or as read from a file.
    build : Build
        The build; its fuel, exhaust and weather are used.

    Returns
    -------
    dict
        New values by path, for ``build.replace``.

    Raises
    ------
    InputError
        The calibration has no filling or lambda table.
    """
    table = data["volumetric_efficiency"]
    excess = data["lambda_target"].values
    breathing = build.with_surface()
    warming, typed = _warming(data, breathing)
    ratio, value = np.empty_like(table.values), np.empty_like(table.values)
    for i, p in enumerate(data.pressure):
        for j, rpm in enumerate(data.rpm):
            chain = _with_lambda(breathing.chain, float(excess[i, j]))
            ratio[i, j], value[i, j] = _own_form(chain, float(rpm), float(p),
                                                 data.reference_temperature,
                                                 0.01 * table.values[i, j], warming)  # fmt: skip
    common = np.round(ratio[:, ratio.shape[1] // 2], 6)
    columns = [np.interp(common, ratio[:, j], value[:, j]) for j in range(data.rpm.size)]
    # A fit's factors stay on the build, and so must not be in what is typed.
    rows = np.array(columns).T / filling_factor(build.factors, np.asarray(data.rpm))
    path = "engine.volumetric_efficiency."
    return {
        **typed,
        f"{path}rpm": [float(v) for v in data.rpm],
        f"{path}pressure_ratio": [float(v) for v in common],
        f"{path}values": [[float(v) for v in row] for row in rows],
    }


def _warming(data: CalibrationTables, build: Build) -> tuple[_core.Breathing, dict[str, object]]:
    """Return how filling moves with charge temperature, and what must be typed for it."""
    if build.cylinder is None:
        return build.chain.breathing, {}
    warmth = np.log(np.asarray(data.trims["temperature"]) / data.reference_temperature)
    moved = np.log(np.asarray(data.trims["volumetric_efficiency"])).mean(axis=1)
    exponent = float(np.dot(warmth, moved) / np.dot(warmth, warmth))
    middle = float(np.median(data.rpm)), float(np.median(data.pressure))
    states = answered(build.chain, *middle, data.reference_temperature)
    reference = float(states["charge_temperature"][0])
    warming = _core.Breathing(
        table=_core.breathing_table([1.0], [1.0], [[1.0]]),
        reference_temperature=reference, temperature_exponent=exponent,
    )  # fmt: skip
    first = {tuple(key.split(".")[:2]) for key in build.inputs}
    of_cams = (*OWN, "breathing_scale", "breathing")
    given = [f"engine.{name}" for name in of_cams if ("engine", name) in first]
    if ("combustion", "work_scale") in first:
        given.append("combustion.work_scale")
    path = "engine.volumetric_efficiency."
    return warming, {
        **dict.fromkeys(given),
        f"{path}reference_temperature": f"{reference:.6f} K",
        f"{path}temperature_exponent": exponent,
    }


def _with_lambda(chain: _core.Chain, excess: float) -> _core.Chain:
    if excess == chain.injection.lambda_:
        return chain
    return chain.replace(injection=chain.injection.replace(lambda_=excess))


def _own_form(chain: _core.Chain, rpm: float, pressure: float, temperature: float,
              filling: float, warming: _core.Breathing) -> tuple[float, float]:  # fmt: skip
    """Plenum over exhaust pressure, and the value of the chain's own table there."""
    point = rpm, pressure, temperature
    state = {n: float(v[0]) for n, v in answered(chain, *point).items()}
    air = filling * float(filled(chain, rpm, pressure, temperature))
    # Charge temperature and composition do not depend on the filling; the exhaust does.
    own = state["volumetric_efficiency"] * air / state["air_flow"]
    warmth = state["charge_temperature"] / warming.reference_temperature
    value = own / (warming.scale * warmth**warming.temperature_exponent)
    held = _core.Breathing(
        table=_core.breathing_table([rpm * RPM], [1.0], [[own]]), temperature_exponent=0.0
    )
    exhausted = answered(chain.replace(breathing=held), *point)
    return float(exhausted["pressure_ratio"][0]), value
