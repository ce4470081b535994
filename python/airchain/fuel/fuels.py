"""Fuels side by side in one build: cooling, displaced air, power, and the fuel system's share."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..chain.build import Build
from ..chain.pull import Pull
from ..shown.columns import column as result_column
from ..shown.columns import shown as shown_column
from ..shown.columns import shown_as
from ..shown.fuel_names import fuel_words
from ..shown.tables import Shown, Table
from ..shown.words import listed
from ..units.convert import unit_label
from ._columns import shown
from .supplying import FuelStep, fuel_step
from .words import cautions

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

__all__ = ["FuelComparison", "compare_fuels", "own_fuel"]

#: Molar masses [kg/mol].
_DRY_AIR, _WATER = 28.965e-3, 18.015e-3
GENERIC = ("gasoline_regular", "e85", "methanol")


@dataclass(frozen=True, eq=False, repr=False)
class FuelComparison(Shown):
    """One level of a build on several fuels. Made by `airchain.compare_fuels`.

    Attributes
    ----------
    build : Build
        The build, on the level compared.
    pulls : mapping
        The pull on each fuel by the fuel's name.
    steps : mapping
        The fuel side of each; empty where the build has no fuel system.
    """

    build: Build
    pulls: Mapping[str, Pull]
    steps: Mapping[str, FuelStep]

    def at_peak(self, name: str) -> int:
        """Return the index of a fuel's peak power.

        Parameters
        ----------
        name : str
            The fuel.

        Returns
        -------
        int
            Number of the point from 0, dimensionless; -1 when nothing was solved.
        """
        power = self.pulls[name]["power"]
        return int(np.nanargmax(power)) if np.isfinite(power).any() else -1

    def cooling(self, name: str) -> float:
        """Return by how much the fuel cools the charge at peak power.

        Parameters
        ----------
        name : str
            The fuel.

        Returns
        -------
        float
            Cooler outlet less charge temperature [K].
        """
        pull, i = self.pulls[name], self.at_peak(name)
        return float(pull["cooler_outlet_temperature"][i] - pull["charge_temperature"][i])

    def vapour_share(self, name: str, evaporated: float | None = None) -> float:
        """Return what share of the charge's moles is fuel vapour, which displaces air.

        Parameters
        ----------
        name : str
            The fuel.
        evaporated : float, optional
            Share of the fuel evaporated [dimensionless]; that at peak power without it.

        Returns
        -------
        float
            The share [dimensionless].
        """
        chain = self.pulls[name].build.chain
        share = self.evaporated(name) if evaporated is None else evaporated
        fuel = chain.fuel
        ratio = 1.0 / (getattr(chain.injection, "lambda") * fuel.stoichiometric_ratio)
        vapour = share * ratio / fuel.vapour_molar_mass
        water = float(self.pulls[name]["humidity_ratio"][self.at_peak(name)]) / _WATER
        return float(vapour / (vapour + water + 1.0 / _DRY_AIR))

    def evaporated(self, name: str) -> float:
        """Return the share of the fuel that has evaporated at the inlet valves at peak power.

        Parameters
        ----------
        name : str
            The fuel.

        Returns
        -------
        float
            The share [dimensionless]: as typed, or as much as the air holds.
        """
        return float(self.pulls[name]["fuel_evaporated"][self.at_peak(name)])

    @property
    def verdict(self) -> str:
        """What is compared."""
        return f"{self.build.title}: {listed([*map(fuel_words, self.pulls)])} side by side."

    @property
    def notes(self) -> list[str]:
        """What is kept, what is left out, and the cautions."""
        notes = [_kept(self.build.chain.injection)]
        notes += list(dict.fromkeys(c for name in self.pulls for c in cautions(name)))
        return notes

    def _tables(self, system: str) -> list[Table]:
        rows: list[list[str]] = []

        def row(words: str, kind: str, texts: Sequence[str]) -> None:
            unit = kind if kind in ("%", "rpm") else unit_label(kind, system)
            rows.append([words, *texts, unit])

        names = list(self.pulls)
        fuels = [self.pulls[n].build.chain.fuel for n in names]
        row("air for complete burning", "dimensionless",
            [f"{f.stoichiometric_ratio:.2f}" for f in fuels])  # fmt: skip
        row("research octane", "dimensionless", [f"{f.research_octane:.0f}" for f in fuels])
        row("peak power at", "rpm", [self._peak_speed(n) for n in names])
        for column in ("power", "boost", "charge_temperature", "air_flow", "fuel_flow",
                       "brake_specific_fuel"):  # fmt: skip
            kind = result_column(column).kind
            row(column.replace("_", " "), kind, [self._at_peak(n, column, system) for n in names])
        kind = "temperature_difference"
        row("cooled by the fuel", kind, [shown_as(kind, self.cooling(n), system) for n in names])
        row("evaporated at the valves", "%", [f"{100 * self.evaporated(n):.0f}" for n in names])
        row("air displaced by vapour", "%", [f"{100 * self.vapour_share(n):.1f}" for n in names])
        row("the same, all evaporated", "%",
            [f"{100 * self.vapour_share(n, 1.0):.1f}" for n in names])  # fmt: skip
        if self.steps:
            steps = [self.steps[n] for n in names]
            for column, largest in (("duty", True), ("pump_margin", False)):
                words = f"{'largest' if largest else 'least'} {column.replace('_', ' ')}"
                row(
                    words,
                    "%",
                    [shown(column, s.extreme(column, largest)[0], system) for s in steps],
                )
            row("fuel of a run", "mass", [shown_as("mass", s.run_fuel, system) for s in steps])
            row("fuel system", "dimensionless", [s.verdict for s in steps])
        headings = ["at peak power", *map(fuel_words, names), "unit"]
        return [Table(headings, [""] * len(headings), rows)]

    def _peak_speed(self, name: str) -> str:
        i = self.at_peak(name)
        return f"{self.pulls[name].rpm[i]:,.0f}" if i >= 0 else "–"

    def _at_peak(self, name: str, column: str, system: str) -> str:
        i = self.at_peak(name)
        return shown_column(column, float(self.pulls[name][column][i]), system) if i >= 0 else "–"


def _kept(injection: _core.Injection) -> str:
    excess, share = getattr(injection, "lambda"), 100.0 * injection.evaporated_fraction
    return (
        f"Every fuel keeps lambda {excess:.2f} and the spark. {share:.0f} % of it evaporates "
        "before the inlet valves close, or as much as the air can hold of its vapour; the rest "
        "evaporates in the cylinders. What a fuel's octane number allows in spark or boost is not "
        "in the power told."
    )


def check_fuels(fuels: Sequence[str]) -> None:
    """Refuse names of fuels before the work.

    Parameters
    ----------
    fuels : sequence of str
        Names of generic fuels.

    Raises
    ------
    InputError
        A fuel is not known, or none is named.
    """
    known = list(_core.generic_fuel_names())
    for name in fuels:
        if name not in known:
            rule = f"be one of {', '.join(known)}"
            raise refusal("compare_fuels", "fuels", quoted(name), rule, suggestion(name, known))
    if not fuels:
        raise refusal("compare_fuels", "fuels", "nothing", "name at least one fuel")


def compare_fuels(
    build: Build,
    fuels: Sequence[str] = GENERIC,
    rpm: ArrayLike | None = None,
    level: str | None = None,
    *,
    progress: Callable[[int, int], None] | None = None,
) -> FuelComparison:
    """Run one drive level on several generic fuels, side by side.

    It shows what each fuel does to power, charge temperature and the fuel system. Mixture
    strength (lambda), spark and the share of fuel that evaporates stay as the build has them.

    Parameters
    ----------
    build : Build
        The build.
    fuels : sequence of str
        Names of generic fuels.
    rpm : array_like, optional
        Engine speeds [rpm]; those of `Build.pull` without it.
    level : str, optional
        Drive level; the last of the build file without it.
    progress : callable, optional
        Called with the fuels done and all of them [dimensionless].

    Returns
    -------
    FuelComparison
        Power, charge cooling, displaced air and the fuel system's share of each.

    Raises
    ------
    InputError
        A fuel is not known, or none is named.
    """
    check_fuels(fuels)
    chosen = level or (list(build.levels)[-1] if build.levels else "")
    on_level = build.level(chosen) if chosen else build
    pulls = {}
    for done, name in enumerate(fuels):
        if progress is not None:
            progress(done, len(fuels))
        pulls[name] = _on_fuel(on_level, name).pull(rpm)
    if progress is not None:
        progress(len(fuels), len(fuels))
    steps = {}
    if build.fuel_system is not None:
        steps = {name: fuel_step(name, pull) for name, pull in pulls.items()}
    return FuelComparison(on_level, pulls, steps)


def own_fuel(build: Build) -> tuple[str, ...]:
    """Return the build's fuel, where it is a generic one as it stands.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    tuple of str
        Its name; empty where it is none of the generic ones, or where its figures were typed.
    """
    name = build.inputs.get("fuel.name", "")
    typed = any(f"fuel.{field}" in build.inputs for field, *_ in _core.Fuel.fields())
    return (name,) if name in _core.generic_fuel_names() and not typed else ()


def _on_fuel(build: Build, name: str) -> Build:
    """Return the build on a generic fuel; figures typed for its own fuel are taken out."""
    own = {f"fuel.{field}": None for field, *_ in _core.Fuel.fields()}
    own["fuel_system.viscosity"] = None
    typed = {path: value for path, value in own.items() if path in build.inputs}
    return build.replace({**typed, "fuel.name": name})
