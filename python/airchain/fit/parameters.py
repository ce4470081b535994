"""The unknowns that a fit may choose from, each a factor on what the build says."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..chain.factors import FACTORS, OF_COMPRESSOR, SHAPE, SLIP, Factor, factored

Array = NDArray[np.float64]
Link = _core.GearPair | _core.StepUp | _core.PulleyPair
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


def _row(name: str, words: str, width: float, mean: float = 1.0, low: float = 0.3,
         high: float = 3.0) -> Unknown:  # fmt: skip
    return Unknown(name, words, *FACTORS[name], width, mean, low, high)


# A curve of volumetric efficiency that was typed, not measured: runners, cam and headers move it by
# 10 % up and down over speed, and a guess hits that half (common practice, no source). Hence 5 % a
# knot, beside 5 % of the whole curve.
UNKNOWNS: dict[str, Unknown] = {
    row.name: row
    for row in (
        _row("volumetric_efficiency", "volumetric efficiency", 0.05),
        _row(SHAPE, "volumetric efficiency", 0.05, low=0.7, high=1.3),
        _row("indicated_efficiency", "indicated efficiency", 0.04),
        _row("friction", "friction", 0.2),
        _row("compressor_head", "compressor head", 0.06),
        _row("compressor_flow", "compressor flow", 0.06),
        _row("compressor_efficiency", "compressor efficiency", 0.04),
        _row("cooler_effectiveness", "cooler effectiveness", 0.1),
        _row("cooler_loss", "cooler pressure loss", 0.3, low=0.0),
        _row("exhaust_loss", "exhaust back pressure", 0.4, low=0.0),
        _row("inlet_loss", "inlet loss", 0.4, low=0.0),
        _row(SLIP, "belt slip", 0.01, mean=0.01, low=0.0, high=0.1),
    )
}


def trusted(name: str, trust: Mapping[str, float]) -> Unknown:
    """Return the unknown of a name, as wide as a build's own [trust] says where it does."""
    row = UNKNOWNS[name]
    return replace(row, width=trust.get(name, row.width))


def chosen(names: Sequence[str], chains: Sequence[_core.Chain], rpm: Array,
           links: Sequence[Link], trust: Mapping[str, float]) -> tuple[Unknown, ...]:  # fmt: skip
    """Return the unknowns of these names; the shape becomes one unknown a knot.

    `trust` holds the widths that the build tells of its own.
    """
    if isinstance(names, str) or not names:
        raise refusal("reconcile", "parameters", quoted(names), "be a list of unknowns")
    unknowns: list[Unknown] = []
    for name in dict.fromkeys(names):
        if name not in UNKNOWNS:
            known = list(UNKNOWNS)
            hint = suggestion(str(name), known) or "one of " + ", ".join(known)
            raise refusal("reconcile", "parameters", quoted(name), "be known unknowns", hint)
        row = trusted(name, trust)
        if row.station in OF_COMPRESSOR and not any(c.compressor for c in chains):
            raise refusal("reconcile", "parameters", quoted(name), "suit a build with compressor")
        if name == SLIP and not any(isinstance(x, _core.PulleyPair) for x in links):
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
    if row.name != SLIP:
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


def factors_of(unknowns: Sequence[Unknown], values: NDArray[np.float64]) -> tuple[Factor, ...]:
    """Return the unknowns at these values as factors on a chain."""
    return tuple(
        Factor(SHAPE if u.rpm else u.name, float(value), u.rpm)
        for u, value in zip(unknowns, values, strict=True)
    )


def applied(
    chain: _core.Chain, unknowns: Sequence[Unknown], values: NDArray[np.float64]
) -> _core.Chain:
    """Return the chain with the unknowns at these values."""
    return factored(chain, factors_of(unknowns, values))
