"""The cycles that a breathing surface stands on: where they are run, and what is taken of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import InputError, refusal
from ..base.progress import Progress, relay

__all__ = [
    "EFFECT_EXHAUST",
    "EXHAUST",
    "LATEST",
    "QUANTITIES",
    "Array",
    "Axes",
    "Begun",
    "Burning",
    "Cycles",
    "Group",
    "Nodes",
    "settings",
    "temperatures",
    "wave_speeds",
    "worked",
]

Array = NDArray[np.float64]
Axes = tuple[Array, Array, Array]
#: Cycles that were run already: columns by the batch of nodes they belong to.
Begun = dict[str, dict[str, list[float]]]

#: What a surface holds of a cycle.
QUANTITIES: tuple[str, ...] = (
    "volumetric_efficiency", "trapping", "pumping", "work", "exhaust_temperature",
    "peak_pressure", "wall_heat",
)  # fmt: skip


#: Lowest and highest charge temperature [K].
_TEMPERATURES = (260.0, 400.0)


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
        return np.asarray(np.minimum(np.array(phased), LATEST))

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
LATEST = 0.7


class Group(NamedTuple):
    """Plenum over exhaust pressures whose cycles are run at the same speeds and temperatures.

    Temperatures are those `at` [K]; without them they spread over all that a surface knows.
    """

    ratios: tuple[float, ...]
    temperatures: int
    speeds: int
    at: tuple[float, ...] = ()

    @property
    def cycles(self) -> int:
        """How many cycles are run [dimensionless]."""
        return len(self.ratios) * self.temperatures * self.speeds


class Nodes(NamedTuple):
    """Which cycles a surface stands on.

    `groups` are those at the usual exhaust pressure; `effect` are run at two exhaust pressures for
    what that changes, `responses` with other burns. `speeds` are the lowest and highest over
    redline. `shapes` are states, speed over redline and pressure ratio, where many burns are run.
    """

    groups: tuple[Group, ...]
    effect: Group
    responses: tuple[Group, ...]
    speeds: tuple[float, float] = (0.25, 1.06)
    shapes: tuple[tuple[float, float], ...] = ()

    @property
    def cycles(self) -> int:
        """How many cycles are run with the surface's own burn [dimensionless]."""
        return sum(group.cycles for group in self.groups) + 2 * self.effect.cycles


#: Exhaust pressures of these runs [Pa].
EFFECT_EXHAUST = (90e3, 150e3)
#: Lowest exhaust pressure, that of all other runs, and highest [Pa].
EXHAUST = (75e3, 105e3, 190e3)
#: Estimated distance of a node from its settled cycle.
_SETTLED = 3e-4
#: Share of nodes that may stay without an answer, and are filled from their neighbours.
_MOST_LOST = 0.03
#: Least volumetric efficiency and trapping that a surface holds [dimensionless]: below, exhaust
#: fills the cylinder through the overlap, and the engine does not run.
_LEAST_FILLING, _LEAST_TRAPPING = 0.1, 0.2
#: Nodes run at a time: what is lost where the work is interrupted.
_BATCH = 384
#: What is taken of a cycle.
_TAKEN = ("volumetric_efficiency", "scavenging_loss", "pmep", "gross_imep", "peak_pressure",
          "exhaust_temperature", "heat_loss", "fresh_mass", "fuel_mass", "air_mass",
          "status")  # fmt: skip


def settings() -> str:
    """Return what decides how a node's cycle is run, as text."""
    return repr((EXHAUST, EFFECT_EXHAUST, _TEMPERATURES, _SETTLED))


def worked(
    setup: _core.CycleSetup, solved: Mapping[str, Array], plenum_pressure: Array
) -> dict[str, Array]:
    """Return what a surface holds of solved cycles.

    Parameters
    ----------
    setup : CycleSetup
        The cylinder.
    solved : mapping
        Columns of `run_cycles` [SI].
    plenum_pressure : ndarray
        In the plenum [Pa].

    Returns
    -------
    dict
        Each of `QUANTITIES`: volumetric efficiency, trapping, mean effective pressure lost in the
        gas exchange over plenum pressure, gross work over the heating value of the fuel that
        stayed, all dimensionless, exhaust temperature [K], peak over plenum pressure and
        volumetric efficiency, and heat to the walls over that heating value, both dimensionless.
    """
    fuel = solved["fuel_mass"] / solved["air_mass"]
    share = fuel / (1.0 + setup.mixture.vapour + fuel)
    heat = solved["fresh_mass"] * share * setup.mixture.fuel.lower_heating_value
    displacement = 0.25 * np.pi * setup.crank.bore**2 * setup.crank.stroke
    return {
        "volumetric_efficiency": solved["volumetric_efficiency"],
        "trapping": 1.0 - np.maximum(solved["scavenging_loss"], 0.0),
        "pumping": solved["pmep"] / plenum_pressure,
        "work": solved["gross_imep"] * displacement / heat,
        "exhaust_temperature": solved["exhaust_temperature"],
        "peak_pressure": solved["peak_pressure"]
        / (plenum_pressure * solved["volumetric_efficiency"]),
        "wall_heat": solved["heat_loss"] / heat,
    }


def temperatures(count: int, at: tuple[float, ...] = ()) -> NDArray[np.float64]:
    """Charge temperatures [K] `at`, or at Chebyshev's places, the outermost at the ends."""
    if at or count == 1:
        return np.array(at or [0.5 * sum(_TEMPERATURES)])
    place = -np.cos((np.arange(count) + 0.5) * np.pi / count)
    low, high = _TEMPERATURES
    return np.asarray(0.5 * (low + high) + 0.5 * (high - low) * place / place[-1])


def wave_speeds(redline: float, nodes: Nodes, count: int) -> NDArray[np.float64]:
    """Wave speeds [rad/s]: close where standing waves of many orders crowd, at low speed."""
    corners = np.meshgrid([nodes.groups[0].ratios[0], nodes.groups[-1].ratios[-1]], _TEMPERATURES)
    stretch = np.asarray(_core.BreathingSurface.stretch(*corners))
    low, high = nodes.speeds
    at = np.linspace(low / stretch.max(), high / stretch.min(), 1000)
    density = (at[0] / at) ** 1.5 + 0.1
    place = np.concatenate([[0.0], np.cumsum(0.5 * (density[1:] + density[:-1]))])
    even = np.linspace(0.0, place[-1], count)
    return np.asarray(np.interp(even, place, at) * redline)


def _stretch(ratio: Array, temperature: Array) -> Array:
    return np.asarray(_core.BreathingSurface.stretch(ratio, temperature))


class Cycles:
    """Cycles of a group over wave speed, pressure ratio and temperature."""

    def __init__(
        self,
        burning: Burning,
        redline: float,
        nodes: Nodes,
        group: Group,
        exhaust: float,
        half_burned: Array | None = None,
        stretch: Callable[[Array, Array], Array] = _stretch,
    ) -> None:
        self.setup = burning.setup
        speeds = wave_speeds(redline, nodes, group.speeds)
        t = temperatures(group.temperatures, group.at)
        self.axes = (speeds, np.array(group.ratios), t)
        u, ratio, t = np.meshgrid(*self.axes, indexing="ij")
        self.shape = u.shape
        self.points = {
            "speed": (u * stretch(ratio, t)).ravel(),
            "plenum_pressure": (exhaust * ratio).ravel(),
            "exhaust_pressure": np.full(u.size, exhaust),
            "plenum_temperature": t.ravel(),
            "half_burned": burning.half_burned(EXHAUST[1] * ratio.ravel()),
        }
        if half_burned is not None:
            self.points["half_burned"] = half_burned
        self.solved: dict[str, Array] = {}

    def run(self, name: str, begun: Begun, progress: Progress | None, before: int,
            total: int) -> Cycles:  # fmt: skip
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
        lost = np.flatnonzero(~np.isfinite(self.solved["volumetric_efficiency"]))
        if lost.size:
            careful = _core.CycleControls(tolerance=_SETTLED, courant=0.45)
            part = {name: values[lost] for name, values in self.points.items()}
            again = _core.run_cycles(self.setup, part, careful)
            for column in _TAKEN:
                self.solved[column][lost] = again[column]
        if self.lost.size > _MOST_LOST * self.points["speed"].size:
            raise self._refused(int(self.lost[0]))
        return self

    def _refused(self, place: int) -> InputError:
        rpm = self.points["speed"][place] * 30.0 / np.pi
        if not np.isfinite(self.solved["volumetric_efficiency"][place]):
            rule = "have an answer at every node"
            hint = "check cams, ports and pipes for absurd dimensions"
            return refusal("Surface", "cycle", f"none at {rpm:,.0f} rpm", rule, hint)
        ratio = self.points["plenum_pressure"][place] / self.points["exhaust_pressure"][place]
        overlap = np.degrees(self.setup.exhaust_valve.closing - self.setup.intake_valve.opening)
        rule = "let the cylinder fill with fresh charge at every node of a breathing surface"
        hint = (
            f"exhaust fills it at {rpm:,.0f} rpm where the plenum has {ratio:g} of the exhaust's "
            'pressure; turn the lobes apart, shorten them, or set breathing = "cycles", which asks '
            "only for the points of a pull"
        )
        return refusal("Surface", "overlap", f"{overlap:.0f} degrees from lift to lift", rule, hint)

    @property
    def lost(self) -> NDArray[np.int64]:
        """Places of those without an answer, or without fresh charge."""
        filled = self.solved["volumetric_efficiency"] > _LEAST_FILLING
        kept = 1.0 - self.solved["scavenging_loss"] > _LEAST_TRAPPING
        return np.flatnonzero(~(filled & kept))

    @property
    def values(self) -> dict[str, NDArray[np.float64]]:
        """What the surface holds, over the axes."""
        solved = {name: column.copy() for name, column in self.solved.items()}
        for column in solved.values():
            column[self.lost] = np.nan
        columns = worked(self.setup, solved, self.points["plenum_pressure"])
        return {n: _filled(self.axes[0], v.reshape(self.shape)) for n, v in columns.items()}


def _filled(speed: NDArray[np.float64], values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values with those that are missing taken from their neighbours along the speed."""
    values = values.copy()
    for _, j, k in np.argwhere(~np.isfinite(values)):
        line = values[:, j, k]
        known = np.isfinite(line)
        line[:] = np.interp(speed, speed[known], line[known])
    return values
