"""One way in which a fault shows, of a size that is sought: in the chain, or in what is read.

Every speed of a pull is matched by itself, so that a fault that grows along the pull is its answer
at each speed for the size that it has there. The chain is solved at a few sizes, and what lies
between is drawn through them by a cubic spline.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from .. import _core
from ..base.errors import InputError
from .scene import Scene

Array = NDArray[np.float64]
Columns = Mapping[str, Array]
#: Sizes at which the chain is solved, over the largest.
_NODES = np.array([0.0, 0.03, 0.08, 0.16, 0.3, 0.5, 0.75, 1.0])
_FEWEST = 4


class Form(Protocol):
    """One way in which a fault shows. `smallest` and `largest` are of one sign."""

    @property
    def kind(self) -> str:
        """What its size is, a key of `sizes.SAID`."""

    @property
    def smallest(self) -> float:
        """The size from which it is worth a word."""

    @property
    def largest(self) -> float:
        """The size as bad as it gets."""

    def suits(self, scene: Scene) -> bool:
        """Return whether it can be in this pull at all."""

    def nodes(self, scene: Scene) -> tuple[Array, dict[str, Array]]:
        """Return sizes from 0 up, and by channel what is read beyond the healthy: sizes by rows."""


def between(sizes: Array, at: Array) -> Array:
    """Return the weights of values at sizes from 0 up (or down) for other sizes: by sizes."""
    weights: Array = CubicSpline(sizes / sizes[-1], np.eye(sizes.size))(at / sizes[-1])
    return weights


def whole(place: Array) -> Array:
    """The same at every speed."""
    return np.ones_like(place)


def climbing(power: float) -> Callable[[Array], Array]:
    """From nothing at the slowest speed to all of it at the fastest."""
    return lambda place: place**power


def as_torque(place: Array) -> Array:
    """With a blower's torque, the square of speed, in a pull that begins at 0.4 of its end."""
    share: Array = (0.4 + 0.6 * place) ** 2
    return share


def from_place(onset: float) -> Callable[[Array], Array]:
    """Nothing below a place in the pull, and growing straight to its end."""
    return lambda place: np.clip((place - onset) / (1.0 - onset), 0.0, 1.0)


def _as_solved(_scene: Scene, columns: Columns, _size: Array) -> Columns:
    return columns


def _anywhere(_scene: Scene) -> bool:
    return True


@dataclass(frozen=True)
class InChain:
    """A change of the chain. `read` makes readings of columns where they are not the same."""

    kind: str
    smallest: float
    largest: float
    changed: Callable[[Scene, float], _core.Chain]
    profile: Callable[[Array], Array] = whole
    read: Callable[[Scene, Columns, Array], Columns] = _as_solved
    fits: Callable[[Scene], bool] = _anywhere

    def suits(self, scene: Scene) -> bool:
        """Return whether it can be in this pull at all."""
        return self.fits(scene)

    def nodes(self, scene: Scene) -> tuple[Array, dict[str, Array]]:
        """Return sizes from 0 up, and by channel what is read beyond the healthy."""
        sizes, table = self._solved(scene)
        if sizes.size < _FEWEST:
            return sizes[:1], {}
        by_channel: dict[str, list[Array]] = {name: [] for name in scene.run.columns}
        healthy = self._readings(scene, scene.healthy, np.zeros(scene.run.rpm.size))
        shares = np.outer(sizes, self.profile(scene.place))
        for there, weights in zip(shares, between(sizes, shares), strict=True):
            columns = {n: np.sum(weights * v, axis=1) for n, v in table.items()}
            for name, values in self._readings(scene, columns, there).items():
                by_channel[name].append(np.nan_to_num(values - healthy[name]))
        return sizes, {name: np.array(rows) for name, rows in by_channel.items()}

    def _readings(self, scene: Scene, columns: Columns, size: Array) -> dict[str, Array]:
        """Return what every logged channel reads."""
        read = self.read(scene, columns, size)
        return {n: read[scene.sensors[n].column] for n in scene.run.columns}

    def _solved(self, scene: Scene) -> tuple[Array, dict[str, Array]]:
        """Return the sizes that have an answer wherever the healthy chain has, with columns."""
        good = np.isfinite(scene.healthy["torque"])
        for share in (1.0, 0.4, 0.15):
            solved = [scene.healthy]
            for size in share * self.largest * _NODES[1:]:
                try:
                    columns = scene.solved(self.changed(scene, float(size)))
                except InputError:
                    break
                if not np.isfinite(columns["torque"][good]).all():
                    break
                solved.append(columns)
            if len(solved) >= _FEWEST:
                break
        sizes = share * self.largest * _NODES[: len(solved)]
        return sizes, {n: np.stack([one[n] for one in solved], axis=1) for n in scene.healthy}


@dataclass(frozen=True)
class InReading:
    """A change of what one channel reads, the engine being sound.

    `beyond` returns it for a size [SI] over the rows, for what the healthy chain says there.
    """

    kind: str
    smallest: float
    largest: float
    channel: str
    beyond: Callable[[Scene, Array, float], Array]
    fits: Callable[[Scene], bool] = _anywhere

    def suits(self, scene: Scene) -> bool:
        """Return whether it can be in this pull at all."""
        return self.channel in scene.run.columns and self.fits(scene)

    def nodes(self, scene: Scene) -> tuple[Array, dict[str, Array]]:
        """Return sizes from 0 up, and by channel what is read beyond the healthy."""
        sizes = self.largest * _NODES
        values = scene.healthy[scene.sensors[self.channel].column]
        rows = [np.nan_to_num(self.beyond(scene, values, float(size))) for size in sizes]
        return sizes, {self.channel: np.array(rows)}
