"""One measured pull: columns in SI as they were read, the weather, and what was noticed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.speeds import RPM
from ..shown.columns import peak_of
from ..shown.tables import Shown, Table
from ..units.convert import display, formatted, from_si, unit_label
from ..units.text import UnitRefusedError, factor_of
from ._measured_checks import AMBIENT, Column, checked, weather
from .finding import Finding
from .quantities import QUANTITIES, quantity

__all__ = ["MeasuredPull"]

_DERIVED = {
    "power": ("power", ("torque", "engine_speed")),
    "torque": ("torque", ("power", "engine_speed")),
    "boost": ("pressure_difference", ("plenum_pressure", "barometer")),
}
_MOST_ROWS = 24


@dataclass(frozen=True, eq=False, repr=False)
class MeasuredPull(Shown):
    """A measured pull: what the log holds, in SI.

    ``pull["torque"]`` is an SI array along the rows; ``pull.get("torque", "lb ft")`` the same in
    a unit. NaN stands only where a reading was missing. Power or torque follows from the other
    where one was not measured; ``pull["boost"]`` is manifold pressure less the barometer.

    Attributes
    ----------
    name : str
        What the pull is called.
    columns : mapping
        Quantities by name [SI], pressures absolute; in order of time or of rising engine speed.
    power_basis : str
        ``"observed"``, or the standard that torque and power are already corrected by.
    ambient : mapping
        ``barometer`` [Pa], ``ambient_temperature`` [K] and ``vapour_pressure`` [Pa], as far as
        they are known.
    source : str
        The file it came from.
    fingerprint : str
        SHA-256 of the file and of how it was read.
    lines : ndarray of int
        Line of the file that each row came from, dimensionless; empty without a file.
    findings : tuple of Finding
        What was noticed.
    """

    name: str
    columns: Mapping[str, Column]
    power_basis: str = "observed"
    ambient: Mapping[str, float] = field(default_factory=dict)
    source: str = ""
    fingerprint: str = ""
    lines: NDArray[np.int64] = field(default_factory=lambda: np.zeros(0, dtype=np.int64))
    findings: tuple[Finding, ...] = ()

    def __post_init__(self) -> None:
        lines = np.array(self.lines, dtype=np.int64)
        lines.flags.writeable = False
        object.__setattr__(self, "lines", lines)
        object.__setattr__(self, "findings", tuple(self.findings))
        object.__setattr__(self, "columns", MappingProxyType(checked(self.name, self.columns)))
        object.__setattr__(self, "ambient", MappingProxyType(weather(self.name, self.ambient)))
        if lines.size not in (0, len(self)):
            rule = f"be one for each of the {len(self)} rows"
            raise refusal(self.name, "lines", str(lines.size), rule)

    @classmethod
    def of(
        cls,
        name: str,
        columns: Mapping[str, Any],
        ambient: Mapping[str, float] | None = None,
        power_basis: str = "observed",
        units: Mapping[str, str] | None = None,
    ) -> MeasuredPull:
        """Return a pull from arrays.

        Parameters
        ----------
        name : str
            What the pull is called.
        columns : mapping of str to array_like
            Quantities by name [SI, or the unit that `units` gives]; pressures are absolute.
        ambient : mapping of str to float, optional
            Barometer [Pa], ambient_temperature [K], vapour_pressure [Pa].
        power_basis : str
            ``"observed"``, or the standard torque and power are already corrected by.
        units : mapping of str to str, optional
            Units of columns that are not in SI, such as ``{"torque": "lb ft"}``.

        Returns
        -------
        MeasuredPull
            The pull.

        Raises
        ------
        InputError
            A column is unknown, uneven, infinite or in a unit of another kind.
        """
        values = {key: np.array(value, dtype=float) for key, value in columns.items()}
        for key, unit in (units or {}).items():
            kind = quantity(key, name).kind
            if key not in values:
                raise refusal(name, "units", quoted(key), "name a column that is given")
            try:
                factor = factor_of(unit, kind)
            except UnitRefusedError as problem:
                rule = problem.rule or f"be a unit of {QUANTITIES[key].words}"
                raise refusal(name, f"units.{key}", quoted(unit), rule, problem.hint) from None
            values[key] = (values[key] + factor.offset) * factor.scale
        return cls(name, values, power_basis, ambient or {})

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

    def get(self, name: str, unit: str) -> Column:
        """Return a column in a unit.

        Parameters
        ----------
        name : str
            The quantity, such as ``"power"``.
        unit : str
            The unit, such as ``"hp"``.

        Returns
        -------
        ndarray
            The values [`unit`].
        """
        values: Column = from_si(self[name], unit, _kind(name, self.name))
        return values

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
        values = self[name] if unit is None else self.get(name, unit)
        return peak_of(values, self.rpm)

    def replace(self, **changes: Any) -> MeasuredPull:
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

    def with_columns(self, **columns: Any) -> MeasuredPull:
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
        return self.replace(columns={k: v for k, v in merged.items() if v is not None})

    def rows(self, chosen: Any) -> MeasuredPull:
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
        return self.replace(columns=kept, lines=self.lines[chosen] if self.lines.size else ())

    def to_frame(self, system: str | None = None) -> Any:
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

        frame: dict[str, Any] = {}
        for name, values in self.columns.items():
            if system is None:
                frame[name] = values
            else:
                shown, unit = display(values, QUANTITIES[name].kind, system)
                frame[f"{name} [{unit}]" if unit else name] = shown
        return pd.DataFrame(frame, index=self.lines if self.lines.size else None)

    @property
    def summary(self) -> str:
        """Rows, speeds, weather and basis in one line."""
        speeds = self.rpm[np.isfinite(self.rpm)]
        span = f"{speeds.min():.0f} to {speeds.max():.0f} rpm" if speeds.size else "no speed"
        parts = [f"{len(self)} rows", span, f"power {self.power_basis}"]
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
        if not isinstance(other, MeasuredPull):
            return NotImplemented
        mine, theirs = _plain(self), _plain(other)
        arrays = mine.pop("columns"), theirs.pop("columns")
        lines = mine.pop("lines"), theirs.pop("lines")
        return (
            mine == theirs
            and np.array_equal(*lines)
            and arrays[0].keys() == arrays[1].keys()
            and all(np.array_equal(arrays[0][n], arrays[1][n], equal_nan=True) for n in arrays[0])
        )

    __hash__ = None  # type: ignore[assignment]

    def __reduce__(self) -> Any:
        return MeasuredPull, tuple(_plain(self).values())

    def _known(self, name: str) -> bool:
        return name in self.columns or name in self.ambient


def _plain(pull: MeasuredPull) -> dict[str, Any]:
    """Return the attributes by name, with mappings that can be pickled."""
    plain = {part.name: getattr(pull, part.name) for part in fields(pull)}
    return {**plain, "columns": dict(pull.columns), "ambient": dict(pull.ambient)}


def _kind(name: str, where: str) -> str:
    return _DERIVED[name][0] if name in _DERIVED else quantity(name, where).kind


def _cell(value: float, kind: str, system: str) -> str:
    return "–" if np.isnan(value) else formatted(value, kind, system).split(" ")[0]
