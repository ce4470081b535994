"""How what a cycle does answers to exhaust pressure, phasing and mixture, by cycles of many burns.

Every answer changes by a shape over phasing, and over lambda, that is alike at all states, and by
what each state adds in proportion to phasing, its square, how lean and how rich the charge is, and
the square of that. The shapes are fitted to many burns at few states, the rest to two other
phasings and three other mixtures at many. What a mixture does to the waves of the runner needs no
cycle: the surface knows it from the charge's temperature.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from typing import NamedTuple

import numpy as np

from .. import _core
from ..base.progress import Progress, relay
from ._node_cycles import (
    EXHAUST,
    LATEST,
    QUANTITIES,
    Array,
    Axes,
    Begun,
    Burning,
    Cycles,
    Group,
    Nodes,
    worked,
)

__all__ = ["ANSWERS", "Responses", "burns", "logs"]

#: What answers, in the order of the core.
ANSWERS = ("volumetric_efficiency", "exhaust_temperature", "work", "pumping", "peak_pressure",
           "wall_heat", "trapping")  # fmt: skip
#: What changes by a sum; all others by a factor.
_SUMS = ("pumping", "trapping")
assert set(ANSWERS) == set(QUANTITIES)
_FILLING, _EXHAUST, _PUMPING, _TRAPPING = map(
    ANSWERS.index, ("volumetric_efficiency", "exhaust_temperature", "pumping", "trapping")
)
_DEGREE = np.pi / 180.0
#: Half burned of the shapes [rad]; the mixtures are run at the mean of the surface's own.
_PHASINGS = np.array([-2.0, 2.0, 6.0, 10.0, 15.0, 20.0, 25.0, 30.0, 36.0, 42.0]) * _DEGREE
#: Lambdas of the shapes.
_RICH, _LEAN = (0.65, 0.7, 0.76, 0.83, 0.9, 0.95), (1.05, 1.1, 1.15)
#: Half burned [rad] and lambda that move together.
_TOGETHER = tuple((t * _DEGREE, x) for t in (2.0, 6.0, 25.0, 36.0) for x in (0.7, 0.83, 1.0, 1.1))
#: How far off its own phasing a node is run, earlier and later, and within which bounds [rad].
_OFF = (-8.0 * _DEGREE, 13.0 * _DEGREE)
#: Lambdas that every node is run with.
_MIXTURES = (0.78, 1.0, 1.1)
#: Charge temperature of the shapes [K], and how close their cycles settle.
_TEMPERATURE, _CLOSE = 320.0, 1e-4
#: Half burned in which powers are told [rad], and knots of the spline over it, as in the core.
_UNIT, _KNOTS = 20.0 * _DEGREE, (12.0 / 20.0, 24.0 / 20.0, 34.0 / 20.0)
#: Where the speed of sound in the charge is told [K].
_MIDDLE = 330.0


def burns() -> str:
    """Return what decides the burns that are run, as text."""
    return repr(
        (_PHASINGS.tolist(), _RICH, _LEAN, _TOGETHER, _OFF, _MIXTURES, _TEMPERATURE, _CLOSE)
    )


def logs(values: Mapping[str, Array]) -> dict[str, Array]:
    """Return what of every answer is a sum of its responses.

    Parameters
    ----------
    values : mapping
        Every answer, dimensionless; exhaust temperature [K].

    Returns
    -------
    dict
        Pumping and trapping as they are, of all others the logarithm, dimensionless.
    """
    return {n: values[n] if n in _SUMS else np.log(values[n]) for n in ANSWERS}


class _Burns(NamedTuple):
    """Other burns at the states of a group: half burned [rad], and two phasings and mixtures."""

    own: Array
    early: Array
    late: Array
    cycles: list[Cycles]


def _rows(values: Mapping[str, Array]) -> Array:
    return np.array(list(logs(values).values()))


def _response_stretch(_ratio: Array, temperature: Array) -> Array:
    return np.asarray(_core.BreathingSurface.response_stretch(temperature))


def _powers(count: int) -> Callable[[Array], Array]:
    return lambda x: np.array([x**k for k in range(1, count + 1)])


def _spline(t: Array) -> Array:
    """Terms of a cubic spline over phasing, as the core has them."""
    return np.array([*_powers(3)(t), *(np.maximum(t - knot, 0.0) ** 3 for knot in _KNOTS)])


_RICH_POWERS, _LEAN_POWERS = _powers(4), _powers(2)


class Responses:
    """The cycles of other burns than a surface's own, and what they say."""

    def __init__(self, burning: Burning, redline: float, nodes: Nodes) -> None:
        self.burning, self.redline, self.nodes = burning, redline, nodes
        recipe = burning.setup.mixture
        self.mixture = recipe.lambda_
        self.unevenness = recipe.unevenness
        self.groups = [self._group(group) for group in nodes.responses]
        self.cycles = [one for group in self.groups for one in group.cycles]
        self.middle = float(np.concatenate([group.own for group in self.groups]).mean())
        self.shapes: dict[float, list[Array]] = {}

    def _with(self, mixture: float) -> _core.CycleSetup:
        setup = self.burning.setup
        return setup.replace(mixture=setup.mixture.replace(lambda_=mixture))

    def _group(self, group: Group) -> _Burns:
        def cycles(mixture: float, half: Array | None) -> Cycles:
            burning = self.burning._replace(setup=self._with(mixture))
            return Cycles(
                burning, self.redline, self.nodes, group, EXHAUST[1], half, _response_stretch
            )

        own = cycles(self.mixture, None).points["half_burned"]
        early, late = (np.clip(own + off, _PHASINGS[0], _PHASINGS[-1]) for off in _OFF)
        phased = [cycles(self.mixture, half) for half in (early, late)]
        return _Burns(own, early, late, [*phased, *(cycles(x, own) for x in _MIXTURES)])

    @property
    def axes(self) -> Axes:
        """Speeds and temperatures of the finest groups, and all ratios."""
        all_axes = [group.cycles[0].axes for group in self.groups]
        ratios = np.concatenate([axes[1] for axes in all_axes])
        speeds, temperatures = (max((axes[i] for axes in all_axes), key=len) for i in (0, 2))
        return speeds, ratios, temperatures

    @property
    def states(self) -> Axes:
        """Engine speeds [rad/s], ratios and temperatures [K] of all places of the axes."""
        u, ratio, t = np.meshgrid(*self.axes, indexing="ij")
        return u * _response_stretch(ratio, t), ratio, t

    @property
    def in_all(self) -> int:
        """How many cycles are run in all [dimensionless]."""
        groups = zip(self.groups, self.nodes.responses, strict=True)
        return self.burns + sum(len(one.cycles) * group.cycles for one, group in groups)

    @property
    def _burns(self) -> dict[float, list[float]]:
        """Half burned of every lambda that the shapes are run with."""
        wanted: dict[float, list[float]] = {self.mixture: [*_PHASINGS.tolist(), self.middle]}
        for mixture in (*_RICH, 1.0, *_LEAN):
            wanted.setdefault(mixture, []).append(self.middle)
        for phasing, mixture in _TOGETHER:
            wanted.setdefault(mixture, []).append(phasing)
        return wanted

    @property
    def burns(self) -> int:
        """How many cycles the shapes take [dimensionless]."""
        return len(self.nodes.shapes) * sum(len(one) for one in self._burns.values())

    def run_shapes(self, begun: Begun, progress: Progress | None, before: int, total: int) -> None:
        """Run many burns at few states; those begun are not run again."""
        controls = _core.CycleControls(tolerance=_CLOSE)
        states = np.array(self.nodes.shapes).reshape(-1, 2)
        for mixture, phasings in self._burns.items():
            at, half = (a.ravel() for a in np.meshgrid(
                np.arange(len(states)), phasings, indexing="ij"))  # fmt: skip
            exhaust = np.full(at.size, EXHAUST[1])
            points = {
                "speed": states[at, 0] * self.redline,
                "plenum_pressure": states[at, 1] * exhaust,
                "exhaust_pressure": exhaust,
                "plenum_temperature": np.full(at.size, _TEMPERATURE),
                "half_burned": half,
            }
            batch = f"shapes, {mixture}"
            if at.size and batch not in begun:
                told_of = relay(progress, before, total)
                setup = self._with(mixture)
                solved = _core.run_cycles(setup, points, controls, progress=told_of)
                found = worked(setup, solved, points["plenum_pressure"])
                begun[batch] = {name: found[name].tolist() for name in ANSWERS}
            kept = {name: np.array(begun[batch][name]) for name in ANSWERS} if at.size else {}
            before += at.size
            if at.size:
                rows = _rows(kept).reshape(len(ANSWERS), len(states), len(phasings))
                self.shapes[mixture] = [rows[:, :, i] for i in range(len(phasings))]

    @cached_property
    def _sound(self) -> Array:
        """Numbers of the square of the charge's speed of sound over lambda, by its own."""
        mixtures = np.linspace(min(_RICH), max(_LEAN), 21)
        recipe = self.burning.setup.mixture
        speeds = [recipe.replace(lambda_=float(x)).sound_speed(_MIDDLE) for x in mixtures]
        rise = (np.array(speeds) / recipe.sound_speed(_MIDDLE)) ** 2 - 1.0
        powers = _powers(3)(mixtures - self.mixture)
        return np.asarray(np.linalg.lstsq(powers.T, rise, rcond=None)[0])

    def _like(self, temperature: Array, mixture: float) -> Array:
        """Charge temperature [K] at which the own mixture fills as another does."""
        rise = float(self._sound @ _powers(3)(np.array(mixture - self.mixture)))
        return temperature * (1.0 + rise)

    def _moved(self, filled: _core.BreathingSurface, at: Axes, mixture: float) -> Array:
        """What a mixture changes of filling and pumping by the speed of sound in the charge."""
        speed, ratio, t = at
        moved = np.zeros((len(ANSWERS), speed.size))
        there, here = (speed, ratio, self._like(t, mixture)), (speed, ratio, t)
        own = EXHAUST[1]
        moved[_FILLING] = np.log(
            filled.volumetric_efficiency_at(*there, own)
            / filled.volumetric_efficiency_at(*here, own)
        )
        moved[_PUMPING] = filled.pumping_at(*there, own) - filled.pumping_at(*here, own)
        moved[_TRAPPING] = filled.trapping_at(*there, own) - filled.trapping_at(*here, own)
        return moved

    def _changes(
        self,
        group: _Burns,
        own_at: Callable[[Axes], Mapping[str, Array]],
        filled: _core.BreathingSurface,
    ) -> list[Array]:
        """What each burn of a group changes, by answer and state, less what the surface moves."""
        _, ratio, t = (a.ravel() for a in np.meshgrid(*group.cycles[0].axes, indexing="ij"))
        at = (group.cycles[0].points["speed"], ratio, t)
        mixtures = (self.mixture, self.mixture, *_MIXTURES)
        here = _rows(own_at(at))
        return [
            _rows(one.values).reshape(len(ANSWERS), -1) - here - self._moved(filled, at, x)
            for one, x in zip(group.cycles, mixtures, strict=True)
        ]

    def parts(
        self,
        filled: _core.BreathingSurface,
        own_at: Callable[[Axes], Mapping[str, Array]],
        by_pressure: Mapping[str, Array],
        between: Callable[[Axes, Array, Axes], Array],
    ) -> tuple[Array, ...]:
        """Return the coarse axes, responses, shapes and own burn of a `BurnedSurface`.

        `own_at` tells the answers of the surface's own burn at speeds, ratios and temperatures,
        `by_pressure` how their logarithms change with that of exhaust pressure at `axes`, `filled`
        is the surface of the filling, and `between` interpolates values over axes to others.
        """
        shapes = [self._shape(i, filled) for i in range(len(ANSWERS))]
        speed, ratios, t = self.axes
        shape = (speed.size, ratios.size, t.size)
        causes = np.zeros((len(ANSWERS), 6, *shape))
        first = 0
        for group in self.groups:
            axes = group.cycles[0].axes
            changes = self._changes(group, own_at, filled)
            here = slice(first, first + axes[1].size)
            first += axes[1].size
            for i, numbers in enumerate(shapes):
                found = self._causes(i, group, numbers, [one[i] for one in changes])
                for k, values in enumerate(found):
                    given = values.reshape(group.cycles[0].shape)
                    causes[i, 1 + k, :, here] = between(axes, given, (speed, axes[1], t))
        for i, name in enumerate(ANSWERS):
            # Filling's effect of exhaust pressure has a place of its own, trapping has none.
            causes[i, 0] = 0.0 if i in (_FILLING, _TRAPPING) else by_pressure[name]
        own_burn = self.burning.combustion
        burn = [self.burning.setup.burn.half_burned, 0.0] if own_burn is None else [
            own_burn.phasing, own_burn.phasing_retard]  # fmt: skip
        latest = max(LATEST, burn[0]) if own_burn is None else LATEST
        return (
            *self.axes,
            np.clip(causes, -50.0, 50.0),
            np.array(shapes),
            np.array([*burn, latest, self.mixture, *self._sound, self.unevenness]),
        )

    def _causes(
        self, answer: int, group: _Burns, numbers: Array, changes: list[Array]
    ) -> list[Array]:
        """What every state of a group adds to one answer's shape, by cause from phasing on."""
        t_own, early, late = (half / _UNIT for half in (group.own, group.early, group.late))
        slopes = []
        for change, t in zip(changes, (early, late), strict=False):
            rest = change - numbers[:6] @ (_spline(t) - _spline(t_own))
            slopes.append(rest / (t - t_own))
        # The slopes are A_1 + A_2 (t + t_own).
        square = (slopes[1] - slopes[0]) / (late - early)
        straight = slopes[0] - square * (early + t_own)
        steps, rests = [], []
        for mixture, change in zip(_MIXTURES, changes[2:], strict=True):
            moved = self._mixed(mixture) - self._mixed(self.mixture)
            steps.append(moved[[0, 4, 1]])
            rests.append(change - numbers[6:12] @ moved)
        # Exhaust temperature hardly answers to the square of rich, and has no place for it.
        used = 2 if answer == _EXHAUST else 3
        found = np.zeros((3, rests[0].size))
        found[:used] = np.linalg.lstsq(np.array(steps)[:, :used], np.array(rests), rcond=None)[0]
        return [straight, square, *found]

    def _mixed(self, mixture: float) -> Array:
        """Powers of how rich and how lean a mixture is."""
        x, y = self._sides(mixture)
        return np.array([*_RICH_POWERS(x), *_LEAN_POWERS(y)])

    def _sides(self, mixture: float) -> Array:
        """How rich and how lean a mixture is."""
        sides = (_core.BreathingSurface.rich_side, _core.BreathingSurface.lean_side)
        return np.array([side(mixture, self.unevenness) for side in sides])

    def _shape(self, answer: int, filled: _core.BreathingSurface) -> Array:
        """The numbers of a shape: a spline of phasing, powers of mixture, and both together."""
        if not self.shapes:
            return np.zeros(16)
        states = np.array(self.nodes.shapes)
        place = (states[:, 0] * self.redline, states[:, 1], np.full(len(states), _TEMPERATURE))
        at = {}
        for mixture, rows in self.shapes.items():
            moved = self._moved(filled, place, mixture)[answer]
            for half, row in zip(self._burns[mixture], rows, strict=True):
                at[mixture, half] = row[answer] - moved
        middle = at[self.mixture, self.middle]
        by_phasing = np.array([at[self.mixture, half] - middle for half in _PHASINGS])
        base = _spline(np.array([self.middle / _UNIT]))
        phasing = _fitted(by_phasing, _spline(_PHASINGS / _UNIT) - base)
        mixtures = [x for x in self.shapes if (x, self.middle) in at and x != self.mixture]
        by_mixture = np.array([at[x, self.middle] - middle for x in mixtures])
        own = self._mixed(self.mixture)
        mixed = _fitted(by_mixture, np.array([self._mixed(x) - own for x in mixtures]).T)
        rest, basis = [], []
        for half, mixture in _TOGETHER:
            dt = (half - self.middle) / _UNIT
            alone = at[self.mixture, half] + at[mixture, self.middle] - middle
            dx, dy = self._sides(mixture) - self._sides(self.mixture)
            rest += (at[mixture, half] - alone).tolist()
            basis += [[dt * dx, dt * dt * dx, dt * dx * dx, dt * dy]] * middle.size
        known = np.isfinite(rest)
        cross = np.linalg.lstsq(np.array(basis)[known], np.array(rest)[known], rcond=None)[0]
        return np.concatenate([phasing, mixed, cross])


def _fitted(changes: Array, basis: Array) -> Array:
    """Numbers of a shape: `changes` stand over burns and states, `basis` over powers and burns."""
    known = np.isfinite(changes).all(axis=0)
    if not known.any():
        return np.zeros(len(basis))
    return np.asarray(np.linalg.lstsq(basis.T, changes[:, known].mean(axis=1), rcond=None)[0])
