"""Runs one after another: staging, full power, the way back, and the tank's ice through them all.

A phase at full power is a pull against time with the tank as the phase before left it; one that
holds its speed is the same with a rise of a millionth. At light load the charge cooler takes the
typed heat alone, and ice goes on melting. Ice that is left melts as the tank's own would: its
conductance falls with the two-thirds power of the ice. Left out: heat through the tank's walls.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from .. import _core
from ..base.errors import InputError, quoted, refusal
from ..buildfile.run_phases import Phase, run_phases
from ..shown.columns import label, shown
from ..shown.tables import Shown, Table
from ..typed.place import Typed
from ..units.convert import formatted, to_si
from .build_words import surface_words
from .timed_pull import HELD, TimedPull

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from .build import Build

__all__ = ["RunSequence"]

_WHERE = "run_sequence"
#: Instants told of a gear, and of a light load.
_TOLD = 13
#: Ice is sought to this much [kg], and up to the most that a tank may hold.
_ENOUGH, _MOST = 0.05, 500.0


@dataclass(frozen=True, eq=False)
class PhaseResult:
    """One phase as it was run.

    Attributes
    ----------
    run : int
        Which run it belongs to, from 1 [dimensionless].
    phase : Phase
        What was asked.
    start : float
        When it begins [s].
    pulls : tuple of TimedPull
        A pull for every gear at full power; none at light load.
    course : tuple
        At light load, pairs of time since its beginning [s] and tank; empty without one.
    before, after : TankState or None
        The tank at both ends; None without one.
    """

    run: int
    phase: Phase
    start: float
    pulls: tuple[TimedPull, ...]
    course: tuple[tuple[float, _core.TankState], ...]
    before: _core.TankState | None
    after: _core.TankState | None

    def highest(self, name: str) -> float:
        """Return the largest value of a column over the phase [SI]; NaN at light load."""
        values = [np.nanmax(p[name]) for p in self.pulls if np.isfinite(p[name]).any()]
        return float(max(values)) if values else float("nan")


@dataclass(frozen=True, eq=False, repr=False)
class RunSequence(Shown):
    """Runs one after another with the tank through them. Made by `Build.run_sequence`.

    Attributes
    ----------
    build : Build
        What was run; it stands on a breathing surface.
    phases : tuple of PhaseResult
        All phases of all runs in their order.
    """

    build: Build
    phases: tuple[PhaseResult, ...]

    @classmethod
    def of(cls, build: Build, times: int | None = None) -> RunSequence:
        """Run the phases of the build's ``[run]``; see `Build.run_sequence`.

        Parameters
        ----------
        build : Build
            The build.
        times : int, optional
            How many runs [dimensionless]; as typed without it.

        Returns
        -------
        RunSequence
            All phases.

        Raises
        ------
        InputError
            The file has no ``[run]``, or the water would boil.
        """
        asked, typed = run_phases(build.source, build.redline, build.vehicle)
        if not asked:
            rule, hint = "have phases of a run", "write [[run.phases]]"
            raise refusal(build.title, "run", "missing", rule, hint)
        count = typed if times is None else times
        if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= 200:
            raise refusal(_WHERE, "times", quoted(times), "be a whole number from 1 to 200")
        return cls._run(build.with_surface(), asked, count, build.ice_tank)

    @classmethod
    def _run(cls, build: Build, asked: Sequence[Phase], times: int,
             tank: _core.IceTank | None) -> RunSequence:  # fmt: skip
        state = None if tank is None else tank.start()
        results, now = [], 0.0
        for run in range(1, times + 1):
            for phase in asked:
                state = _with_ice(state, phase.ice_added)
                result = _phase(build, phase, run, now, tank, state)
                results.append(result)
                state, now = result.after, now + phase.time
        return cls(build, tuple(results))

    @property
    def runs(self) -> int:
        """How many runs there are [dimensionless]."""
        return self.phases[-1].run

    def hottest(self, run: int) -> float:
        """Return the highest charge temperature of a run at full power [K].

        Parameters
        ----------
        run : int
            Number of the run, from 1 [dimensionless].

        Returns
        -------
        float
            The temperature; NaN where nothing ran at full power or had an answer [K].
        """
        values = [p.highest("charge_temperature") for p in self.phases if p.run == run]
        known = [value for value in values if np.isfinite(value)]
        return max(known) if known else float("nan")

    def ice_to_carry(self, charge_temperature: Typed) -> float:
        """Return the least ice to begin with so that no run is charged hotter than a limit.

        Parameters
        ----------
        charge_temperature : str
            The limit, such as ``"120 degF"``.

        Returns
        -------
        float
            Ice before the first run [kg], on top of the water as typed; 0 where none is needed.

        Raises
        ------
        InputError
            There is no tank with ice to scale, or no amount of ice is enough.
        """
        limit = to_si(charge_temperature, "temperature", where=_WHERE, field="charge_temperature")
        tank = self.build.ice_tank
        if tank is None or not float(tank.ice_mass) > 0.0:
            rule, hint = "have a tank with ice", 'cooler.kind = "ice_tank" with ice_mass'
            raise refusal(self.build.title, "cooler", "no ice", rule, hint)
        if self._hottest_with(tank, 0.0) <= limit:
            return 0.0
        low, high = 0.0, float(tank.ice_mass)
        while not (reached := self._hottest_with(tank, high)) <= limit:
            low, high = high, 2.0 * high
            if high > _MOST:
                told = formatted(reached, "temperature")
                rule = f"be reached; {formatted(low, 'mass')} of ice still gives {told}"
                hint = "cool between runs, or let the water take its heat faster"
                shown_limit = formatted(limit, "temperature")
                raise refusal(_WHERE, "charge_temperature", shown_limit, rule, hint)
        while high - low > _ENOUGH:
            middle = 0.5 * (low + high)
            if self._hottest_with(tank, middle) <= limit:
                high = middle
            else:
                low = middle
        return high

    def _hottest_with(self, tank: _core.IceTank, ice: float) -> float:
        """Highest charge temperature of all runs [K] with other ice at the start."""
        share = (ice / float(tank.ice_mass)) ** (2.0 / 3.0)
        conductance = float(tank.ice_conductance) * share
        other = tank.replace(ice_mass=ice, ice_conductance=min(conductance, 1e6))
        phases = [one.phase for one in self.phases if one.run == 1]
        try:
            again = self._run(self.build, phases, self.runs, other)
        except InputError:
            return float("inf")  # the water would boil
        return max(again.hottest(run) for run in range(1, self.runs + 1))

    @property
    def verdict(self) -> str:
        """How hot the charge gets from the first run to the last, and what is left of the ice."""
        first, last = (formatted(self.hottest(n), "temperature") for n in (1, self.runs))
        runs = f"{self.runs} runs" if self.runs > 1 else "one run"
        text = f"{self.build.title}: {runs}. The charge is at most {first} hot in the first run"
        text += f" and {last} in the last." if self.runs > 1 else "."
        left = self.phases[-1].after
        if left is None:
            return text
        ice = f"{shown('ice_mass', float(left.ice_mass))} {label('ice_mass')}"
        water = formatted(float(left.water_temperature), "temperature")
        return f"{text} The tank ends with {ice} of ice, its water at {water}."

    @property
    def notes(self) -> list[str]:
        """What the phases leave out, and points without an answer."""
        notes = list(surface_words(self.build))
        lost = sum(int((~p.matched).sum()) for one in self.phases for p in one.pulls)
        if lost:
            notes.append(f"{lost} points have no answer, and they put no heat in the tank.")
        notes.append(
            "At light load the water takes the heat that is typed and no more. The sun, the "
            "bonnet and the tank's walls are left out."
        )
        return notes

    def plot(self, *, system: str = "trade", title: str | None = None) -> Figure:
        """Draw charge and water temperature and ice over time.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What to write over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The picture; at light load only the tank's lines go on.
        """
        from .plot_runs import draw_runs

        return draw_runs(self, system, title)

    def _tables(self, system: str) -> list[Table]:
        tank = self.phases[0].before is not None
        rows = [_row(one, tank, system) for one in self.phases]
        of_tank = ["water", "ice left"] if tank else []
        degrees = label("charge_temperature", system)
        headings = ["run", "phase", "begins", "time", "peak power", "peak charge temperature",
                    *of_tank]  # fmt: skip
        units = ["", "", "s", "s", label("power", system), degrees,
                 *([degrees, label("ice_mass", system)] if tank else [])]  # fmt: skip
        key = "Water and ice are those at the end of the phase." if tank else ""
        return [Table(headings, units, rows, key=key, flush=(1,))]


def _row(one: PhaseResult, tank: bool, system: str) -> list[str]:
    peaks = [
        shown(name, one.highest(name), system) if one.pulls else "–"
        for name in ("power", "charge_temperature")
    ]
    row = [str(one.run), one.phase.name, f"{one.start:.0f}", f"{one.phase.time:.1f}", *peaks]
    if tank and one.after is not None:
        water, ice = float(one.after.water_temperature), float(one.after.ice_mass)
        row += [shown("charge_temperature", water, system), shown("ice_mass", ice, system)]
    return row


def _with_ice(state: _core.TankState | None, ice: float) -> _core.TankState | None:
    if state is None or not ice:
        return state
    return _core.TankState(
        water_mass=state.water_mass,
        ice_mass=state.ice_mass + ice,
        water_temperature=state.water_temperature,
    )


def _phase(build: Build, phase: Phase, run: int, start: float, tank: _core.IceTank | None,
           state: _core.TankState | None) -> PhaseResult:  # fmt: skip
    if not phase.full:
        course: list[tuple[float, _core.TankState]] = []
        if tank is not None and state is not None:
            course.append((0.0, state))
            left, step = _left(tank, state), phase.time / (_TOLD - 1)
            for number in range(1, _TOLD):
                course.append((number * step, left.after(course[-1][1], phase.heat, step)))
        return PhaseResult(run, phase, start, (), tuple(course), state,
                           course[-1][1] if course else state)  # fmt: skip
    pulls, now = [], state
    for _ in range(phase.gears):
        pull = _gear(build, phase, None if tank is None or now is None else _left(tank, now))
        pulls.append(pull)
        if now is not None:
            now = _core.TankState(
                water_mass=float(pull["water_mass"][-1]),
                ice_mass=float(pull["ice_mass"][-1]),
                water_temperature=float(pull["coolant_temperature"][-1]),
            )
    return PhaseResult(run, phase, start, tuple(pulls), (), state, now)


def _left(tank: _core.IceTank, state: _core.TankState) -> _core.IceTank:
    """The tank as it would have been filled to stand where it stands, its ice melting as before."""
    ice = float(state.ice_mass)
    first = float(tank.ice_mass)
    share = (ice / first) ** (2.0 / 3.0) if first > 0.0 else float(ice > 0.0)
    return tank.replace(
        water_mass=float(state.water_mass),
        ice_mass=ice,
        water_temperature=max(float(state.water_temperature), _FREEZING),
        ice_conductance=min(float(tank.ice_conductance) * share, 1e6),
    )


_FREEZING = 273.15


def _gear(build: Build, phase: Phase, tank: _core.IceTank | None) -> TimedPull:
    """One gear of a phase at full power, from the tank as it is."""
    low, high = phase.speeds
    if high <= low:
        low = high * (1.0 - HELD)
    time = phase.time / phase.gears
    rate = (high - low) / time
    return TimedPull.from_tank(build, tank, np.linspace(low, high, _TOLD), rate)
