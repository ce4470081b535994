"""What a sketch's guesses leave in doubt of each part of the chain: its file's [trust].

A fit takes these for the widths of its unknowns, a plan for its band. Several guesses make one
width: those of the stage through the map that they predict (its head and best efficiency at nine
tenths of the design speed, and its choke), those of the curve of filling through its values over
engine speed. What a rated flow tells of the stage is in them. Links between widths, which today's
power makes, are left out, so a plan's band is somewhat wider than the sketch's own.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from ..base.speeds import RPM
from .driving import Pair
from .engine import filling
from .lines import WORKED_OUT, Line
from .model import STEP, Model
from .name_plate import OF_STAGE, of_stage
from .today import Known, tuning_error

Array = NDArray[np.float64]
_SHAPE = ("filling_speed", "filling_low", "filling_high")
#: Guesses whose share is that of a factor.
_SHARES = {"friction": ("friction",), "exhaust_loss": ("exhaust_loss",),
           "inlet_loss": ("inlet_drop",), "cooler_effectiveness": ("effectiveness",),
           "cooler_loss": ("cooler_drop",),
           "indicated_efficiency": ("quality",)}  # fmt: skip


def trust_lines(model: Model, known: Known, pairs: Mapping[str, Pair]) -> list[Line]:
    """Return the lines of [trust]."""
    widths = {name: _share(model, known, guesses) for name, guesses in _SHARES.items()}
    own = float(tuning_error(np.array([2.0]))[0])
    widths["volumetric_efficiency"] = float(np.hypot(_share(model, known, ("filling",)), own))
    widths["volumetric_efficiency_shape"] = _shape(model, known)
    if model.facts.supercharged:
        widths |= _stage(model, known, pairs)
    if model.facts.drive == "belt":
        widths["belt_slip"] = 0.01
    return [
        Line(("trust", name), float(f"{min(width, 1.0):.2g}"), WORKED_OUT,
             "of the guesses about it")
        for name, width in widths.items() if width > 0.0
    ]  # fmt: skip


def _share(model: Model, known: Known, names: tuple[str, ...]) -> float:
    """The spread of guesses over their values."""
    values = model.values(known.z)
    spread = np.sqrt(np.diag(known.covariance))
    shares = [
        model.guesses[name].doubt * spread[model.names.index(name)] / values[name]
        for name in names
        if name in model.guesses
    ]
    return float(np.linalg.norm(shares))


def _shape(model: Model, known: Known) -> float:
    """Of the curve of filling, apart from its height: rms over engine speed."""
    redline = model.facts["redline"] / RPM
    speeds = np.linspace(0.4 * redline, redline, 25) * RPM

    def curve(z: Array) -> Array:
        logarithm = np.log(filling(model.values(z), speeds))
        apart: Array = logarithm - logarithm.mean()
        return apart

    chosen = [model.names.index(name) for name in _SHAPE]
    slopes = _slopes(curve, known.z, chosen)
    within = known.covariance[np.ix_(chosen, chosen)]
    return float(np.sqrt(np.mean(np.einsum("ri,ij,rj->r", slopes, within, slopes))))


def _stage(model: Model, known: Known, pairs: Mapping[str, Pair]) -> dict[str, float]:
    """Head, flow and efficiency of the compressor, through the map that is predicted."""

    def figures(z: Array) -> Array:
        compressor = model.build(z, pairs).chain.compressor
        performance = compressor.map
        speed = 0.9 * performance.design_speed
        best = performance.peak_efficiency(speed)
        head = np.log(np.log(best.pressure_ratio) * compressor.head_scale)
        flow = np.log(performance.right_flow(speed) * compressor.flow_scale)
        return np.array([head, flow, np.log(best.efficiency * compressor.efficiency_scale)])

    parts = of_stage(model)
    slopes = _slopes(figures, known.z, parts)
    within = known.covariance[np.ix_(parts, parts)]
    spread = np.sqrt(np.einsum("ri,ij,rj->r", slopes, within, slopes))
    return {name: float(s) for name, s in zip(OF_STAGE, spread, strict=True)}


def _slopes(of: Callable[[Array], Array], z: Array, chosen: list[int]) -> Array:
    """Change of an answer a width of each guess."""
    columns = []
    for j in chosen:
        up, down = z.copy(), z.copy()
        up[j], down[j] = z[j] + STEP, z[j] - STEP
        columns.append((of(up) - of(down)) / (2.0 * STEP))
    return np.stack(columns, axis=-1)
