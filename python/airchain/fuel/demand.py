"""Fuel demand of every level against what injectors, pumps and lines deliver."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..buildfile.fuel_system import FuelSystem
from ..chain.build import Build
from ..chain.ladders import Ladder, ladder
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..units.convert import formatted, from_si, unit_label
from ._columns import headed, label, shown
from .plots import draw_fuel
from .supplying import FuelStep, fuel_step, supply_of
from .words import PRACTICE, cautions, deed

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike

__all__ = ["FuelDemand", "fuel_demand"]

Array = NDArray[np.float64]
_DETAIL = (
    *("fuel_flow", "rail_pressure", "pressure_difference", "injector_flow", "open_time", "duty"),
    *("pump_flow", "pump_margin", "supply_velocity", "supply_drop", "return_drop"),
)
_SUMMARY = (
    *(("fuel_flow", True), ("rail_pressure", True), ("pressure_difference", False)),
    *(("injector_flow", False), ("duty", True), ("pump_margin", False)),
    *(("supply_velocity", True), ("supply_drop", True), ("return_drop", True)),
)
_MOST_ROWS = 9
#: Return line loss over rail pressure not to be passed.
_MOST_BACK = 0.1


@dataclass(frozen=True, eq=False, repr=False)
class FuelDemand(Shown):
    """The fuel side of all levels. Made by `airchain.fuel_demand`.

    Attributes
    ----------
    build : Build
        The build.
    steps : sequence of FuelStep
        The levels in the order of the ladder.
    """

    build: Build
    steps: Sequence[FuelStep]

    def __getitem__(self, name: str) -> FuelStep:
        return {step.name: step for step in self.steps}[name]

    @property
    def _system(self) -> FuelSystem:
        system = self.build.fuel_system
        assert system is not None  # a build without one has no demand
        return system

    @property
    def supply(self) -> _core.Supply:
        """Injectors, pumps, regulator and lines."""
        return supply_of(self.build)

    @property
    def enough(self) -> bool:
        """Whether every solved point of every level is served within limits that are known."""
        solved = {s for step in self.steps for s in step.status if s != "not solved"}
        return solved == {"enough"}

    def _all(self, name: str) -> Array:
        return np.concatenate([step[name] for step in self.steps])

    @cached_property
    def smallest_injector(self) -> float:
        """Rated flow of the smallest injector that stays at the duty limit [kg/s]; NaN if none."""
        driven = self._all("driven")[np.isfinite(self._all("fuel_flow"))]
        needed = self._all("rated_flow_needed")[np.isfinite(self._all("fuel_flow"))]
        known = needed.size and bool(np.all(driven)) and bool(np.all(np.isfinite(needed)))
        return float(np.max(needed)) if known else float("nan")

    @cached_property
    def smallest_pump(self) -> tuple[float, float]:
        """Flow of each pump [m^3/s] and its pressure over ambient [Pa] where most is asked."""
        flow, pressure = self._all("pump_flow_needed"), self._all("pump_pressure_needed")
        if not np.isfinite(flow).any():
            return float("nan"), float("nan")
        return float(np.nanmax(flow)) / float(self.supply.pump.count), float(np.nanmax(pressure))

    @property
    def verdict(self) -> str:
        """Whether the fuel system serves every level."""
        amiss = [f"{step.name}: {step.verdict}" for step in self.steps if step.verdict != "enough"]
        if not amiss:
            return f"{self.build.name}: The fuel system delivers enough at every level."
        return (
            f"{self.build.name}: The fuel system does not serve every level ({'; '.join(amiss)})."
        )

    @property
    def notes(self) -> list[str]:
        """What to do, what would serve, and the cautions."""
        met = dict.fromkeys(p for s in self.steps for t in s.status for p in t.split(", "))
        notes = [deed(status) for status in met if status != "enough"]
        notes += [self._would_do("trade"), PRACTICE, *self._tank_words()]
        notes += self._return_words()
        if not self._system.return_line and self.supply.place == "rail":
            notes.append("No return line was typed, so what it loses is not counted.")
        notes.append(
            "Injector flow in pulses too short to open fully, hot fuel and pressure waves in the "
            "rail are left out."
        )
        return notes + cautions(self.build.inputs.get("fuel.name", ""))

    def _would_do(self, system: str) -> str:
        s = self.supply
        flow, pressure = self.smallest_pump
        injector = "no injector at this duty limit"
        if np.isfinite(self.smallest_injector):
            at = formatted(s.injector.rated_pressure, "pressure_difference", system)
            rated = formatted(self.smallest_injector, "fuel_flow", system)
            injector = f"{s.injectors:.0f} injectors of {rated} at {at}"
        each = formatted(flow, "pump_flow", system)
        against = formatted(pressure, "pressure_difference", system)
        number = f"{s.pump.count:.0f} pump{'s' if s.pump.count > 1 else ''}"
        return (
            f"The smallest that would do: {injector}; {number} of {each} each against {against} at "
            f"{s.pump.voltage:g} V, with {100.0 * s.pump_margin:.0f} % in hand."
        )

    def _return_words(self) -> list[str]:
        """Warn of a return line that holds the regulator's spill back."""
        lost = self._all("return_drop")
        share = float(np.nanmax(lost, initial=0.0) / self.supply.rail_pressure)
        if share <= _MOST_BACK:
            return []
        return [
            f"The return line loses {100 * share:.0f} % of the rail pressure, so at idle the "
            f"regulator may not hold the rail down. Keep the loss under {100 * _MOST_BACK:.0f} % "
            "(common practice, no source) with a larger line."
        ]

    def _tank_words(self) -> list[str]:
        """How many runs a tank holds."""
        volume = self._system.tank_volume
        most = max((s.run_fuel for s in self.steps if np.isfinite(s.run_fuel)), default=np.nan)
        if not np.isfinite(volume) or not np.isfinite(most):
            return []
        runs = volume * float(self.supply.density) / most
        return [
            f"The tank of {from_si(volume, 'gal'):.1f} gal holds fuel for {runs:.0f} such runs."
        ]

    def plot(
        self,
        axes: Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[FuelDemand] = (),
    ) -> Figure:
        """Draw injector duty, pump flow used and supply line loss of every level.

        Parameters
        ----------
        axes : sequence of Axes, optional
            Three panels to draw in; a figure of its own without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            Title of the picture.
        beside : sequence of FuelDemand
            Further demands, laid over this one; the limits drawn are those of this one.

        Returns
        -------
        matplotlib.figure.Figure
            The figure; dotted lines are the limits wanted, crosses pass them.

        Raises
        ------
        InputError
            The number of panels is another.
        """
        return draw_fuel((self, *beside), axes, system, title)

    def _tables(self, system: str) -> list[Table]:
        return [self._summary(system), *(_detail(step, system) for step in self.steps)]

    def _summary(self, system: str) -> Table:
        rows: dict[str, list[str]] = {}
        for name, largest in _SUMMARY:
            word = "largest" if largest else "least"
            extremes = [step.extreme(name, largest) for step in self.steps]
            rows[f"{word} {headed(name, system)}"] = [shown(name, v, system) for v, _ in extremes]
            if name in ("duty", "pump_margin"):
                rows[f"{name.replace('_', ' ')} at [rpm]"] = [
                    "–" if np.isnan(rpm) else f"{rpm:,.0f}" for _, rpm in extremes
                ]
        rows[f"fuel of a run [{unit_label('mass', system)}]"] = [
            shown_as("mass", step.run_fuel, system) for step in self.steps
        ]
        rows["status"] = [step.verdict for step in self.steps]
        headings = ["level", *(step.name for step in self.steps)]
        cells = [[words, *texts] for words, texts in rows.items()]
        rate = self.build.pull_rate / RPM
        key = f"A run is one full-throttle pull at {rate:,.0f} rpm/s, and nothing else."
        return Table(headings, [""] * len(headings), cells, key=key)


def _detail(step: FuelStep, system: str) -> Table:
    """Some speeds of one level."""
    count = len(step.rpm)
    chosen = np.unique(np.linspace(0, count - 1, min(count, _MOST_ROWS)).round().astype(int))
    rows = [
        [f"{step.rpm[i]:.0f}", *(shown(n, float(step[n][i]), system) for n in _DETAIL),
         step.status[i]]
        for i in chosen
    ]  # fmt: skip
    headings = [step.name, *(n.replace("_", " ") for n in _DETAIL), "status"]
    units = ["rpm", *(label(n, system) for n in _DETAIL), ""]
    return Table(headings, units, rows, caption=f"Fuel system, {step.name}")


def fuel_demand(steps: Build | Ladder, rpm: ArrayLike | None = None) -> FuelDemand:
    """Say whether the fuel system delivers what every drive level needs.

    Each level's fuel is held against its injectors, pumps and lines. Duty is the share of the time
    that an injector is open. Pump margin is what the pumps can deliver beyond the need.

    Parameters
    ----------
    steps : Build or Ladder
        A build with a fuel system, or its ladder.
    rpm : array_like, optional
        Engine speeds [rpm]; those of `Build.pull` without it. A ladder has its own.

    Returns
    -------
    FuelDemand
        Duty, pump margin, line velocities and losses of each level, and what is amiss.

    Raises
    ------
    InputError
        The build has no fuel system.
    """
    supply_of(steps.build if isinstance(steps, Ladder) else steps)
    levels = steps if isinstance(steps, Ladder) else ladder(steps, rpm)
    return FuelDemand(levels.build, [fuel_step(step.name, step.pull) for step in levels.steps])
