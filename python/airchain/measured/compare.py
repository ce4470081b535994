"""Several measured pulls on one footing: peaks, values at chosen speeds, differences."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..base.errors import quoted, refusal
from ..chain.pull import Pull
from ..shown.tables import Shown, Table
from ..units.convert import formatted, from_si, unit_label
from .bases import basis_words
from .computed import as_measured
from .measured import MeasuredPull
from .plots import SHOWN, draw_pulls
from .quantities import kind_of, words_for
from .readings import value_at

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

__all__ = ["Overlay", "overlay"]

Column = NDArray[np.float64]
Pulls: TypeAlias = Sequence[MeasuredPull | Pull] | Mapping[str, MeasuredPull | Pull]
_COMPARED = ("power", "torque", "boost", "plenum_temperature")
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
    computed : tuple of str
        Names of the pulls that were computed, not measured.
    """

    pulls: Mapping[str, MeasuredPull]
    rpm: Column
    columns: Mapping[str, Column]
    basis: str
    computed: tuple[str, ...] = ()

    def get(self, name: str, unit: str | None = None) -> Column:
        """Return a quantity of every pull.

        Parameters
        ----------
        name : str
            The quantity.
        unit : str, optional
            The unit; SI without it.

        Returns
        -------
        ndarray
            A row a pull, a column a speed [`unit` or SI]; NaN where a pull does not hold it.
        """
        values = self._column(name)
        return values if unit is None else np.asarray(from_si(values, unit, kind_of(name), name))

    def at(self, rpm: float, name: str, unit: str | None = None) -> dict[str, float]:
        """Return a quantity of every pull at one engine speed.

        Parameters
        ----------
        rpm : float
            The engine speed [rpm], drawn straight between the neighbours it lies between.
        name : str
            The quantity.
        unit : str, optional
            The unit; SI without it.

        Returns
        -------
        dict of str to float
            The value [`unit` or SI] by pull.
        """
        rows = zip(self.pulls, self.get(name, unit), strict=True)
        return {text: value_at(text, self.rpm, row, rpm) for text, row in rows}

    def peak(self, name: str, unit: str | None = None) -> dict[str, tuple[float, float]]:
        """Return the largest reading of a quantity in each pull that holds it.

        Parameters
        ----------
        name : str
            The quantity.
        unit : str, optional
            The unit; SI without it.

        Returns
        -------
        dict of str to tuple of float
            The value [`unit` or SI] and its engine speed [rpm] by pull.
        """
        return {text: pull.peak(name, unit) for text, pull in self.pulls.items() if name in pull}

    def difference(self, name: str, unit: str | None = None) -> Column:
        """Return a quantity of every pull less that of the first.

        Parameters
        ----------
        name : str
            The quantity.
        unit : str, optional
            The unit; SI without it. A difference of temperatures counts in degrees.

        Returns
        -------
        ndarray
            A row a pull, a column a speed [`unit` or SI]; NaN where either is missing.
        """
        values = self.get(name, unit)
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
            [text, *(_peak_words(pull, name, system) for name in self.columns)]
            for text, pull in self.pulls.items()
        ]
        units = [f"{unit_label(kind_of(n), system)} at rpm" for n in self.columns]
        return ["highest", *map(words_for, self.columns)], ["", *units], rows

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
        headings = [words_for(name), *names, *(f"{n} less {names[0]}" for n in names[1:])]
        units = ["rpm", *[unit] * len(names), *[unit_label(apart, system)] * (len(names) - 1)]
        return headings, units, rows

    @property
    def verdict(self) -> str:
        """How many pulls, and what their power is."""
        count = f"{len(self.pulls)} pulls" if len(self.pulls) > 1 else "1 pull"
        return f"{count}, power {basis_words(self.basis)}"

    @property
    def notes(self) -> list[str]:
        """None: the tables say it."""
        return []

    def _tables(self, system: str) -> list[Table]:
        peaks = Table(*self.peaks(system), f"Peaks, power {basis_words(self.basis)}")
        return [peaks, *(Table(*self.table(n, system), words_for(n)) for n in self.columns)]

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[Overlay] = (),
        columns: Sequence[str] = SHOWN,
    ) -> Figure:
        """Draw power and torque of the pulls in one panel, other quantities in panels below.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw: one for power and torque, and one for each of `columns` that is drawn.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of Overlay
            Further overlays whose pulls are laid over these.
        columns : sequence of str
            Quantities below, one panel each; those that no pull holds are passed over.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. An `InputError` says where no pull holds torque or power.
        """
        pulls = dict(self.pulls)
        computed = set(self.computed)
        for other in beside:
            pulls |= other.pulls
            computed |= set(other.computed)
        if title is None and axes is None and computed:
            measured = "measured and " if computed < set(pulls) else ""
            title = f"Torque and power, {measured}computed"
        return draw_pulls(pulls, axes, system, title, columns)


def overlay(
    pulls: Pulls,
    rpm: ArrayLike | None = None,
    columns: Sequence[str] = _COMPARED,
    basis: str | None = None,
    induction: str = "mechanical",
) -> Overlay:
    """Lay several pulls over each other at the same engine speeds, measured ones and computed.

    Tables and picture then show peaks, values at chosen speeds, and by how much each pull differs
    from the first.

    Parameters
    ----------
    pulls : PullLog, or sequence or mapping of MeasuredPull or Pull
        The pulls; the first is what the others are held against. Of a computed pull the solved
        points are taken, as sensors would read them in the build's own weather. A mapping names
        the pulls.
    rpm : array_like, optional
        Engine speeds [rpm]; every 100 rpm that any pull reaches without it. Beyond its own range
        a pull has no value there.
    columns : sequence of str
        Quantities to compare; those that no pull holds are passed over.
    basis : str, optional
        Power basis that all are brought to: ``"observed"`` for what the dyno read, or a standard
        such as ``"sae_j1349"``, which says what the engine would make in the standard's weather.
        Needed where the pulls differ in it; a computed pull is observed.
    induction : str
        How the engine gets its air, as in `MeasuredPull.corrected`.

    Returns
    -------
    Overlay
        The pulls at these speeds, with peaks and differences.

    Raises
    ------
    InputError
        The pulls stand on different power bases and none was given.
    """
    named = _by_name(pulls)
    given = [pulls] if isinstance(pulls, Pull) else pulls
    several = given.values() if isinstance(given, Mapping) else given
    computed = tuple(text for text, pull in zip(named, several, strict=True)
                     if isinstance(pull, Pull))  # fmt: skip
    if basis is not None:
        named = {text: pull.corrected(basis, induction) for text, pull in named.items()}
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
    values = {name: np.full((len(named), wanted.size), np.nan) for name in held}
    for row, (pull, (low, high)) in enumerate(zip(named.values(), reach, strict=True)):
        inside = (wanted >= low * (1.0 - 1e-9)) & (wanted <= high * (1.0 + 1e-9))
        if inside.any():
            at_speeds = pull.resampled(wanted[inside])
            for name in held:
                if name in at_speeds:
                    values[name][row, inside] = at_speeds[name]
    return Overlay(named, wanted, values, bases.pop(), computed)


def _by_name(pulls: Pulls) -> dict[str, MeasuredPull]:
    """Return pulls by name as sensors read them, or refuse what is no such thing."""
    if isinstance(pulls, MeasuredPull | Pull):
        pulls = [pulls]
    given = pulls if isinstance(pulls, Mapping) else dict(enumerate(pulls))
    if not given:
        raise refusal("overlay", "pulls", "nothing", "hold at least one pull")
    several = [_read(pull, str(key) if isinstance(pulls, Mapping) else "")
               for key, pull in given.items()]  # fmt: skip
    if isinstance(pulls, Mapping):
        return dict(zip(map(str, given), several, strict=True))
    names = [pull.name for pull in several]
    if len(set(names)) < len(names):
        hint = "give a mapping of names and pulls"
        raise refusal("overlay", "names", quoted(names), "differ", hint)
    return dict(zip(names, several, strict=True))


def _read(pull: MeasuredPull | Pull, name: str) -> MeasuredPull:
    if isinstance(pull, MeasuredPull):
        return pull
    if isinstance(pull, Pull):
        return as_measured(pull, name)
    rule = "be a measured pull, or a pull of a build"
    hint = "read_pulls makes the one, build.pull() the other; a prediction has compare(pull)"
    raise refusal("overlay", "pull", type(pull).__name__, rule, hint)


def _peak_words(pull: MeasuredPull, name: str, system: str) -> str:
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
