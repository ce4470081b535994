"""Named factors on what a build says of its stations, as a fit to measured pulls finds them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM

__all__ = [
    "FACTORS",
    "OF_COMPRESSOR",
    "SHAPE",
    "SLIP",
    "Factor",
    "by_cycles",
    "factored",
    "filling_factor",
    "lane_values",
    "shaped",
]

Array = NDArray[np.float64]
#: The factor that stands for a curve over speed, one for each of its knots.
SHAPE = "volumetric_efficiency_shape"
#: The one that is no factor but a share lost.
SLIP = "belt_slip"
#: Stations that mean nothing without a compressor.
OF_COMPRESSOR = ("compressor", "cooler", "drive")
_FRICTION = ("friction_constant", "friction_speed", "friction_speed_squared", "friction_pressure")
#: Station and fields that each name multiplies.
FACTORS: Mapping[str, tuple[str, tuple[str, ...]]] = {
    "volumetric_efficiency": ("breathing", ("scale",)),
    SHAPE: ("breathing", ("table",)),
    "indicated_efficiency": ("combustion", ("quality", "work_scale")),
    "friction": ("engine", _FRICTION),
    "compressor_head": ("compressor", ("head_scale",)),
    "compressor_flow": ("compressor", ("flow_scale",)),
    "compressor_efficiency": ("compressor", ("efficiency_scale",)),
    "cooler_effectiveness": ("cooler", ("effectiveness",)),
    "cooler_loss": ("cooler", ("loss_coefficient",)),
    "exhaust_loss": ("exhaust", ("loss_coefficient",)),
    "inlet_loss": ("inlet", ("loss_coefficient",)),
    SLIP: ("drive", ("drive_ratio",)),
}


#: The field of the work that a chain does not ask: without cycles, and with them.
_OTHER_WORK = ("work_scale", "quality")


def by_cycles(chain: _core.Chain) -> bool:
    """Return whether the work of a chain comes from cycles.

    Parameters
    ----------
    chain : Chain
        The stations.

    Returns
    -------
    bool
        True for an engine with cams, whether its cycles are run or a surface stands on them.
    """
    table, surface = chain.breathing.table, chain.breathing.surface
    return table is None and (surface is None or surface.burned is not None)


class Factor(NamedTuple):
    """One named factor.

    Attributes
    ----------
    name : str
        A key of `FACTORS`.
    value : float
        The factor [dimensionless]; of a slip the share lost.
    rpm : float
        Engine speed of a knot of a shape [rpm]; 0 for all others.
    """

    name: str
    value: float
    rpm: float = 0.0

    @property
    def multiplier(self) -> float:
        """What the fields are multiplied by [dimensionless]."""
        return 1.0 - self.value if self.name == SLIP else self.value


def factored(chain: _core.Chain, factors: Iterable[Factor]) -> _core.Chain:
    """Return a chain with named factors on its stations.

    Parameters
    ----------
    chain : Chain
        The stations.
    factors : iterable of Factor
        The factors; those of a compressor mean nothing without one and are left out there.

    Returns
    -------
    Chain
        The same with the factors.

    Raises
    ------
    InputError
        A station refuses its field times the factor.
    """
    stations: dict[str, dict[str, object]] = {}
    knots: list[tuple[float, float]] = []
    for factor in factors:
        station, fields = FACTORS[factor.name]
        part = getattr(chain, station)
        if part is None or (chain.compressor is None and station in OF_COMPRESSOR):
            continue
        if factor.rpm:
            knots.append((factor.rpm * RPM, factor.value))
            continue
        changes = stations.setdefault(station, {})
        if factor.name == "cooler_effectiveness" and part.shape is not None:
            # The curve is scaled, not the factor before it, which ends at 1.
            ordinates = part.shape.y * part.effectiveness * factor.value
            changes |= {"effectiveness": 1.0, "shape": _core.Curve(part.shape.x, ordinates)}
            continue
        for field in fields:
            if field != _OTHER_WORK[by_cycles(chain)]:
                changes[field] = float(getattr(part, field)) * factor.multiplier
    if knots:
        stations.setdefault("breathing", {}).update(shaped(chain.breathing, knots))
    factored_stations = {
        name: getattr(chain, name).replace(**fields) for name, fields in stations.items()
    }
    return chain.replace(**factored_stations) if factored_stations else chain


def lane_values(factors: Iterable[Factor], station: str, field: str, values: Array) -> Array:
    """Return values of a station's field as they stand behind the factors on it.

    Parameters
    ----------
    factors : iterable of Factor
        The factors of a build.
    station, field : str
        Which field of the chain.
    values : ndarray
        As typed [SI].

    Returns
    -------
    ndarray
        The same times every factor that is on this field [SI], bit for bit as `factored` has it.
    """
    for factor in factors:
        owner, fields = FACTORS[factor.name]
        if owner == station and field in fields and not factor.rpm:
            values = values * factor.multiplier
    return values


def filling_factor(factors: Iterable[Factor], rpm: Array) -> Array:
    """Return what factors make of volumetric efficiency over engine speed.

    Parameters
    ----------
    factors : iterable of Factor
        The factors of a build.
    rpm : ndarray
        Engine speeds [rpm].

    Returns
    -------
    ndarray
        The factor at each speed [dimensionless]; that of a shape is straight between its knots.
    """
    multipliers, knots = np.ones(np.shape(rpm)), []
    for factor in factors:
        if factor.rpm:
            knots.append((factor.rpm, factor.value))
        elif factor.name == "volumetric_efficiency":
            multipliers = multipliers * factor.multiplier
    return multipliers * np.interp(rpm, *np.transpose(knots)) if knots else multipliers


def shaped(breathing: _core.Breathing, knots: list[tuple[float, float]]) -> dict[str, object]:
    """Return a breathing table or surface with a factor over speed, straight between knots.

    Parameters
    ----------
    breathing : Breathing
        How the engine fills.
    knots : list of tuple
        Crank speed [rad/s] and factor [dimensionless] of each knot.

    Returns
    -------
    dict
        The field of the breathing that changes.

    Raises
    ------
    InputError
        The breathing is made by cycles, without table and surface.
    """
    at, factors = np.transpose(knots)
    if breathing.surface is not None:
        return {"surface": _shaped_surface(breathing.surface, at, factors)}
    known = breathing.table
    if known is None:
        rule = "stand on a breathing surface"
        raise refusal("breathing", "shape", "cycles", rule, "build.with_surface() makes one")
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
        rows,
        ratios,
        temperatures,
        exhaust,
        filling * factor,
        kept,
        pumping,
        effect * factor,
        known.burned,
    )
