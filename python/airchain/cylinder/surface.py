"""The nodes of a breathing surface: which cycles are run, and how they are put together."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.progress import Progress
from ._node_cycles import (
    EFFECT_EXHAUST,
    EXHAUST,
    QUANTITIES,
    Array,
    Axes,
    Begun,
    Burning,
    Cycles,
    Group,
    Nodes,
    settings,
)
from ._responses import ANSWERS, Responses, burns, logs

__all__ = [
    "AXES",
    "BURNED",
    "COARSE",
    "CYCLES",
    "NODES",
    "SURFACE",
    "VALUES",
    "Begun",
    "Burning",
    "Group",
    "Nodes",
    "cycles_of",
    "error_words",
    "plan",
    "surface_from_cycles",
]

#: Axes and values of a `BreathingSurface`, in the order of its arguments.
AXES = ("wave_speed", "pressure_ratio", "temperature", "exhaust_pressure")
VALUES = ("volumetric_efficiency", "trapping", "pumping", "pressure_effect")
#: What a `BurnedSurface` is made of, likewise.
BURNED = ("wave_speed", "pressure_ratio", "temperature", "work", "exhaust_temperature",
          "peak_pressure", "wall_heat", "coarse_speed", "coarse_ratio", "coarse_temperature",
          "responses", "shapes", "own")  # fmt: skip


#: How an engine with cams breathes, as its file says it: the cycle is run at every point, or a
#: surface of cycles is made first, on all its nodes or on few.
CYCLES, SURFACE, COARSE = "cycles", "surface", "coarse surface"
#: By fineness. Gas comes back from the exhaust at the lowest ratios and the flow of the overlap
#: turns about at 1, where an unblown engine stands: a node there, and close ones beside. Above, the
#: filling hardly answers to the ratio. A coarse surface is made in a fifth of the time, to try
#: cams: of 100 random states of each of three engines 95 were within 0.6 % of their cycle, the
#: worst 2.6 % off.
NODES = {
    "fine": Nodes(
        (
            Group((0.6, 0.66, 0.73), 4, 46),
            Group((0.82, 0.91, 1.0, 1.07), 5, 80),
            Group((1.12, 1.22, 1.38, 1.6, 1.95, 2.5, 3.3), 4, 54, (260.0, 292.0, 335.0, 400.0)),
        ),
        Group((0.6, 0.81, 1.05, 1.5), 3, 10),
        (
            Group((0.8, 0.93), 1, 24),
            Group((1.0, 1.14), 2, 56, (275.0, 312.0)),
            Group((1.38, 1.7, 2.1), 2, 18, (275.0, 312.0)),
        ),
        shapes=((0.4, 0.9), (0.9, 0.9), (0.45, 1.6), (0.95, 1.6)),
    ),
    "coarse": Nodes(
        (
            Group((0.6, 0.73), 3, 34),
            Group((0.85, 0.95, 1.06), 3, 34),
            Group((1.2, 1.6, 2.3, 3.3), 3, 34),
        ),
        Group((0.6, 0.95, 1.5), 3, 8),
        (Group((0.8, 1.2, 2.0), 1, 16),),
        shapes=((0.5, 0.8), (0.9, 1.5)),
    ),
}
#: How far air and work of a surface are off its cycles at most [dimensionless], by fineness: with
#: the burn it was made with, and with other phasing or lambda. Those of the fine one are of points
#: that chains are matched at: 0.15 % over 960 of two engines, and 0.28 % of air, 0.38 % of work
#: over 3,900. Below 0.8 of exhaust pressure, or of 0.3 of redline, it is up to 2 %.
ERRORS = {"fine": (0.003, 0.005), "coarse": (0.026, 0.03)}
#: The nodes of a surface that is asked for without a word on them.
USUAL = "fine"


def error_words(nodes: str) -> str:
    """Return how far a surface is off its cycles.

    Parameters
    ----------
    nodes : str
        A name of `NODES`.

    Returns
    -------
    str
        Such as "within 0.3 % of them with the build's own burn, ...".
    """
    own, moved = (f"{100.0 * error:g} %" for error in ERRORS[nodes])
    burns = f"{own} of them with the build's own burn, {moved} with other phasing or lambda"
    return f"within {burns}, at full throttle"


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
    return repr((nodes, settings(), burns()))


def cycles_of(burning: Burning, redline: float, nodes: Nodes) -> int:
    """Return how many cycles a surface stands on [dimensionless].

    Parameters
    ----------
    burning : Burning
        The cylinder and its phasing.
    redline : float
        Highest crank speed [rad/s].
    nodes : Nodes
        Which nodes it has.

    Returns
    -------
    int
        Those of its nodes and of their answers to other burns, dimensionless.
    """
    return nodes.cycles + Responses(burning, redline, nodes).in_all


#: What brings a quantity within the range of the place that it is interpolated in.
_SCALES = {"exhaust_temperature": 1e-3, "peak_pressure": 1e-2}


def _between(
    axes: Axes, values: Mapping[str, Array], wanted: Axes, scales: Mapping[str, float] = _SCALES
) -> dict[str, Array]:
    """Values of some nodes at those between them, interpolated as the surface does."""
    u, ratio, t = np.meshgrid(*wanted, indexing="ij")
    speed = u * np.asarray(_core.BreathingSurface.stretch(ratio, t))
    return _told(axes, values, (speed, ratio, t), scales)


def _told(
    axes: Axes, values: Mapping[str, Array], at: Axes, scales: Mapping[str, float] = _SCALES
) -> dict[str, Array]:
    """Values of some nodes at engine speeds [rad/s], ratios and temperatures [K]."""
    speed, ratios, temperatures = axes
    found: dict[str, Array] = {}
    for name, given in values.items():
        # Interpolated in the place of pumping, which alone may have either sign.
        ones, scale = np.ones_like(given), scales.get(name, 1.0)
        surface = _core.BreathingSurface(
            speed, ratios, temperatures, EXHAUST, ones, ones, given * scale, ones
        )
        found[name] = np.asarray(surface.pumping_at(*at, EXHAUST[1])) / scale
    return found


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
    begun = {} if begun is None else begun
    responses = Responses(burning, redline, nodes)
    cycles = [Cycles(burning, redline, nodes, group, EXHAUST[1]) for group in nodes.groups]
    cycles += [Cycles(burning, redline, nodes, nodes.effect, p) for p in EFFECT_EXHAUST]
    cycles += responses.cycles
    before, total = 0, nodes.cycles + responses.in_all
    for number, each in enumerate(cycles):
        each.run(str(number), begun, progress, before, total)
        before += each.points["speed"].size
    responses.run_shapes(begun, progress, before, total)
    groups = cycles[: len(nodes.groups)]
    thin, dense = cycles[len(nodes.groups) : len(nodes.groups) + 2]
    # What the groups know is brought to the axes of the finest of them.
    speed, t = (max((group.axes[axis] for group in groups), key=len) for axis in (0, 2))
    ratio = np.concatenate([group.axes[1] for group in groups])
    groups_at = [_between(group.axes, group.values, (speed, group.axes[1], t)) for group in groups]
    values = {
        name: np.concatenate([part[name] for part in groups_at], axis=1) for name in QUANTITIES
    }
    values["trapping"] = np.clip(values["trapping"], 0.0, 1.0)
    places = _core.BreathingSurface.difference(np.array(EFFECT_EXHAUST), EXHAUST[1])
    slopes = {n: (logs(dense.values)[n] - logs(thin.values)[n]) / np.diff(places) for n in ANSWERS}
    effect = _effect(thin, dense, (speed, ratio, t))
    filling, kept, pumping = (values[name] for name in QUANTITIES[:3])

    def made(burned: _core.BurnedSurface | None = None) -> _core.BreathingSurface:
        return _core.BreathingSurface(
            speed, ratio, t, EXHAUST, filling, kept, pumping, effect, burned
        )

    coarse = responses.parts(
        made(),
        lambda at: _told((speed, ratio, t), values, at),
        _told(thin.axes, slopes, responses.states, {}),
        lambda axes, given, at: _between(axes, {"": given}, at, {"": 1e-2})[""],
    )
    parts = [*(values[name] for name in QUANTITIES[3:]), *coarse]
    burned = _core.BurnedSurface(speed, ratio, t, *(np.ravel(part) for part in parts))
    return made(burned), _cautions(cycles)


def _effect(thin: Cycles, dense: Cycles, wanted: Axes) -> NDArray[np.float64]:
    """Change of volumetric efficiency with exhaust pressure, at all nodes."""
    name = "volumetric_efficiency"
    places = _core.BreathingSurface.difference(np.array(EFFECT_EXHAUST), EXHAUST[1])
    slope = (dense.values[name] - thin.values[name]) / np.diff(places)
    effect: NDArray[np.float64] = _between(thin.axes, {name: slope}, wanted)[name]
    return effect


def _cautions(cycles: list[Cycles]) -> tuple[str, ...]:
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
