"""Where the difference between two builds comes from, station by station."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol, runtime_checkable

import numpy as np

from ..base.errors import quoted, refusal
from ..chain.build import Build
from ..shown.columns import column as checked
from ..shown.columns import columns, kind_of
from ..shown.tables import Shown, Table
from ..units.convert import formatted
from .exchange import Exchange, budget_change
from .fitted_chain import FittedChain
from .plots import plot_difference
from .runs import Run

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


__all__ = ["Difference", "explain"]


@runtime_checkable
class _Diagnosed(Protocol):
    """A pull that was looked at for a fault."""

    @property
    def run(self) -> Run:
        """The pull."""

    def effects(self, column: str, rpm: float) -> Mapping[str, float]:
        """Return by what a fault is called what it adds to a reading [SI]."""


@dataclass(frozen=True, eq=False, repr=False)
class Difference(Shown):
    """A difference split over what differs. Made by `airchain.explain`.

    Attributes
    ----------
    column : str
        What is compared, such as ``"torque"``.
    rpm : float
        Engine speed of the comparison [rpm].
    names : tuple of str
        Titles of the two builds.
    first, second : float
        The column of each [SI].
    shares : mapping
        Contribution of each factor [SI]; with `residual` they add up to `second` less `first`.
    alone : mapping
        What each factor changes if it alone is exchanged in the first build [SI].
    interactions : mapping
        By pair of factors, what both together change beyond the sum of each alone, in the
        first build [SI].
    effects : mapping
        By consequence, the change of the crank's power budget [W]: indicated power over charge
        pressure, charge temperature, filling and work per charge; gas exchange, friction, drive.
        They add up to the difference of the chain's power.
    residual : float
        What chain and measurement leave unexplained [SI]; 0 between two builds.
    """

    column: str
    rpm: float
    names: tuple[str, str]
    first: float
    second: float
    shares: Mapping[str, float]
    alone: Mapping[str, float]
    interactions: Mapping[tuple[str, str], float]
    effects: Mapping[str, float]
    residual: float = 0.0

    @property
    def kind(self) -> str:
        """Kind of quantity of the column, a difference where it is a pressure or temperature."""
        kind = kind_of(self.column, columns()[self.column].unit)
        return {"pressure": "pressure_difference", "temperature": "temperature_difference"}.get(
            kind, kind
        )

    @property
    def verdict(self) -> str:
        """What was split."""
        return f"From {self.names[0]} to {self.names[1]}"

    @property
    def notes(self) -> list[str]:
        """What interacts, and how the shares were made."""
        whole = abs(self.second - self.first)
        large = sorted(self.interactions.items(), key=lambda item: -abs(item[1]))
        sentences = [
            "Each share is the mean over every order in which the stations can be exchanged (a "
            "Shapley value), so no order favours a station. What two stations only do together is "
            "split evenly between them."
        ]
        for (a, b), value in large[:4]:
            if abs(value) > 0.01 * whole:
                sentences.append(f"{a.capitalize()} and {b} interact: exchanged together "
                                 f"they add {formatted(value, self.kind)} to what each does "
                                 "alone.")  # fmt: skip
        return sentences

    def plot(self, axes: Sequence[Axes] | None = None, *, system: str = "trade",
             title: str | None = None, beside: Sequence[Difference] = ()) -> Figure:  # fmt: skip
        """Draw how the difference builds up, factor by factor.

        Parameters
        ----------
        axes : matplotlib.axes.Axes or sequence of them, optional
            One axes for each difference to draw in; a new figure without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture.
        beside : sequence of Difference
            Further differences, each drawn below this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return plot_difference([self, *beside], axes, system, title)

    def plot_budget(self, axes: Sequence[Axes] | None = None, *, system: str = "trade",
                    title: str | None = None,
                    beside: Sequence[Difference] = ()) -> Figure:  # fmt: skip
        """Draw how the crank's power budget changes, of a difference of power.

        The budget tells charge pressure, charge temperature, filling, work per charge, gas
        exchange, friction and drive.

        Parameters
        ----------
        axes, system, title, beside
            As of `plot`.

        Returns
        -------
        matplotlib.figure.Figure
            One panel a difference.

        Raises
        ------
        InputError
            It is a difference of another column than power.
        """
        return plot_difference([self, *beside], axes, system, title, budget=True)

    def _tables(self, system: str) -> list[Table]:
        rows = [[self.names[0], formatted(self.first, self.kind, system), ""]]
        rows += [
            [name, formatted(v, self.kind, system), formatted(self.alone[name], self.kind, system)]
            for name, v in self.shares.items()
        ]
        if self.residual:
            rows.append(["not explained", formatted(self.residual, self.kind, system), ""])
        rows.append([self.names[1], formatted(self.second, self.kind, system), ""])
        headings = [f"{self.column} at {self.rpm:,.0f} rpm", "share", "alone"]
        budget = ", ".join(f"{n} {formatted(v, 'power', system)}" for n, v in self.effects.items())
        return [Table(headings, [""] * 3, rows, key=f"Power budget at the crank: {budget}")]


def explain(first: Build | int | str, second: Build | int | str | _Diagnosed, *, rpm: float,
            column: str = "power", fit: FittedChain | None = None) -> Difference:  # fmt: skip
    """Say where the difference between two builds, or two measured pulls, comes from.

    The difference of power, say, is split over the stations that differ: so much by the cooler,
    so much by the drive. Stations are exchanged one after another from those of `first` to those
    of `second`. What a station adds depends on which were exchanged before it, so its share is the
    mean over every order (its Shapley value). With v(S) the column when the stations S are those
    of `second`,

        share_i = sum over S without i of |S|! (n - |S| - 1)!/n! (v(S + i) - v(S))

    The shares add up to the whole difference (Shapley 1953).

    Parameters
    ----------
    first, second : Build, or int or str with `fit`
        The two builds, both with or both without compressor; those that breathe by their cycles
        get breathing surfaces first. With a fit: numbers of its pulls from 0 [dimensionless], or
        their names; `second` may be a `Diagnosis`, whose pull the fit does not hold: what its
        fault explains is a share of its own.
    rpm : float
        Engine speed [rpm]; of two pulls one that both reach.
    column : str
        Column of the result, such as ``"power"``, ``"boost"`` or ``"charge_temperature"``; of two
        pulls power or a quantity that was measured.
    fit : Reconciliation, optional
        The fit that holds both pulls. What its chain does not explain is the `residual`.

    Returns
    -------
    Difference
        Shares, interactions and the change of the power budget.

    Raises
    ------
    InputError
        One build has a compressor and the other has none, more than 12 factors differ, an
        exchange has no answer, or a pull did not measure the quantity or the speed.
    """
    if fit is not None:
        if isinstance(second, _Diagnosed):
            split = _of_pulls(fit, [_run_of(fit, first, "first"), second.run], rpm, column)
            return _with_faults(split, second.effects(column, rpm))
        runs = [_run_of(fit, pull, field)
                for pull, field in ((first, "first"), (second, "second"))]  # fmt: skip
        return _of_pulls(fit, runs, rpm, column)
    if not isinstance(first, Build) or not isinstance(second, Build):
        field, one = ("second", second) if isinstance(first, Build) else ("first", first)
        rule = "be a Build; a pull is named together with its fit"
        raise refusal("explain", field, quoted(one), rule, "explain(..., fit=fit)")
    return _of_builds(first, second, rpm, column)


def _of_builds(first: Build, second: Build, rpm: float, column: str) -> Difference:
    """Split the difference between two builds."""
    checked(column, "explain")
    if first.supercharged != second.supercharged:
        rule = "both be with or both without compressor"
        raise refusal("explain", "second", second.title, rule, "compare two drive levels")
    first, second = first.with_surface(), second.with_surface()
    exchange = Exchange.of(first.chain, second.chain, rpm, column)
    return Difference(column, rpm, (first.title, second.title), exchange.first, exchange.second,
                      exchange.shares, exchange.alone, exchange.pairs,
                      budget_change(first.chain, second.chain, rpm))  # fmt: skip


def _run_of(fit: FittedChain, pull: Build | int | str, field: str) -> Run:
    """Return a pull of a fit by its number or name."""
    runs = fit.problem.runs
    named = [run for run in runs if run.name == pull]
    if isinstance(pull, int) and 0 <= pull < len(runs):
        return runs[pull]
    if len(named) == 1:
        return named[0]
    rule = f"be the number of a pull of the fit, 0 to {len(runs) - 1}, or its name"
    hint = f"the name {pull} stands more than once" if named else ""
    raise refusal("explain", field, quoted(pull), rule, hint)


def _of_pulls(fit: FittedChain, runs: list[Run], rpm: float, column: str) -> Difference:
    """Split the difference between two measured pulls by the fitted chain."""
    read = [_reading(run, rpm, column) for run in runs]
    before, after = (run.build.changed(fit.factors) for run in runs)
    split = _of_builds(before, after, rpm, column)
    left = read[1] - read[0] - (split.second - split.first)
    names = (f"{runs[0].name}, measured", f"{runs[1].name}, measured")
    return replace(split, first=read[0], second=read[1], residual=left, names=names)


def _with_faults(split: Difference, added: Mapping[str, float]) -> Difference:
    """Return a split of pulls with what faults explain taken from what nothing did."""
    return replace(split, shares={**split.shares, **added}, alone={**split.alone, **added},
                   residual=split.residual - sum(added.values()))  # fmt: skip


def _reading(run: Run, rpm: float, column: str) -> float:
    """Return what a pull read at an engine speed [SI]."""
    if column not in run.columns and not (column == "power" and "torque" in run.columns):
        raise refusal(run.name, "column", f'"{column}"', "be measured in both pulls")
    if not run.rpm.min() <= rpm <= run.rpm.max():
        rule = f"be {run.rpm.min():.0f} to {run.rpm.max():.0f} rpm, as measured"
        raise refusal(run.name, "rpm", f"{rpm:.0f} rpm", rule)
    y = run.columns[column] if column in run.columns else run.columns["torque"] * run.speeds
    good = np.isfinite(y)
    return float(np.interp(rpm, run.rpm[good], y[good]))
