"""The readings of one pull: columns in SI, the weather, and what was noticed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Self, TypedDict, Unpack

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.speeds import RPM
from ..shown.columns import peak_of
from ..shown.tables import Shown, Table
from ..units.convert import display, formatted, from_si, unit_label
from ._measured_checks import AMBIENT, Column, checked, checked_rounding, weather
from .bases import basis_words
from .finding import Finding
from .quantities import QUANTITIES, quantity

if TYPE_CHECKING:
    from pandas import DataFrame


_DERIVED = {
    "power": ("power", ("torque", "engine_speed")),
    "torque": ("torque", ("power", "engine_speed")),
    "boost": ("pressure_difference", ("plenum_pressure", "barometer")),
}
_MOST_ROWS = 24


class PullChanges(TypedDict, total=False):
    """Attributes of a pull by name, each as `MeasuredPull` describes them."""

    name: str
    columns: Mapping[str, Column]
    power_basis: str
    ambient: Mapping[str, float]
    source: str
    fingerprint: str
    lines: NDArray[np.int64]
    findings: tuple[Finding, ...]
    rounding: Mapping[str, float]


@dataclass(frozen=True, eq=False, repr=False)
class Readings(Shown):
    """The readings of a pull, in SI; `MeasuredPull` says what each attribute is."""

    name: str
    columns: Mapping[str, Column]
    power_basis: str = "observed"
    ambient: Mapping[str, float] = field(default_factory=dict)
    source: str = ""
    fingerprint: str = ""
    lines: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    findings: tuple[Finding, ...] = ()
    rounding: Mapping[str, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        lines = np.array(self.lines, dtype=np.int64)
        lines.flags.writeable = False
        object.__setattr__(self, "lines", lines)
        object.__setattr__(self, "findings", tuple(self.findings))
        object.__setattr__(self, "columns", MappingProxyType(checked(self.name, self.columns)))
        object.__setattr__(self, "ambient", MappingProxyType(weather(self.name, self.ambient)))
        steps = checked_rounding(self.name, self.rounding)
        object.__setattr__(self, "rounding", MappingProxyType(steps))
        if lines.size not in (0, len(self)):
            rule = f"be one for each of the {len(self)} rows"
            raise refusal(self.name, "lines", str(lines.size), rule)

    @property
    def names(self) -> tuple[str, ...]:
        """The measured quantities."""
        return tuple(self.columns)

    @property
    def rpm(self) -> Column:
        """Engine speed [rpm]."""
        return self.columns["engine_speed"] / RPM

    def __len__(self) -> int:
        return int(self.columns["engine_speed"].size)

    def __contains__(self, name: object) -> bool:
        if name in self.columns:
            return True
        return name in _DERIVED and all(self._known(n) for n in _DERIVED[str(name)][1])

    def __getitem__(self, name: str) -> Column:
        if name in self.columns:
            return self.columns[name]
        if name not in _DERIVED:
            quantity(name, self.name)
        if name not in self:
            needs = _DERIVED[name][1] if name in _DERIVED else (name,)
            lacking = ", ".join(n for n in needs if not self._known(n))
            rule = "be measured in this pull"
            raise refusal(self.name, "column", quoted(name), rule, f"it has no {lacking}")
        if name == "boost":
            return self["plenum_pressure"] - self.barometer
        speed = self["engine_speed"]
        return self["torque"] * speed if name == "power" else self["power"] / speed

    @property
    def barometer(self) -> Column:
        """Ambient pressure of each row [Pa]; NaN where it is not known."""
        if "barometer" in self.columns:
            return self.columns["barometer"]
        return np.full(len(self), self.ambient.get("barometer", np.nan))

    def get(self, name: str, unit: str | None = None) -> Column:
        """Return a column.

        Parameters
        ----------
        name : str
            The quantity, such as ``"power"``.
        unit : str, optional
            The unit, such as ``"hp"``; SI without it.

        Returns
        -------
        ndarray
            The values [`unit` or SI] along the rows.
        """
        values = self[name]
        return values if unit is None else np.asarray(from_si(values, unit, self._kind(name), name))

    def at(self, rpm: float, name: str, unit: str | None = None) -> float:
        """Return a quantity at one engine speed, drawn straight between the nearest readings.

        Parameters
        ----------
        rpm : float
            The engine speed [rpm], within the pull: nothing is extrapolated.
        name : str
            The quantity, such as ``"torque"``.
        unit : str, optional
            The unit, such as ``"lb ft"``; SI without it.

        Returns
        -------
        float
            The value [`unit` or SI]; NaN where nothing was read.

        Raises
        ------
        InputError
            The pull does not reach this speed, or does not hold the quantity.
        """
        return value_at(self.name, self.rpm, self.get(name, unit), rpm)

    def peak(self, name: str, unit: str | None = None) -> tuple[float, float]:
        """Return the largest value of a column and its engine speed.

        Parameters
        ----------
        name : str
            The quantity.
        unit : str, optional
            Unit of the value; SI without it.

        Returns
        -------
        tuple of float
            The value [`unit` or SI] and the engine speed [rpm]; NaN when nothing was read.
        """
        return peak_of(self.get(name, unit), self.rpm)

    def replace(self, **changes: Unpack[PullChanges]) -> Self:
        """Return the pull with some attributes changed.

        Parameters
        ----------
        **changes : object
            Attributes and their new values.

        Returns
        -------
        MeasuredPull
            The new pull.
        """
        return replace(self, **changes)

    def with_columns(self, **columns: ArrayLike | None) -> Self:
        """Return the pull with columns added or replaced.

        Parameters
        ----------
        **columns : array_like
            Values by quantity [SI]; None takes the column away.

        Returns
        -------
        MeasuredPull
            The new pull.
        """
        merged = {**self.columns, **columns}
        kept = {k: np.asarray(v, dtype=float) for k, v in merged.items() if v is not None}
        return self.replace(columns=kept)

    def rows(self, chosen: NDArray[np.int64] | NDArray[np.bool_] | slice) -> Self:
        """Return the pull with some of its rows.

        Parameters
        ----------
        chosen : array_like of int or bool, or slice
            Which rows, dimensionless.

        Returns
        -------
        MeasuredPull
            The new pull.
        """
        kept = {name: values[chosen] for name, values in self.columns.items()}
        return self.replace(
            columns=kept, lines=self.lines[chosen] if self.lines.size else self.lines
        )

    def to_frame(self, system: str | None = None) -> DataFrame:
        """Return the columns as a pandas frame.

        Parameters
        ----------
        system : str, optional
            ``"trade"`` or ``"si"`` for display units, named in the headings; SI without it.

        Returns
        -------
        pandas.DataFrame
            One row a reading.
        """
        pd = extra("pandas")

        frame: dict[str, Column] = {}
        for name, values in self.columns.items():
            if system is None:
                frame[name] = values
            else:
                shown, unit = display(values, QUANTITIES[name].kind, system)
                frame[f"{name} [{unit}]" if unit else name] = shown
        table: DataFrame = pd.DataFrame(frame, index=self.lines if self.lines.size else None)
        return table

    @property
    def summary(self) -> str:
        """Rows, speeds, weather and basis in one line."""
        speeds = self.rpm[np.isfinite(self.rpm)]
        span = f"{speeds.min():.0f} to {speeds.max():.0f} rpm" if speeds.size else "no speed"
        parts = [f"{len(self)} rows", span, f"power {basis_words(self.power_basis)}"]
        parts += [
            f"{key.replace('_', ' ')} {formatted(value, AMBIENT[key])}"
            for key, value in self.ambient.items()
        ]
        return ", ".join(parts)

    @property
    def verdict(self) -> str:
        """Name and summary."""
        return f"{self.name}: {self.summary}"

    @property
    def notes(self) -> list[str]:
        """The findings, in words."""
        return [str(finding) for finding in self.findings]

    def _tables(self, system: str) -> list[Table]:
        names = [n for n in self.names if n != "engine_speed"]
        kinds = [QUANTITIES[n].kind for n in names]
        chosen = np.unique(np.linspace(0, len(self) - 1, min(len(self), _MOST_ROWS)).astype(int))
        rows = [
            [
                f"{self.rpm[i]:.0f}",
                *(
                    _cell(float(self.columns[n][i]), k, system)
                    for n, k in zip(names, kinds, strict=True)
                ),
            ]
            for i in chosen
        ]
        headings = ["engine speed", *(QUANTITIES[n].words for n in names)]
        return [Table(headings, ["rpm", *(unit_label(k, system) for k in kinds)], rows)]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Readings):
            return NotImplemented
        arrays = ("columns", "lines")
        plain = [part.name for part in fields(self) if part.name not in arrays]
        mine, theirs = self.columns, other.columns
        return (
            all(getattr(self, name) == getattr(other, name) for name in plain)
            and np.array_equal(self.lines, other.lines)
            and mine.keys() == theirs.keys()
            and all(np.array_equal(mine[n], theirs[n], equal_nan=True) for n in mine)
        )

    __hash__ = None  # type: ignore[assignment]

    def __reduce__(self) -> tuple[type[Self], tuple[object, ...]]:
        values = (getattr(self, part.name) for part in fields(self))
        # A mapping proxy cannot be pickled.
        return type(self), tuple(dict(v) if isinstance(v, MappingProxyType) else v for v in values)

    def _known(self, name: str) -> bool:
        return name in self.columns or name in self.ambient

    def _kind(self, name: str) -> str:
        return _DERIVED[name][0] if name in _DERIVED else quantity(name, self.name).kind


def value_at(where: str, speeds: Column, values: Column, rpm: float) -> float:
    """Return the value at one engine speed [rpm], on a straight line between its neighbours."""
    read = np.isfinite(speeds) & np.isfinite(values)
    if not read.any():
        return float("nan")
    low, high = float(np.min(speeds[read])), float(np.max(speeds[read]))
    if not low * (1.0 - 1e-9) <= rpm <= high * (1.0 + 1e-9):
        rule = f"be an engine speed within the readings, {low:.0f} to {high:.0f} rpm"
        raise refusal(where, "rpm", f"{rpm:g} rpm", rule)
    order = np.argsort(speeds[read], kind="stable")
    return float(np.interp(rpm, speeds[read][order], values[read][order]))


def _cell(value: float, kind: str, system: str) -> str:
    return "–" if np.isnan(value) else formatted(value, kind, system).split(" ")[0]
