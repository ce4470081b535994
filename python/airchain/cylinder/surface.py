"""The nodes of a breathing surface: which cycles are run, and how they are put together."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import refusal
from ..base.progress import Progress, relay

__all__ = [
    "AXES",
    "COARSE",
    "CYCLES",
    "NODES",
    "SURFACE",
    "VALUES",
    "Begun",
    "Burning",
    "Nodes",
    "plan",
    "surface_from_cycles",
]

Array = NDArray[np.float64]
Axes = tuple[Array, Array, Array]
#: Cycles that were run already: columns by the batch of nodes they belong to.
Begun = dict[str, dict[str, list[float]]]

#: Axes and values of a `BreathingSurface`, in the order of its arguments.
AXES = ("wave_speed", "pressure_ratio", "temperature", "exhaust_pressure")
VALUES = ("volumetric_efficiency", "trapping", "pumping", "pressure_effect")


class Burning(NamedTuple):
    """A cylinder, and how its burn is phased by the pressure in the plenum.

    Attributes
    ----------
    setup : CycleSetup
        The cylinder.
    combustion : Combustion or None
        What phases it; None for the cylinder's own phasing.
    """

    setup: _core.CycleSetup
    combustion: _core.Combustion | None = None

    def half_burned(self, plenum_pressure: Array) -> Array:
        """Return where half of the charge has burned.

        Parameters
        ----------
        plenum_pressure : ndarray
            In the plenum [Pa].

        Returns
        -------
        ndarray
            Crank angle after top centre [rad].
        """
        own = np.full(plenum_pressure.shape, self.setup.burn.half_burned)
        if self.combustion is None:
            return own
        phased = [float(self.combustion.phasing_at(float(p))) for p in plenum_pressure]
        return np.asarray(np.minimum(np.array(phased), _LATEST))

    @property
    def phasing(self) -> str:
        """Everything that decides the phasing, as text."""
        if self.combustion is None:
            return ""
        low, high = _PHASED
        return repr(self.half_burned(np.linspace(low, high, 8)).tolist())


#: Plenum pressures [Pa] between which phasings are told apart.
_PHASED = (40e3, 700e3)
#: Latest phasing of a node [rad]: a surface reaches to pressures that no spark is retarded for.
_LATEST = 0.7


class Group(NamedTuple):
    """Plenum over exhaust pressures whose cycles are run at the same speeds and temperatures."""

    ratios: tuple[float, ...]
    temperatures: int
    speeds: int

    @property
    def cycles(self) -> int:
        """How many cycles are run."""
        return len(self.ratios) * self.temperatures * self.speeds


class Nodes(NamedTuple):
    """Which cycles a surface stands on.

    `groups` are those at the usual exhaust pressure; `effect` are run at two exhaust pressures for
    what that changes. `speeds` are the lowest and highest over redline.
    """

    groups: tuple[Group, ...]
    effect: Group
    speeds: tuple[float, float] = (0.25, 1.06)

    @property
    def cycles(self) -> int:
        """How many cycles are run in all [dimensionless]."""
        return sum(group.cycles for group in self.groups) + 2 * self.effect.cycles


#: How an engine with cams breathes, as its file says it: the cycle is run at every point, or a
#: surface of cycles is made first, on all its nodes or on few.
CYCLES, SURFACE, COARSE = "cycles", "surface", "coarse surface"
#: By fineness. Gas comes back from the exhaust at the lowest ratios and the flow of the overlap
#: turns about near 1: close nodes. Above, the filling hardly answers to the ratio. A coarse
#: surface is made in a fifth of the time, to try cams: of 100 random states of each of three
#: engines 95 were within 0.6 % of their cycle, the worst 2.6 % off.
NODES = {
    "fine": Nodes(
        (
            Group((0.6, 0.66, 0.73), 4, 50),
            Group((0.81, 0.88, 0.94, 1.0, 1.06), 5, 58),
            Group((1.12, 1.22, 1.38, 1.6, 1.95, 2.5, 3.3), 4, 54),
        ),
        Group((0.6, 0.81, 1.05, 1.5), 3, 16),
    ),
    "coarse": Nodes(
        (
            Group((0.6, 0.73), 3, 34),
            Group((0.85, 0.95, 1.06), 3, 34),
            Group((1.2, 1.6, 2.3, 3.3), 3, 34),
        ),
        Group((0.6, 0.95, 1.5), 3, 8),
    ),
}
#: The nodes of a surface that is asked for without a word on them.
USUAL = "fine"
#: Exhaust pressures of these runs [Pa].
_EFFECT_EXHAUST = (90e3, 150e3)
#: Lowest exhaust pressure, that of all other runs, and highest [Pa].
_EXHAUST = (75e3, 105e3, 190e3)
#: Lowest and highest charge temperature [K].
_TEMPERATURES = (260.0, 400.0)
#: Estimated distance of a node from its settled cycle.
_SETTLED = 3e-4
#: Share of nodes that may stay without an answer, and are filled from their neighbours.
_MOST_LOST = 0.03
#: Nodes run at a time: what is lost where the work is interrupted.
_BATCH = 384
#: What is taken of a cycle.
_TAKEN = ("volumetric_efficiency", "scavenging_loss", "pmep", "status")


def plan(nodes: Nodes) -> str:
    """Return all that decides which cycles are run, beside cylinder and redline.

    Parameters
    ----------
    nodes : Nodes
        Which cycles the surface stands on.

    Returns
    -------
    str
        Ratios, temperatures, speeds and tolerances of the nodes as text.
    """
    pressures = (_EXHAUST, _EFFECT_EXHAUST)
    return repr((nodes, pressures, _TEMPERATURES, _SETTLED))


def _temperatures(count: int) -> NDArray[np.float64]:
    """Charge temperatures [K] at Chebyshev's places, the outermost at the ends."""
    place = -np.cos((np.arange(count) + 0.5) * np.pi / count)
    low, high = _TEMPERATURES
    return np.asarray(0.5 * (low + high) + 0.5 * (high - low) * place / place[-1])


def _wave_speeds(redline: float, nodes: Nodes, count: int) -> NDArray[np.float64]:
    """Wave speeds [rad/s]: close where standing waves of many orders crowd, at low speed."""
    corners = np.meshgrid([nodes.groups[0].ratios[0], nodes.groups[-1].ratios[-1]], _TEMPERATURES)
    stretch = np.asarray(_core.BreathingSurface.stretch(*corners))
    low, high = nodes.speeds
    at = np.linspace(low / stretch.max(), high / stretch.min(), 1000)
    density = (at[0] / at) ** 1.5 + 0.1
    place = np.concatenate([[0.0], np.cumsum(0.5 * (density[1:] + density[:-1]))])
    even = np.linspace(0.0, place[-1], count)
    return np.asarray(np.interp(even, place, at) * redline)


class _Cycles:
    """Cycles of a group over wave speed, pressure ratio and temperature."""

    def __init__(
        self, burning: Burning, redline: float, nodes: Nodes, group: Group, exhaust: float
    ) -> None:
        self.setup = burning.setup
        speeds = _wave_speeds(redline, nodes, group.speeds)
        t = _temperatures(group.temperatures)
        self.axes = (speeds, np.array(group.ratios), t)
        u, ratio, t = np.meshgrid(*self.axes, indexing="ij")
        self.shape = u.shape
        self.points = {
            "speed": (u * _core.BreathingSurface.stretch(ratio, t)).ravel(),
            "plenum_pressure": (exhaust * ratio).ravel(),
            "exhaust_pressure": np.full(u.size, exhaust),
            "plenum_temperature": t.ravel(),
            "half_burned": burning.half_burned(exhaust * ratio.ravel()),
        }
        self.solved: dict[str, Array] = {}

    def run(self, name: str, begun: Begun, progress: Progress | None, before: int,
            total: int) -> _Cycles:  # fmt: skip
        """Run them in batches; what waves too steep for the longest steps lose in shorter ones."""
        controls = _core.CycleControls(tolerance=_SETTLED)
        parts = []
        for first in range(0, self.points["speed"].size, _BATCH):
            batch = f"{name}, {first}"
            if batch not in begun:
                points = {n: values[first : first + _BATCH] for n, values in self.points.items()}
                told_of = relay(progress, before + first, total)
                solved = _core.run_cycles(self.setup, points, controls, progress=told_of)
                begun[batch] = {n: np.asarray(solved[n], dtype=float).tolist() for n in _TAKEN}
            parts.append(begun[batch])
        self.solved = {n: np.concatenate([part[n] for part in parts]) for n in _TAKEN}
        lost = self.lost
        if lost.size:
            careful = _core.CycleControls(tolerance=_SETTLED, courant=0.45)
            part = {name: values[lost] for name, values in self.points.items()}
            again = _core.run_cycles(self.setup, part, careful)
            for column in _TAKEN:
                self.solved[column][lost] = again[column]
        if self.lost.size > _MOST_LOST * self.points["speed"].size:
            rpm = self.points["speed"][self.lost[0]] * 30.0 / np.pi
            rule = "have an answer at every node"
            hint = "check cams, ports and pipes for absurd dimensions"
            raise refusal("Surface", "cycle", f"none at {rpm:,.0f} rpm", rule, hint)
        return self

    @property
    def lost(self) -> NDArray[np.int64]:
        """Places of those without an answer."""
        return np.flatnonzero(~np.isfinite(self.solved["volumetric_efficiency"]))

    @property
    def values(self) -> dict[str, NDArray[np.float64]]:
        """What the surface holds, over the axes."""
        columns = {
            "volumetric_efficiency": self.solved["volumetric_efficiency"],
            "trapping": 1.0 - np.maximum(self.solved["scavenging_loss"], 0.0),
            "pumping": self.solved["pmep"] / self.points["plenum_pressure"],
        }
        return {n: _filled(self.axes[0], v.reshape(self.shape)) for n, v in columns.items()}


def _filled(speed: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values with those that are missing taken from their neighbours along the speed."""
    values = values.copy()
    for _, j, k in np.argwhere(~np.isfinite(values)):
        line = values[:, j, k]
        known = np.isfinite(line)
        line[:] = np.interp(speed, speed[known], line[known])
    return values


def _between(axes: Axes, values: Mapping[str, Array], wanted: Axes) -> dict[str, Array]:
    """Values of some nodes at those between them, interpolated as the surface does."""
    filling, kept, pumping = (values[name] for name in VALUES[:3])
    none = np.zeros_like(filling)
    speed, ratios, temperatures = axes
    surface = _core.BreathingSurface(
        speed, ratios, temperatures, _EXHAUST, filling, kept, pumping, none
    )
    u, ratio, t = np.meshgrid(*wanted, indexing="ij")
    at = (u * surface.stretch(ratio, t), ratio, t, _EXHAUST[1])
    return {name: getattr(surface, f"{name}_at")(*at) for name in VALUES[:3]}


def surface_from_cycles(
    burning: Burning,
    redline: float,
    nodes: Nodes,
    begun: Begun | None = None,
    progress: Progress | None = None,
) -> tuple[_core.BreathingSurface, tuple[str, ...]]:
    """Run the cycles of a cylinder's surface.

    Parameters
    ----------
    burning : Burning
        The cylinder and its phasing.
    redline : float
        Highest crank speed [rad/s].
    nodes : Nodes
        Which cycles the surface stands on.
    begun : dict, optional
        Cycles that were run already, by their batch; those that are run now are put in, so that
        work that was interrupted can go on [dimensionless and Pa, by column].
    progress : callable, optional
        Called with the numbers of cycles solved and in all, dimensionless.

    Returns
    -------
    tuple
        The `BreathingSurface` and what is to be said of it.

    Raises
    ------
    InputError
        Too many nodes have no answer.
    """
    jobs = [(group, _EXHAUST[1]) for group in nodes.groups]
    jobs += [(nodes.effect, exhaust) for exhaust in _EFFECT_EXHAUST]
    cycles = [_Cycles(burning, redline, nodes, *job) for job in jobs]
    before, total = 0, nodes.cycles
    for number, each in enumerate(cycles):
        each.run(str(number), {} if begun is None else begun, progress, before, total)
        before += each.points["speed"].size
    groups, others = cycles[: len(nodes.groups)], cycles[len(nodes.groups) :]
    # What the groups know is brought to the axes of the finest of them.
    speed, t = (max((group.axes[axis] for group in groups), key=len) for axis in (0, 2))
    ratio = np.concatenate([group.axes[1] for group in groups])
    parts = [_between(group.axes, group.values, (speed, group.axes[1], t)) for group in groups]
    values = [np.concatenate([part[name] for part in parts], axis=1) for name in VALUES[:3]]
    effect = _effect(others[0], others[1], (speed, ratio, t))
    filling, kept, pumping = values
    surface = _core.BreathingSurface(speed, ratio, t, _EXHAUST, filling, kept, pumping, effect)
    return surface, _cautions(cycles)


def _effect(thin: _Cycles, dense: _Cycles, wanted: Axes) -> NDArray[np.float64]:
    """Change of volumetric efficiency with exhaust pressure, at all nodes."""
    name = "volumetric_efficiency"
    places = _core.BreathingSurface.difference(np.array(_EFFECT_EXHAUST), _EXHAUST[1])
    slope = (dense.values[name] - thin.values[name]) / np.diff(places)
    # Interpolated in the place of pumping, which alone may have either sign.
    held = {n: np.ones_like(slope) for n in VALUES[:2]}
    effect: NDArray[np.float64] = _between(thin.axes, {**held, "pumping": slope}, wanted)["pumping"]
    return effect


def _cautions(cycles: list[_Cycles]) -> tuple[str, ...]:
    """What did not settle or has no answer."""
    sentences = []
    count = sum(c.solved["status"].size for c in cycles)
    wild = [c.points["speed"][c.solved["status"] != 0] for c in cycles]
    lost = [c.points["speed"][c.lost] for c in cycles]
    settled = [np.setdiff1d(w, gone) for w, gone in zip(wild, lost, strict=True)]
    for speeds, words in (
        (settled, "did not settle ({}): their last cycle was taken"),
        (lost, "have no answer ({}): they were filled from their neighbours along the speed"),
    ):
        rpm = np.round(np.concatenate(speeds) * 30.0 / np.pi, -1)
        if rpm.size:
            where = f"{rpm.min():,.0f} to {rpm.max():,.0f} rpm"
            sentences.append(
                f"{rpm.size} of {count} nodes of the breathing surface {words.format(where)}"
            )
    return tuple(sentences)
