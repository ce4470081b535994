"""How columns of levels move with the guesses, along the root of their covariance."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError
from ..base.speeds import RPM
from .cam_doubts import CamMoves
from .driving import Pair
from .guesses import OF_CURVE
from .model import Model
from .today import Known

Array = NDArray[np.float64]
#: How far the rule of three points goes, in standard deviations.
_FAR = 3.0**0.5
#: Share of the largest root below which a guess is not in doubt.
KNOWN = 1e-6


class Moves(NamedTuple):
    """Slope and mean along each column of the root of the covariance: the last axis."""

    slope: Array
    mean: Array

    @classmethod
    def still(cls, shape: tuple[int, ...], guesses: int) -> Moves:
        """Return what does not move."""
        return cls(np.zeros((*shape, guesses)), np.zeros((*shape, guesses)))

    def put(self, column: int, ends: tuple[Array, Array], far: float) -> None:
        """Put in what so many widths to either side do; one side stands for both if need be."""
        up = np.where(np.isfinite(ends[0]), ends[0], -np.nan_to_num(ends[1]))
        down = np.where(np.isfinite(ends[1]), ends[1], -np.nan_to_num(ends[0]))
        self.slope[..., column] = (up - down) / (2.0 * far)
        self.mean[..., column] = (up + down) / (2.0 * far**2)

    @property
    def parts(self) -> Array:
        """What each column makes of the variance about the value itself."""
        together = self.mean * self.mean.sum(axis=-1, keepdims=True)
        parts: Array = self.slope**2 + 2.0 * self.mean**2 + together
        return parts

    def of_guesses(self, root: Array) -> Array:
        """Return slopes with each guess itself; none with one that is not in doubt."""
        slopes: Array = self.slope @ np.linalg.pinv(root, rcond=KNOWN)
        return slopes


ByColumn = Mapping[str, Moves]


def root_of(covariance: Array) -> Array:
    """Return the symmetric root."""
    sizes, directions = np.linalg.eigh(covariance)
    root: Array = (directions * np.sqrt(np.maximum(sizes, 0.0))) @ directions.T
    return root


def without_curve(model: Model, known: Known) -> Known:
    """Return what is known where cams, whose doubts are counted, fill and empty the engine."""
    gone = [model.names.index(name) for name in OF_CURVE]
    kept = [j for j in range(len(model.names)) if j not in gone]
    covariance = np.zeros_like(known.covariance)
    weights = np.linalg.inv(known.covariance)
    covariance[np.ix_(kept, kept)] = np.linalg.inv(weights[np.ix_(kept, kept)])
    return Known(known.z, covariance)


def moves_of(model: Model, known: Known, root: Array, pairs: Mapping[str, Pair],
             base: Mapping[str, Array],
             cams: Mapping[str, CamMoves]) -> tuple[ByColumn, ByColumn]:  # fmt: skip
    """Return how every column, and its largest value, moves with the guesses."""
    count = len(model.names)
    columns = {name: Moves.still(values.shape, count) for name, values in base.items()}
    largest = {name: Moves.still(values.shape[:1], count) for name, values in base.items()}
    of_cams = {model.names.index(name): moves for name, moves in cams.items()}
    for j in range(count):
        if j in of_cams or not np.abs(root[:, j]).max() > KNOWN:
            continue
        above, below = (_levels(model, known.z + side * root[:, j], pairs, base)
                        for side in (_FAR, -_FAR))  # fmt: skip
        for name, at in base.items():
            columns[name].put(j, (above[name] - at, below[name] - at), _FAR)
            most = largest_of(at)
            ends = largest_of(above[name]) - most, largest_of(below[name]) - most
            largest[name].put(j, ends, _FAR)
    filling = model.names.index("filling")
    width = model.guesses["filling"].doubt / model.values(known.z)["filling"]
    for name, at in base.items():
        slope = columns[name].of_guesses(root)[..., filling] / width
        speed = np.ones_like(model.rpm) if name == "torque" else model.rpm * RPM
        beside = speed if name in ("torque", "power") else np.zeros_like(speed)
        for j, cam in of_cams.items():
            up, down = (slope * fills + beside * torque
                        for fills, torque in zip(*cam, strict=True))  # fmt: skip
            columns[name].put(j, (up, down), 1.0)
            largest[name].put(j, (there(up, at), there(down, at)), 1.0)
    return columns, largest


def _levels(model: Model, z: Array, pairs: Mapping[str, Pair],
            base: Mapping[str, Array]) -> Mapping[str, Array]:  # fmt: skip
    """Columns at some widths; NaN where no such part can be, so that the other side tells."""
    try:
        return model.levels(z, pairs)
    except InputError:
        return {name: np.full_like(values, np.nan) for name, values in base.items()}


def there(values: Array, column: Array) -> Array:
    """Return values where the column of every level is largest."""
    at = np.argmax(np.where(np.isfinite(column), column, -np.inf), axis=-1)
    values_there: Array = np.take_along_axis(values, at[:, None], axis=-1)[:, 0]
    return values_there


def largest_of(column: Array) -> Array:
    """Return the largest value of every level; NaN where none was solved."""
    known = np.where(np.isfinite(column), column, -np.inf).max(axis=-1)
    largest: Array = np.where(np.isfinite(known), known, np.nan)
    return largest
