"""How what a cycle does answers to exhaust pressure, phasing and mixture, by cycles of many burns.

Every answer changes by a shape over phasing, and over lambda, that is alike at all states, and by
what each state adds in proportion to phasing, its square, and lambda. The shapes are fitted to many
burns at few states, the rest to two other phasings and two other mixtures at many.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

from .. import _core
from ..base.progress import Progress, relay
from ._node_cycles import (
    EXHAUST,
    LATEST,
    QUANTITIES,
    Array,
    Begun,
    Burning,
    Cycles,
    Nodes,
    worked,
)

__all__ = ["ANSWERS", "Responses", "burns", "logs"]

#: What answers, in the order of the core.
ANSWERS = ("volumetric_efficiency", "exhaust_temperature", "work", "pumping", "peak_pressure",
           "wall_heat")  # fmt: skip
assert set(ANSWERS) < set(QUANTITIES)
_DEGREE = np.pi / 180.0
#: Half burned of the shapes [rad]; the mixtures are run at the mean of the surface's own.
_PHASINGS = np.array([-2.0, 2.0, 6.0, 10.0, 15.0, 20.0, 25.0, 30.0, 36.0, 42.0]) * _DEGREE
#: Lambdas of the shapes.
_RICH, _LEAN = (0.65, 0.7, 0.76, 0.83, 0.9, 0.95), (1.05, 1.1, 1.15)
#: Half burned [rad] and lambda that move together.
_TOGETHER = tuple((t * _DEGREE, x) for t in (2.0, 6.0, 25.0, 36.0) for x in (0.7, 0.83, 1.0, 1.1))
#: How far off its own phasing a node is run, earlier and later, and within which bounds [rad].
_OFF = (-10.0 * _DEGREE, 16.0 * _DEGREE)
#: Lambdas that every node is run with.
_MIXTURES = (0.78, 1.0, 1.1)
#: Charge temperature of the shapes [K], and how close their cycles settle.
_TEMPERATURE, _CLOSE = 320.0, 1e-4
#: Half burned in which powers are told [rad].
_UNIT = 20.0 * _DEGREE


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
        Pumping as it is, of all others the logarithm, dimensionless.
    """
    return {n: values[n] if n == "pumping" else np.log(values[n]) for n in ANSWERS}


def _rows(values: Mapping[str, Array]) -> Array:
    return np.array(list(logs(values).values()))


def _powers(count: int) -> Callable[[Array], Array]:
    return lambda x: np.array([x**k for k in range(1, count + 1)])


_PHASING, _RICH_POWERS, _LEAN_POWERS = _powers(4), _powers(3), _powers(2)


class Responses:
    """The cycles of other burns than a surface's own, and what they say."""

    def __init__(self, burning: Burning, redline: float, nodes: Nodes) -> None:
        self.burning, self.redline, self.nodes = burning, redline, nodes
        self.mixture = burning.setup.mixture.lambda_
        one = Cycles(burning, redline, nodes, nodes.response, EXHAUST[1])
        self.own = one.points["half_burned"]
        self.middle = float(self.own.mean())
        low, high = _PHASINGS[0], _PHASINGS[-1]
        self.off = [np.clip(self.own + off, low, high) for off in _OFF]
        self.cycles = [
            *(self._cycles(self.mixture, half) for half in self.off),
            *(self._cycles(mixture, self.own) for mixture in _MIXTURES),
        ]
        self.shapes: dict[float, list[Array]] = {}

    def _with(self, mixture: float) -> _core.CycleSetup:
        setup = self.burning.setup
        return setup.replace(mixture=setup.mixture.replace(lambda_=mixture))

    def _cycles(self, mixture: float, half_burned: Array) -> Cycles:
        burning = self.burning._replace(setup=self._with(mixture))
        nodes = self.nodes
        return Cycles(burning, self.redline, nodes, nodes.response, EXHAUST[1], half_burned)

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
        """How many cycles the shapes take."""
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

    def parts(
        self, own: Mapping[str, Array], by_pressure: Mapping[str, Array]
    ) -> tuple[Array, ...]:
        """Return the coarse axes, responses, shapes and own burn of a `BurnedSurface`.

        `own` are the answers of the surface's own burn at the states of `cycles`, `by_pressure` how
        their logarithms change with that of exhaust pressure.
        """
        shapes = [self._shape(i) for i in range(len(ANSWERS))]
        shape = self.cycles[0].shape
        causes = np.zeros((len(ANSWERS), 5, *shape))
        here = _rows(own)
        changes = [(_rows(one.values) - here).reshape(len(ANSWERS), -1) for one in self.cycles]
        t_own, early, late = (half / _UNIT for half in (self.own, *self.off))
        for i, (name, numbers) in enumerate(zip(ANSWERS, shapes, strict=True)):
            # Filling's effect of exhaust pressure has a place of its own.
            causes[i, 0] = 0.0 if i == 0 else by_pressure[name]
            slopes = []
            for k, t in enumerate((early, late)):
                rest = changes[k][i] - numbers[0:4] @ (_PHASING(t) - _PHASING(t_own))
                slopes.append(rest / (t - t_own))
            # The slopes are A_1 + A_2 (t + t_own).
            square = (slopes[1] - slopes[0]) / (late - early)
            causes[i, 1] = (slopes[0] - square * (early + t_own)).reshape(shape)
            causes[i, 2] = square.reshape(shape)
            sides = ((numbers[4:7], _RICH_POWERS, min), (numbers[7:9], _LEAN_POWERS, max))
            steps = np.empty((3, 2))
            for k, mixture in enumerate(_MIXTURES):
                for j, (alike, powers, side) in enumerate(sides):
                    steps[k, j] = side(mixture, 1.0) - side(self.mixture, 1.0)
                    changes[2 + k][i] -= self._step(alike, powers, mixture, side)
            every = np.array([one[i] for one in changes[2:]])
            causes[i, 3:] = np.linalg.lstsq(steps, every, rcond=None)[0].reshape(2, *shape)
        own_burn = self.burning.combustion
        burn = [self.burning.setup.burn.half_burned, 0.0] if own_burn is None else [
            own_burn.phasing, own_burn.phasing_retard]  # fmt: skip
        latest = max(LATEST, burn[0]) if own_burn is None else LATEST
        held = np.clip(causes, -50.0, 50.0)
        return (
            *self.cycles[0].axes,
            held,
            np.array(shapes),
            np.array([*burn, latest, self.mixture]),
        )

    def _step(self, numbers: Array, powers: Callable[[Array], Array], mixture: float,
              side: Callable[..., float]) -> float:  # fmt: skip
        """What a shape over lambda changes by from the surface's own to another."""
        x, own = (np.array(side(one, 1.0) - 1.0) for one in (mixture, self.mixture))
        return float(numbers @ (powers(x) - powers(own)))

    def _shape(self, answer: int) -> Array:
        """The numbers of a shape: powers of phasing, of rich and lean mixture, and of both."""
        if not self.shapes:
            return np.zeros(13)
        at = {(x, half): rows[i][answer] for x, rows, halves in (
            (x, self.shapes[x], self._burns[x]) for x in self.shapes)
            for i, half in enumerate(halves)}  # fmt: skip
        middle = at[self.mixture, self.middle]
        by_phasing = np.array([at[self.mixture, half] - middle for half in _PHASINGS])
        base = _PHASING(np.array([self.middle / _UNIT]))
        phasing = _fitted(by_phasing, _PHASING(_PHASINGS / _UNIT) - base)
        one = at[1.0, self.middle]
        sides = []
        for mixtures, powers, low in ((_RICH, _RICH_POWERS, True), (_LEAN, _LEAN_POWERS, False)):
            every = [*mixtures, self.mixture] if (self.mixture < 1.0) == low else [*mixtures]
            every = sorted(set(every))
            changes = np.array([at[x, self.middle] - one for x in every])
            sides.append(_fitted(changes, powers(np.array(every) - 1.0)))
        rest, basis = [], []
        for half, mixture in _TOGETHER:
            dt = (half - self.middle) / _UNIT
            alone = at[self.mixture, half] + at[mixture, self.middle] - middle
            dx = min(mixture, 1.0) - min(self.mixture, 1.0)
            dy = max(mixture, 1.0) - max(self.mixture, 1.0)
            rest += (at[mixture, half] - alone).tolist()
            basis += [[dt * dx, dt * dt * dx, dt * dx * dx, dt * dy]] * middle.size
        known = np.isfinite(rest)
        cross = np.linalg.lstsq(np.array(basis)[known], np.array(rest)[known], rcond=None)[0]
        return np.concatenate([phasing, *sides, cross])


def _fitted(changes: Array, basis: Array) -> Array:
    """Numbers of a shape: `changes` stand over burns and states, `basis` over powers and burns."""
    known = np.isfinite(changes).all(axis=0)
    if not known.any():
        return np.zeros(len(basis))
    return np.asarray(np.linalg.lstsq(basis.T, changes[:, known].mean(axis=1), rcond=None)[0])
