"""The state behind a live view, without a notebook: knobs, the frames solved, code for them."""

from __future__ import annotations

from ast import literal_eval
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import InputError, quoted, refusal, suggestion
from ..base.speeds import RPM
from ..buildfile.source import Source
from ..chain.build import Build
from ..chain.changes import LevelFitted
from ..chain.solving import default_speeds, solve
from ..chain.worst_cylinders import one_for_all
from ..cylinder.spread import told_apart
from ..shown import statuses
from ..typed.place import KeyPath, Typed, dotted
from ..units.convert import to_si
from .choosing_knobs import changed, knobs_of, pair_code, typed_by
from .knobs import CYCLES, PAIR, RATIO, SPEED, Knob

__all__ = ["Frame", "Session"]

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Frame:
    """What a live view shows at one setting of its knobs.

    Attributes
    ----------
    numbers : ndarray
        A row for each engine speed of a pull, then one for the held speed; a column for each of
        the core's columns, in its order [SI].
    air : tuple of float
        Pressure [Pa] and temperature [K] of the open air.
    by_cycles : bool
        Whether cycles of the cylinder were run, rather than looked up.
    ports : ndarray or None
        Where cycles were run, over the crank at the held speed: rows of crank angle after firing
        top centre [deg], and pressures at intake valve, exhaust valve and in the cylinder [Pa].
    """

    numbers: Array
    air: tuple[float, float]
    by_cycles: bool
    ports: Array | None = None

    @property
    def verdict(self) -> str:
        """How many points of the pull were solved, and what passes a limit."""
        names = column_names()
        status, flags = (self.numbers[:-1, names.index(name)] for name in ("status", "flags"))
        return statuses.outcome(status, flags)


def column_names() -> list[str]:
    """Return the names of a frame's columns."""
    return [name for name, *_ in _core.columns()]


def _at(source: Source, path: KeyPath) -> Typed | None:
    """What stands at a path of a document; None where nothing does."""
    found: Typed | None = source.file.data
    for key in path:
        if isinstance(key, str):
            found = found.get(key) if isinstance(found, Mapping) else None
        else:
            found = found[key] if isinstance(found, list) and key < len(found) else None
    return found


def _literal(values: Mapping[str, Typed | None]) -> bool:
    """Whether values read back from their text, so that lines of code can hold them."""
    try:
        return bool(literal_eval(repr(values)) == values)
    except (ValueError, SyntaxError):
        return False


def _ports(build: Build, rpm: float) -> Array | None:
    """Pressures at the valves every two degrees; None without cams, or where nothing is solved."""
    if build.cylinder is None:
        return None
    try:
        trace = build.cycle_at(rpm)
    except InputError:
        return None
    degrees = np.arange(trace.degrees[0], trace.degrees[-1], 2.0)
    names = ("intake_pressure", "exhaust_pressure", "pressure")
    return np.array([degrees, *(np.interp(degrees, trace.degrees, trace[n]) for n in names)])


class Session:
    """A build with knobs. It keeps no state that a view does not hand in.

    An engine with cams is looked up on its breathing surface, which is made first if it was never
    made. Where a knob turns what the surface depends on, such as a cam, the cylinder's cycles are
    run.

    Parameters
    ----------
    build : Build
        The build.
    also : sequence of str
        Dotted paths of further numbers of the build file that become sliders.

    Raises
    ------
    InputError
        No such number was typed.
    """

    def __init__(self, build: Build, also: Sequence[str] = ()) -> None:
        self.given = build
        self.build = build.with_surface()
        self.knobs = {knob.path: knob for knob in knobs_of(self.build, also)}
        self.speeds = default_speeds(self.build)
        self.kept: list[dict[str, str | float]] = []

    @cached_property
    def reference(self) -> Frame:
        """The frame of the build as it is."""
        plain = self.frame({})
        return replace(plain, ports=_ports(self.build, self.held({})))

    def knob(self, path: str) -> Knob:
        """Return one knob, or refuse a name that is none.

        Parameters
        ----------
        path : str
            Its path.

        Returns
        -------
        Knob
            The knob.

        Raises
        ------
        InputError
            There is no such knob.
        """
        if path not in self.knobs:
            known = list(self.knobs)
            rule = f"be one of {', '.join(known)}"
            raise refusal("explore", "knob", quoted(path), rule, suggestion(path, known))
        return self.knobs[path]

    def built(self, values: Mapping[str, str | float]) -> Build:
        """Return the build with knobs turned.

        Parameters
        ----------
        values : mapping
            Typed values by the knobs' paths, such as ``{"drive.ratio": 1.2}``, each with its unit;
            plain numbers are dimensionless.

        Returns
        -------
        Build
            The build.

        Raises
        ------
        InputError
            There is no such knob, or a value is refused.
        """
        knobs = [self.knob(path) for path in values]
        by_cycles = any(knob.how == CYCLES for knob in knobs)
        # A cylinder that is turned answers at once, so whole engines are not solved for it.
        base = one_for_all(self.build).without_surface() if by_cycles else self.build
        return changed(base, values)

    def frame(self, values: Mapping[str, str | float]) -> Frame:
        """Solve the pull and the held engine speed.

        Parameters
        ----------
        values : mapping
            Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

        Returns
        -------
        Frame
            The frame.

        Raises
        ------
        InputError
            There is no such knob, or a value is refused.
        """
        build = self.built(values)
        held = self.held(values)
        columns = solve(build.chain, np.append(self.speeds, held))
        numbers = np.column_stack([columns[name] for name in column_names()])
        air = build.chain.ambient
        ports = _ports(build, held) if build.breathes_by_cycles else None
        return Frame(numbers, (air.pressure, air.temperature), build.breathes_by_cycles, ports)

    def held(self, values: Mapping[str, str | float]) -> float:
        """Return the engine speed at which the read-outs stand.

        Parameters
        ----------
        values : mapping
            Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

        Returns
        -------
        float
            The speed [rpm].
        """
        if SPEED not in values:
            return float(self.knobs[SPEED].value) / RPM
        value = values[SPEED]
        return to_si(value, "speed", where="explore", field="engine speed", unit="rpm") / RPM

    def asked(self, values: Mapping[str, str | float]) -> Frame | str:
        """Return the frame, or the words of the refusal.

        Parameters
        ----------
        values : mapping
            Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

        Returns
        -------
        Frame or str
            The frame; or why there is none.
        """
        try:
            return self.frame(values)
        except InputError as error:
            return str(error)

    def knock(self, values: Mapping[str, str | float]) -> tuple[str, bool]:
        """Tell what knocks along the pull and at the held speed, by the cylinder's cycles.

        Parameters
        ----------
        values : mapping
            Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

        Returns
        -------
        tuple
            Sentences, margins in degrees of crank angle; and whether anything knocks by the
            estimate. Without cams nothing is known, and the sentence says so.

        Raises
        ------
        InputError
            There is no such knob, or a value is refused.
        """
        build, held = self.built(values), self.held(values)
        pull = build.pull(self.speeds)
        if not pull.knock.known:
            return " ".join(pull.knock.notes(np.ones(1, dtype=bool))), False
        at_held = build.pull([held])
        margin = at_held.shown("knock_margin", 0)
        told = f"{margin} deg" if at_held.matched[0] else "no answer"
        said = f"{pull.knock.verdict} At {held:,.0f} rpm: {told}."
        if told_apart(self.build.cylinder) and not told_apart(build.cylinder):
            said += (
                " These are margins of one cylinder's mean cycle: which cylinder is worst is not "
                "known while a slider changes the engine."
            )
        return said, bool(pull.knock.knocks.any() or at_held.knock.knocks.any())

    def keep(self, values: Mapping[str, str | float]) -> int:
        """Keep a setting beside the others.

        Parameters
        ----------
        values : mapping
            Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

        Returns
        -------
        int
            Its number among those kept, from 0, dimensionless.

        Raises
        ------
        InputError
            There is no such knob, or a value is refused.
        """
        self.built(values)
        self.kept.append(dict(values))
        return len(self.kept) - 1

    def code(self, values: Mapping[str, str | float]) -> str:
        """Return lines of Python that make the frame.

        Parameters
        ----------
        values : mapping
            Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

        Returns
        -------
        str
            The lines; the last makes the pull. They load the build's file and run as they are.
            Where a fit or another change made the build, no file tells it, and they begin with the
            variable `build`.
        """
        before, after = self.code_parts(any(self.knob(p).how == CYCLES for p in values))
        steps = before
        if "level" in values:
            steps += f".level({str(values['level'])!r})"
        if PAIR in values:
            steps += pair_code(self.build, str(values[PAIR]))
        if typed := typed_by(self.build, values):
            pairs = ", ".join(f"{path!r}: {value!r}" for path, value in typed.items())
            steps += f".replace({{{pairs}}})"
        if RATIO in values:
            steps += f".with_drive_ratio({values[RATIO]!r})"
        return f"{steps}\n{after}"

    def code_parts(self, by_cycles: bool = False) -> tuple[str, str]:
        """Return how the lines of code begin, and the last of them.

        Parameters
        ----------
        by_cycles : bool
            Whether the cylinder's cycles are run at every point.

        Returns
        -------
        tuple of str
            What stands before the changes, and the line after them.
        """
        source, said = self.given.source, ""
        level = [one.name for one in self.given.changes if isinstance(one, LevelFitted)]
        begin = f"airchain.load({Path(source.file.name).as_posix()!r})"
        replaced = {dotted(path): _at(source, path) for path in source.replaced}
        if replaced:
            begin += f".replace({replaced!r})"
        begin += "".join(f".level({name!r})" for name in level)
        if len(level) < len(self.given.changes) or not _literal(replaced):
            begin, said = "build", "# build: what was handed to explore, which no file tells\n"
        if by_cycles and told_apart(self.build.cylinder):
            begin = f"airchain.chain.one_for_all({begin})"
        if self.build.cylinder is not None:
            begin += ".without_surface()" if by_cycles else ".with_surface()"
        return f"import airchain\n{said}turned = {begin}", "pull = turned.pull()"
