"""The unknowns that a fit may choose from, each a factor on what the build says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..base.speeds import RPM

Array = NDArray[np.float64]
Filling = _core.BreathingTable | _core.BreathingSurface
Link = _core.GearPair | _core.StepUp | _core.PulleyPair
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


def chosen(names: Sequence[str], chains: Sequence[_core.Chain], rpm: Array,
           links: Sequence[Link]) -> tuple[Unknown, ...]:  # fmt: skip
    """Return the unknowns of these names; the shape becomes one unknown a knot."""
    if isinstance(names, str) or not names:
        raise refusal("reconcile", "parameters", quoted(names), "be a list of unknowns")
    unknowns: list[Unknown] = []
    for name in dict.fromkeys(names):
        if name not in UNKNOWNS:
            known = list(UNKNOWNS)
            hint = suggestion(str(name), known) or "one of " + ", ".join(known)
            raise refusal("reconcile", "parameters", quoted(name), "be known unknowns", hint)
        row = UNKNOWNS[name]
        if row.station in _OF_COMPRESSOR and not any(c.compressor for c in chains):
            raise refusal("reconcile", "parameters", quoted(name), "suit a build with compressor")
        if name == "belt_slip" and not any(isinstance(x, _core.PulleyPair) for x in links):
            hint = "gears do not slip"
            raise refusal("reconcile", "parameters", quoted(name), "suit a drive with belt", hint)
        if name == SHAPE:
            unknowns += [_knot(row, float(n)) for n in _knots(rpm)]
        else:
            unknowns.append(bounded(row, chains))
    return tuple(unknowns)


def _knots(rpm: Array) -> Array:
    return np.unique(np.round(np.linspace(rpm.min(), rpm.max(), _KNOTS), -1))


def _knot(row: Unknown, rpm: float) -> Unknown:
    words = f"{row.words} at {rpm:,.0f} rpm"
    return Unknown(f"{row.name}@{rpm:.0f}", words, row.station, row.fields, row.width, row.mean,
                   row.low, row.high, rpm)  # fmt: skip


def bounded(row: Unknown, chains: Sequence[_core.Chain]) -> Unknown:
    """Narrow the bounds to what the station's own fields allow."""
    low, high = row.low, row.high
    if row.name != "belt_slip":
        for chain in (c for c in chains if getattr(c, row.station) is not None):
            part = getattr(chain, row.station)
            limits = _ranges(part.fields())
            for field in row.fields:
                value = float(getattr(part, field))
                if field == "effectiveness" and part.shape is not None:
                    value *= float(np.max(part.shape.y))
                if value > 0.0 and field in limits:
                    low = max(low, limits[field][0] / value)
                    high = min(high, limits[field][1] / value)
    return Unknown(row.name, row.words, row.station, row.fields, row.width, row.mean, low, high)


def _ranges(fields: list[tuple[str | float | None, ...]]) -> dict[str, tuple[float, float]]:
    """Return the range of every field of a station that is a number."""
    ranges = {}
    for name, _, *rest in fields:
        numbers = [x for x in rest if isinstance(x, int | float) and not isinstance(x, bool)]
        if len(numbers) >= 2:
            ranges[str(name)] = (float(numbers[0]), float(numbers[1]))
    return ranges


def applied(chain: _core.Chain, unknowns: Sequence[Unknown], values: Array) -> _core.Chain:
    """Return the chain with the unknowns at these values."""
    parts: dict[str, dict[str, float | _core.Curve | Filling]] = {}
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
            shape = _core.Curve(part.shape.x, part.shape.y * part.effectiveness * value)
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


def _shaped(breathing: _core.Breathing, knots: list[tuple[float, float]]) -> dict[str, Filling]:
    """Return a breathing table or surface with a factor over speed, straight between knots."""
    at, factors = np.transpose(knots)
    if breathing.surface is not None:
        return {"surface": _shaped_surface(breathing.surface, at, factors)}
    known = breathing.table
    speeds, ratios = np.asarray(known.engine_speed), np.asarray(known.pressure_ratio)
    rows = _with_knots(speeds, at)
    values = np.array([[float(known.at(n, r)) for r in ratios] for n in rows])
    factor = np.interp(rows, at, factors)
    return {"table": _core.breathing_table(rows, ratios, values * factor[:, None])}


def _with_knots(speeds: Array, knots: Array) -> Array:
    """Knots become rows of the table, or a dip between two typed speeds would be lost."""
    inside = knots[(knots > speeds[0]) & (knots < speeds[-1])]
    return np.unique(np.concatenate([speeds, inside]))


def _shaped_surface(
    known: _core.BreathingSurface, knots: Array, factors: Array
) -> _core.BreathingSurface:
    """The surface times the factor at each node's engine speed."""
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
