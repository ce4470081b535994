"""Several measured pulls on one footing: peaks, values at chosen speeds, differences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..shown.tables import Shown, Table
from ..units.convert import formatted, from_si, unit_label
from .correct import corrected
from .measured import MeasuredPull
from .quantities import QUANTITIES
from .smooth import resampled

__all__ = ["Overlay", "named_pulls", "overlay"]

Column = NDArray[np.float64]
_COMPARED = ("power", "torque", "boost", "charge_temperature")
_MOST_SPEEDS = 12


@dataclass(frozen=True, repr=False)
class Overlay(Shown):
    """Pulls at the same engine speeds; the first is what the others are held against.

    Attributes
    ----------
    pulls : mapping
        The pulls by name, as they were compared: on one power basis.
    rpm : ndarray
        Engine speeds [rpm].
    columns : mapping
        For each quantity [SI] a row a pull and a column a speed; NaN where a pull does not reach
        or does not hold it.
    basis : str
        Power basis of all.
    """

    pulls: Mapping[str, MeasuredPull]
    rpm: Column
    columns: Mapping[str, Column]
    basis: str

    def difference(self, name: str) -> Column:
        """Return a quantity of every pull less that of the first.

        Parameters
        ----------
        name : str
            The quantity.

        Returns
        -------
        ndarray
            A row a pull, a column a speed [SI]; NaN where either is missing.
        """
        values = self._column(name)
        return np.asarray(values - values[0])

    def ratio(self, name: str) -> Column:
        """Return a quantity of every pull over that of the first.

        Parameters
        ----------
        name : str
            The quantity.

        Returns
        -------
        ndarray
            A row a pull, a column a speed [dimensionless].
        """
        values = self._column(name)
        first: Column = np.where(values[0] == 0.0, np.nan, values[0])
        return np.asarray(values / first)

    def _column(self, name: str) -> Column:
        if name not in self.columns:
            rule = "be one of " + ", ".join(self.columns)
            raise refusal("overlay", "column", quoted(name), rule)
        return self.columns[name]

    def peaks(self, system: str = "trade") -> tuple[list[str], list[str], list[list[str]]]:
        """Return the highest value of each quantity in each pull, and where it stands.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        tuple of list
            Headings, their units, and a row a pull.
        """
        rows = [
            [text, *(_peak(pull, name, system) for name in self.columns)]
            for text, pull in self.pulls.items()
        ]
        units = [f"{unit_label(kind_of(n), system)} at rpm" for n in self.columns]
        return ["highest", *map(_words, self.columns)], ["", *units], rows

    def table(
        self, name: str, system: str = "trade"
    ) -> tuple[list[str], list[str], list[list[str]]]:
        """Return one quantity over engine speed, and each pull's difference to the first.

        Parameters
        ----------
        name : str
            The quantity.
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        tuple of list
            Headings, their units, and a row a speed; at most twelve spread over them.
        """
        values, less = self._column(name), self.difference(name)
        kind, unit = kind_of(name), unit_label(kind_of(name), system)
        apart = "temperature_difference" if kind == "temperature" else kind
        names = list(self.pulls)
        chosen = np.unique(
            np.linspace(0, self.rpm.size - 1, min(self.rpm.size, _MOST_SPEEDS)).round().astype(int)
        )
        rows = [
            [
                f"{self.rpm[i]:.0f}",
                *(_cell(values[p, i], kind, system) for p in range(len(names))),
                *(_signed(less[p, i], apart, system) for p in range(1, len(names))),
            ]
            for i in chosen
        ]
        headings = [_words(name), *names, *(f"{n} less {names[0]}" for n in names[1:])]
        units = ["rpm", *[unit] * len(names), *[unit_label(apart, system)] * (len(names) - 1)]
        return headings, units, rows

    @property
    def verdict(self) -> str:
        """How many pulls, and what their power is."""
        return f"{len(self.pulls)} pulls, power {self.basis}"

    @property
    def notes(self) -> list[str]:
        """None: the tables say it."""
        return []

    def _tables(self, system: str) -> list[Table]:
        peaks = Table(*self.peaks(system), f"Peaks, power {self.basis}")
        return [peaks, *(Table(*self.table(n, system), _words(n)) for n in self.columns)]


def overlay(
    pulls: Any,
    rpm: Any = None,
    columns: Sequence[str] = _COMPARED,
    basis: str | None = None,
    induction: str = "mechanical",
) -> Overlay:
    """Bring several pulls to the same engine speeds.

    Parameters
    ----------
    pulls : PullLog, or sequence or mapping of MeasuredPull
        The pulls; the first is what the others are held against.
    rpm : array_like, optional
        Engine speeds [rpm]; every 100 rpm that any pull reaches without it. Beyond its own range
        a pull has no value there.
    columns : sequence of str
        Quantities; those that no pull holds are passed over.
    basis : str, optional
        Power basis all are brought to; needed where they differ.
    induction : str
        As in `corrected`.

    Returns
    -------
    Overlay
        The pulls at these speeds, with peaks and differences.

    Raises
    ------
    InputError
        The pulls stand on different power bases and none was given.
    """
    named = named_pulls(pulls)
    if basis is not None:
        named = {text: corrected(pull, basis, induction) for text, pull in named.items()}
    bases = {pull.power_basis for pull in named.values()}
    if len(bases) > 1:
        rule = "stand on one footing"
        hint = 'give basis, such as "observed" or "sae_j1349"'
        raise refusal("overlay", "power_basis", " and ".join(sorted(bases)), rule, hint)
    reach = [(float(p.rpm.min()), float(p.rpm.max())) for p in named.values()]
    if rpm is None:
        low, high = min(r[0] for r in reach), max(r[1] for r in reach)
        rpm = np.arange(100.0 * np.ceil(low / 100.0 - 1e-9), high + 1e-6, 100.0)
    wanted = np.unique(np.atleast_1d(np.asarray(rpm, dtype=float)))
    held = [n for n in columns if kind_of(n) and any(n in pull for pull in named.values())]
    made = {name: np.full((len(named), wanted.size), np.nan) for name in held}
    for row, (pull, (low, high)) in enumerate(zip(named.values(), reach, strict=True)):
        inside = (wanted >= low * (1.0 - 1e-9)) & (wanted <= high * (1.0 + 1e-9))
        if inside.any():
            at = resampled(pull, wanted[inside])
            for name in held:
                if name in at:
                    made[name][row, inside] = at[name]
    return Overlay(named, wanted, made, bases.pop())


def named_pulls(pulls: Any) -> dict[str, MeasuredPull]:
    """Return measured pulls by name.

    Parameters
    ----------
    pulls : MeasuredPull, PullLog, or sequence or mapping of MeasuredPull
        The pulls.

    Returns
    -------
    dict
        The pulls by name.

    Raises
    ------
    InputError
        There is none, two have one name, or something else is among them.
    """
    if isinstance(pulls, MeasuredPull):
        pulls = [pulls]
    if not isinstance(pulls, Mapping):
        several = list(pulls)
        names = [getattr(pull, "name", "") for pull in several]
        if len(set(names)) < len(names):
            hint = "give a mapping of names and pulls"
            raise refusal("pulls", "names", quoted(names), "differ", hint)
        pulls = dict(zip(names, several, strict=True))
    for pull in pulls.values():
        if not isinstance(pull, MeasuredPull):
            raise refusal("pulls", "pull", type(pull).__name__, "be a MeasuredPull")
    if not pulls:
        raise refusal("pulls", "pulls", "nothing", "hold at least one pull")
    return dict(pulls)


def kind_of(name: str) -> str:
    """Return the quantity kind of a measured column or of boost.

    Parameters
    ----------
    name : str
        The column.

    Returns
    -------
    str
        A key of `airchain.units.KINDS`.

    Raises
    ------
    InputError
        There is no such column.
    """
    if name == "boost":
        return "pressure_difference"
    if name not in QUANTITIES:
        known = ", ".join(("boost", *QUANTITIES))
        raise refusal("overlay", "column", quoted(name), f"be one of {known}")
    return QUANTITIES[name].kind


def _words(name: str) -> str:
    return QUANTITIES[name].words if name in QUANTITIES else name


def _peak(pull: MeasuredPull, name: str, system: str) -> str:
    if name not in pull:
        return "–"
    value, rpm = pull.peak(name)
    return f"{_cell(value, kind_of(name), system)} at {rpm:.0f}" if value == value else "–"


def _cell(value: float, kind: str, system: str) -> str:
    return "–" if np.isnan(value) else formatted(float(value), kind, system).split(" ")[0]


def _signed(value: float, kind: str, system: str) -> str:
    if np.isnan(value):
        return "–"
    text = _cell(float(value), kind, system)
    shown = from_si(float(value), unit_label(kind, system), kind)
    return text if shown <= 0.0 else f"+{text}"
