"""What a finished or growing sweep says of itself: units, words, and what it depends on."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .. import __version__, _core
from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..chain.build import Build
from ..chain.build_words import breathing_words
from ..shown import statuses
from ..shown.columns import LATER, column, columns, heading
from .axes import Axes

if TYPE_CHECKING:
    from xarray import Dataset


#: What a sweep leaves open, so that no column of power stands without a word on it.
NO_KNOCK = "Knock is not judged in a sweep: pull what you choose."
#: Status of a point that no tile has reached yet.
NOT_SOLVED_YET = -1


@dataclass(frozen=True)
class Frame:
    """A sweep without its numbers.

    Attributes
    ----------
    dims, order : tuple of str
        Axes in the order of solving and as the user gave them.
    shape : tuple of int
        Sizes along `dims`.
    coordinates : mapping
        Axis, values and words by name.
    columns : mapping
        What is said of each column.
    attributes : mapping
        What is said of the whole, its fingerprint among it.
    """

    dims: tuple[str, ...]
    order: tuple[str, ...]
    shape: tuple[int, ...]
    coordinates: Mapping[str, tuple[str, Any, dict[str, str]]]
    columns: Mapping[str, Mapping[str, Any]]
    attributes: Mapping[str, str]

    @property
    def turn(self) -> tuple[int, ...]:
        """Where each axis in the user's order stands in the order of solving [dimensionless]."""
        return tuple(self.dims.index(name) for name in self.order)

    def turned(self, sides: Sequence[int]) -> tuple[int, ...]:
        """Return numbers along the axes in the user's order [dimensionless]."""
        return tuple(sides[i] for i in self.turn)

    def dataset(self, arrays: Mapping[str, NDArray[np.generic]], summary: str) -> Dataset:
        """Return the sweep with its numbers.

        Parameters
        ----------
        arrays : mapping
            Every column along `dims`, SI.
        summary : str
            How many points were solved.

        Returns
        -------
        xarray.Dataset
            The sweep, axes as the user gave them; it shows itself in words.
        """
        variables = {n: (self.order, a.transpose(self.turn), dict(self.columns[n]))
                     for n, a in arrays.items()}  # fmt: skip
        coordinates = {n: (d, v, dict(w)) for n, (d, v, w) in self.coordinates.items()}
        attributes = {"title": self.attributes["title"], "summary": summary, **self.attributes}
        made: Dataset = extra("xarray").Dataset(variables, coordinates, attributes)
        from .swept import swept

        return swept(made)


def frame_of(build: Build, axes: Axes, names: Sequence[str]) -> Frame:
    """Describe the sweep of a build.

    Parameters
    ----------
    build : Build
        The build, as it is solved.
    axes : Axes
        The axes.
    names : sequence of str
        The columns.

    Returns
    -------
    Frame
        The description.
    """
    attributes = {
        "title": build.title,
        "breathing": breathing_words(build),
        "fingerprint": _fingerprint(build, axes, names),
    }
    described = {name: column_words(name) for name in names}
    return Frame(axes.dims, axes.order, axes.shape, axes.coordinates(), described, attributes)


def summary_of(tally: NDArray[np.int64], waiting: int = 0) -> str:
    """Say how many points were solved, and how many pass a limit.

    Parameters
    ----------
    tally : ndarray
        What `statuses.tally` counts [dimensionless].
    waiting : int
        Points still to come [dimensionless].

    Returns
    -------
    str
        Two sentences or three.
    """
    return f"{statuses.outcome_of(tally, waiting)} {NO_KNOCK}"


def wanted_columns(names: Sequence[str] | None) -> list[str]:
    """Return the columns of a sweep.

    Parameters
    ----------
    names : sequence of str or None
        The columns wanted; power, torque, boost and their companions without it.

    Returns
    -------
    list of str
        Their names, `status` and `flags` the last.

    Raises
    ------
    InputError
        There is no such column.
    """
    default = (
        *("power", "torque", "boost", "charge_temperature", "air_flow", "fuel_flow"),
        *("drive_power", "isentropic_efficiency", "surge_margin", "speed_margin"),
        *("plenum_pressure", "peak_pressure"),
    )
    if isinstance(names, str):
        names = [names]
    chosen = [column(name, "sweep").name for name in (default if names is None else names)]
    for name in chosen:
        if name in {later for later, *_ in LATER}:
            rule = "be a column that the core solves"
            hint = "a pull of the build has it: every point costs some cycles"
            raise refusal("sweep", "column", quoted(name), rule, hint)
    return list(dict.fromkeys([*chosen, "status", "flags"]))


def column_words(name: str) -> dict[str, Any]:
    """Return what is said of a column: unit, or the names of its codes."""
    row = columns()[name]
    attributes: dict[str, Any] = {"long_name": heading(name), "comment": row.words}
    if name == "status":
        names = statuses.status_names()
        attributes["flag_values"] = np.arange(len(names), dtype=np.int8)
        attributes["flag_meanings"] = " ".join(names)
    elif name == "flags":
        bits = statuses.flag_bits()
        attributes["flag_masks"] = np.array(list(bits.values()), dtype=np.int32)
        attributes["flag_meanings"] = " ".join(bits)
    else:
        attributes["units"] = row.unit
    return attributes


@cache
def code_digest() -> str:
    """Return the version and a digest of the compiled core: what one sweep must not mix."""
    digest = hashlib.sha256(Path(_core.__file__).read_bytes()).hexdigest()
    return f"{__version__} {digest}"


def _fingerprint(build: Build, axes: Axes, names: Sequence[str]) -> str:
    """Return a hash of everything the result depends on, so that a stale file can be told."""
    values = {
        name: (dim, [repr(v) for v in np.asarray(one).tolist()])
        for name, (dim, one, _) in axes.coordinates().items()
    }
    typed = {name: [repr(one) for one in outer.typed] for name, outer in axes.outer.items()}
    dependencies = (code_digest(), build.fingerprint, values, typed, list(names))
    return hashlib.sha256(repr(dependencies).encode()).hexdigest()
