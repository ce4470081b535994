"""The unknowns that a fit may choose from, each a factor on what the build says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..base.speeds import RPM

SHAPE = "volumetric_efficiency_shape"
_KNOTS = 4


@dataclass(frozen=True)
class Unknown:
    """One unknown: a factor on fields of a station, or an additive share (slip).

    `mean` and `width` are the prior's mean and standard deviation: what the build is trusted for
    before anything was measured (common practice, no source).
    """

    name: str
    words: str
    station: str
    fields: tuple[str, ...]
    width: float
    mean: float = 1.0
    low: float = 0.3
    high: float = 3.0
    rpm: float = 0.0


# A curve of volumetric efficiency that was typed, not measured: runners, cam and headers move it by
# 10 % up and down over speed, and a guess hits that half (common practice, no source). Hence 5 % a
# knot, beside 5 % of the whole curve.
_FRICTION = ("friction_constant", "friction_speed", "friction_speed_squared", "friction_pressure")
UNKNOWNS: dict[str, Unknown] = {
    row.name: row
    for row in (
        Unknown("volumetric_efficiency", "volumetric efficiency", "breathing", ("scale",), 0.05),
        Unknown(SHAPE, "volumetric efficiency", "breathing", ("table",), 0.05, low=0.7, high=1.3),
        Unknown("indicated_efficiency", "indicated efficiency", "combustion", ("quality",), 0.04),
        Unknown("friction", "friction", "engine", _FRICTION, 0.2),
        Unknown("compressor_head", "compressor head", "compressor", ("head_scale",), 0.06),
        Unknown("compressor_flow", "compressor flow", "compressor", ("flow_scale",), 0.06),
        Unknown(
            "compressor_efficiency", "compressor efficiency", "compressor",
            ("efficiency_scale",), 0.04,
        ),
        Unknown(
            "cooler_effectiveness", "cooler effectiveness", "cooler", ("effectiveness",), 0.1
        ),
        Unknown("cooler_loss", "cooler pressure loss", "cooler", ("loss_coefficient",), 0.3, low=0),
        Unknown("exhaust_loss", "exhaust back pressure", "exhaust", ("loss_coefficient",), 0.4,
                low=0),
        Unknown("inlet_loss", "inlet loss", "inlet", ("loss_coefficient",), 0.4, low=0),
        Unknown("belt_slip", "belt slip", "drive", ("drive_ratio",), 0.01, 0.01, 0.0, 0.1),
    )
}  # fmt: skip
_OF_COMPRESSOR = ("compressor", "cooler", "drive")


def chosen(names: Sequence[str], chains: Sequence[Any], rpm: NDArray[np.float64],
           links: Sequence[Any]) -> tuple[Unknown, ...]:  # fmt: skip
    """Return the unknowns of these names; the shape becomes one unknown a knot."""
    if isinstance(names, str) or not names:
        raise refusal("reconcile", "parameters", quoted(names), "be a list of unknowns")
    found: list[Unknown] = []
    for name in dict.fromkeys(names):
        if name not in UNKNOWNS:
            known = list(UNKNOWNS)
            hint = suggestion(str(name), known) or "one of " + ", ".join(known)
            raise refusal("reconcile", "parameters", quoted(name), "be known unknowns", hint)
        row = UNKNOWNS[name]
        if row.station in _OF_COMPRESSOR and not any(c.compressor for c in chains):
            raise refusal("reconcile", "parameters", quoted(name), "suit a build with compressor")
        if name == "belt_slip" and not any("Pulley" in type(x).__name__ for x in links):
            hint = "gears do not slip"
            raise refusal("reconcile", "parameters", quoted(name), "suit a drive with belt", hint)
        if name == SHAPE:
            found += [_knot(row, float(n)) for n in _knots(rpm)]
        else:
            found.append(bounded(row, chains))
    return tuple(found)


def _knots(rpm: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.unique(np.round(np.linspace(rpm.min(), rpm.max(), _KNOTS), -1))


def _knot(row: Unknown, rpm: float) -> Unknown:
    words = f"{row.words} at {rpm:,.0f} rpm"
    return Unknown(f"{row.name}@{rpm:.0f}", words, row.station, row.fields, row.width, row.mean,
                   row.low, row.high, rpm)  # fmt: skip


def bounded(row: Unknown, chains: Sequence[Any]) -> Unknown:
    """Narrow the bounds to what the station's own fields allow."""
    low, high = row.low, row.high
    if row.name != "belt_slip":
        for chain in (c for c in chains if getattr(c, row.station) is not None):
            part = getattr(chain, row.station)
            limits = {name: (a, b) for name, _, a, b, *_ in _ranges(part)}
            for field in row.fields:
                value = float(getattr(part, field))
                if field == "effectiveness" and part.shape is not None:
                    value *= float(np.max(part.shape.y))
                if value > 0.0 and field in limits:
                    low = max(low, limits[field][0] / value)
                    high = min(high, limits[field][1] / value)
    return Unknown(row.name, row.words, row.station, row.fields, row.width, row.mean, low, high)


def _ranges(part: Any) -> list[tuple[str, str, float, float]]:
    found = []
    for name, unit, *rest in part.fields():
        numbers = [x for x in rest if isinstance(x, int | float) and not isinstance(x, bool)]
        if len(numbers) >= 2:
            found.append((name, unit, float(numbers[0]), float(numbers[1])))
    return found


def applied(chain: Any, unknowns: Sequence[Unknown], values: NDArray[np.float64]) -> Any:
    """Return the chain with the unknowns at these values."""
    parts: dict[str, dict[str, Any]] = {}
    knots: list[tuple[float, float]] = []
    for unknown, value in zip(unknowns, values, strict=True):
        part = getattr(chain, unknown.station)
        if part is None or (chain.compressor is None and unknown.station in _OF_COMPRESSOR):
            continue
        if unknown.rpm:
            knots.append((unknown.rpm * RPM, float(value)))
            continue
        if unknown.name == "cooler_effectiveness" and part.shape is not None:
            # The curve is scaled, not the factor before it, which ends at 1.
            shape = type(part.shape)(part.shape.x, part.shape.y * part.effectiveness * value)
            parts.setdefault(unknown.station, {}).update(effectiveness=1.0, shape=shape)
            continue
        factor = 1.0 - value if unknown.name == "belt_slip" else value
        changes = parts.setdefault(unknown.station, {})
        for field in unknown.fields:
            changes[field] = float(getattr(part, field)) * float(factor)
    if knots:
        parts.setdefault("breathing", {}).update(_shaped(chain.breathing, knots))
    stations = {name: getattr(chain, name).replace(**fields) for name, fields in parts.items()}
    return chain.replace(**stations) if stations else chain


def _shaped(breathing: Any, knots: list[tuple[float, float]]) -> dict[str, Any]:
    """Return a breathing table or surface with a factor over speed, straight between knots."""
    from .. import _core

    at, factors = np.transpose(knots)
    if breathing.surface is not None:
        return {"surface": _shaped_surface(breathing.surface, at, factors)}
    known = breathing.table
    speeds, ratios = np.asarray(known.engine_speed), np.asarray(known.pressure_ratio)
    rows = _with_knots(speeds, at)
    values = np.array([[float(known.at(n, r)) for r in ratios] for n in rows])
    factor = np.interp(rows, at, factors)
    return {"table": _core.breathing_table(rows, ratios, values * factor[:, None])}


def _with_knots(speeds: Any, knots: Any) -> Any:
    """Knots become rows of the table, or a dip between two typed speeds would be lost."""
    inside = knots[(knots > speeds[0]) & (knots < speeds[-1])]
    return np.unique(np.concatenate([speeds, inside]))


def _shaped_surface(known: Any, knots: Any, factors: Any) -> Any:
    """The surface times the factor at each node's engine speed."""
    from .. import _core

    rows = _with_knots(np.asarray(known.wave_speed), knots)
    ratios, temperatures, exhaust = known.pressure_ratio, known.temperature, known.exhaust_pressure
    u, ratio, t = np.meshgrid(rows, ratios, temperatures, indexing="ij")
    speed = u * known.stretch(ratio, t)
    factor = np.interp(speed, knots, factors)
    _, own, most = exhaust
    filling = known.volumetric_efficiency_at(speed, ratio, t, own)
    change = known.volumetric_efficiency_at(speed, ratio, t, most) - filling
    effect = change / known.difference(most, own) if most > own else np.zeros_like(change)
    kept = known.trapping_at(speed, ratio, t, own)
    pumping = known.pumping_at(speed, ratio, t, own)
    return _core.BreathingSurface(
        rows, ratios, temperatures, exhaust, filling * factor, kept, pumping, effect * factor
    )
