"""A build: the engine, its supercharger and its weather, ready to be asked."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ..buildfile.drive import Level
from ..buildfile.source import Source
from ..cylinder.surface import CYCLES, SURFACE
from .build_state import BuildState
from .build_words import as_html, as_text
from .changes import Aspirated, Change, DriveRatio, LevelFitted
from .drive_loads import DriveLoads
from .knock_margins import KnockMargins, knock_margins
from .lift_off import LiftOff
from .matched_cycles import cycle_at
from .pull import Pull
from .replay import typed_over, with_change
from .run_sequence import RunSequence
from .saving import read_changes, saved
from .timed_pull import TimedPull

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from ..cylinder.trace import CycleTrace
    from ..typed.place import TypedByName

__all__ = ["Build", "Level"]


@dataclass(frozen=True, eq=False, repr=False)
class Build(BuildState):
    """An engine with what feeds it, ready to be asked. `airchain.load` reads one from a file.

    A build never changes. `level`, `replace` and the like give another build, and the first stays
    as it was. A build is the document that was typed and the list of changes made since. Of two
    changes of one thing the later one holds. Two builds are equal, with the same fingerprint, if
    all numbers that their answers depend on are equal, however they came about.

    Attributes
    ----------
    document : Document
        What was typed, replaced values among it.
    changes : tuple of Change
        What was changed besides, such as the drive level, in the order in which it acts.
    """

    @classmethod
    def of(cls, source: Source) -> Build:
        """Make a build of a document, and of the changes that its file holds.

        Parameters
        ----------
        source : Source
            The document.

        Returns
        -------
        Build
            The build.
        """
        return cls(*read_changes(source))

    def text(self, path: str) -> str:
        """Return a value of the build file as it was typed.

        Parameters
        ----------
        path : str
            Dotted path in the build file, such as ``"engine.bore"``; list entries by their
            number from 0.

        Returns
        -------
        str
            The text, such as ``"4.125 in"``.

        Raises
        ------
        InputError
            Nothing was typed there.
        """
        return self.document.text(path)

    def level(self, name: str) -> Build:
        """Return the build with another drive level fitted.

        Parameters
        ----------
        name : str
            One of `levels`; empty for the drive as the file has it.

        Returns
        -------
        Build
            The build on that level.

        Raises
        ------
        InputError
            There is no such level.
        """
        if not name:
            left = tuple(one for one in self.changes if one.kind not in LevelFitted.replaces)
            return Build(self.document, left)
        return self.changed(LevelFitted(name))

    def with_drive_ratio(self, ratio: float) -> Build:
        """Return the build with another drive ratio, as it runs: whatever slips has slipped.

        Parameters
        ----------
        ratio : float
            Compressor input shaft over crank speed [dimensionless]; 0.05 to 20.

        Returns
        -------
        Build
            The build on no level, its drive's other figures as they were.

        Raises
        ------
        InputError
            The ratio is refused.
        """
        return self.changed(DriveRatio(f"ratio {ratio:.4g}", ratio))

    def naturally_aspirated(self) -> Build:
        """Return the same engine without compressor, cooler and bypass, in the same weather.

        Returns
        -------
        Build
            The build; its inlet and charge ducts stay.
        """
        return self.changed(Aspirated())

    def changed(self, change: Change) -> Build:
        """Return the build with one more change; see `airchain.chain.changes`.

        Parameters
        ----------
        change : Change
            A drive level, a day's weather, the factors of a fit and so on.

        Returns
        -------
        Build
            The build with it.

        Raises
        ------
        InputError
            The change does not suit the build.
        """
        return Build(self.document, with_change(self.changes, change))

    def replace(self, changes: TypedByName) -> Build:
        """Return the build with other values in its file: the answer to 'what if'.

        Everything is checked anew, as if the file had been written so.

        Parameters
        ----------
        changes : mapping
            New values by their path in the build file, the table's name, a dot and the key:
            ``{"cooler.effectiveness": 0.8, "ambient.temperature": "95 degF"}``. None takes a key
            or a whole table out.

        Returns
        -------
        Build
            The build, on the same drive level and with the same factors of a fit. A value typed
            here holds against a day's weather or a mixture that was given before.

        Raises
        ------
        InputError
            A path leads nowhere, or the file would be refused with these values.
        """
        document, paths = self.document.with_values(changes, self.name)
        return Build(document, typed_over(self.changes, paths))

    @property
    def breathes_by_cycles(self) -> bool:
        """Whether the cylinder's cycle is run at every point, without a breathing surface."""
        return self.breathes == CYCLES

    def without_surface(self) -> Build:
        """Return the build with its pulls made straight from the cylinder's cycles.

        The chain is matched after every cycle of the cylinder, and the next cycle is run at the
        matched state, until both agree. Another cam, port, pipe, compression or fuel then answers
        at once.

        Returns
        -------
        Build
            The build with ``breathing = "cycles"`` under ``[engine]``, as it is where nothing else
            was typed. Its pulls, timed pulls, ladder, stations, cycles, knock margins and fuels
            side by side come from cycles. What needs very many points (sweeps, plans, fits,
            calibrations and reports with one of these) makes a surface first and says so.

        Raises
        ------
        InputError
            The build's volumetric efficiency is typed.
        """
        return self.replace({"engine.breathing": CYCLES})

    def with_surface(self) -> Build:
        """Return the build with a breathing surface; itself where it has one or needs none.

        A surface is the cylinder's volumetric efficiency over all states that may come, made of
        some thousand cycles once and looked up ever after.

        Returns
        -------
        Build
            The build with ``breathing = "surface"`` under ``[engine]``. A surface that was not
            made before is made now, and tells on standard error how far it is. Ctrl-C keeps the
            cycles that were run: the next time it goes on from there.
        """
        return self.replace({"engine.breathing": SURFACE}) if self.breathes_by_cycles else self

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write the build, with all that was changed about it, to a file in one step.

        Parameters
        ----------
        path : str or path
            The file; `airchain.load` gives back an equal build.

        Returns
        -------
        pathlib.Path
            The file.

        Raises
        ------
        InputError
            The file cannot be written.
        """
        return saved(self.document, self.changes, path)

    def pull(self, rpm: ArrayLike | None = None) -> Pull:
        """Solve the chain at full throttle over engine speed.

        Parameters
        ----------
        rpm : array_like, optional
            Crank speeds [rpm]; without them every 200 rpm to redline, from 3000 rpm or from 40 %
            of redline where that is lower.

        Returns
        -------
        Pull
            All columns over engine speed.
        """
        return Pull.run(self, rpm)

    def timed_hold(self, rpm: float, *, seconds: float) -> TimedPull:
        """Solve the chain at one engine speed that is held, while an ice tank warms.

        Parameters
        ----------
        rpm : float
            Crank speed [rpm].
        seconds : float
            For how long, up to an hour [s].

        Returns
        -------
        TimedPull
            All columns over time.
        """
        return TimedPull.held(self, rpm, seconds)

    def timed_pull(self, rpm: ArrayLike | None = None, *, rpm_per_second: float) -> TimedPull:
        """Solve the chain over engine speed that rises with time, as in a pull on the dyno.

        The rotor takes power to speed up, and an ice tank warms on the way.

        Parameters
        ----------
        rpm : array_like, optional
            Rising crank speeds [rpm]; those of `pull` unless given.
        rpm_per_second : float
            Rise of engine speed [rpm/s].

        Returns
        -------
        TimedPull
            All columns over engine speed and time.
        """
        return TimedPull.at_rate(self, rpm, rpm_per_second=rpm_per_second)

    def run_sequence(self, times: int | None = None) -> RunSequence:
        """Follow the phases of the file's ``[run]``: staging, full power, the way back, again.

        Parameters
        ----------
        times : int, optional
            How many runs, one after another [dimensionless, 1 to 200]; as typed without it.

        Returns
        -------
        RunSequence
            Charge temperature, water and ice through all of them.

        Raises
        ------
        InputError
            The file has no ``[run]``, or the water would boil.
        """
        return RunSequence.of(self, times)

    def cycle_at(self, rpm: float) -> CycleTrace:
        """Solve one engine speed and watch the cylinder's cycle there; the build has cams.

        Parameters
        ----------
        rpm : float
            Crank speed [rpm].

        Returns
        -------
        CycleTrace
            Pressures, temperatures and flows over crank angle.

        Raises
        ------
        InputError
            The build's volumetric efficiency is typed, or the point was not solved.
        """
        return cycle_at(self, rpm)

    def knock_margins(self, rpm: ArrayLike | None = None) -> KnockMargins:
        """Estimate how far every level is from knock, and how much earlier best torque would be.

        Phasing is the crank angle at which half of the charge has burned. The margin is how much
        earlier that may be before the unburned gas knocks. The build needs cams.

        Parameters
        ----------
        rpm : array_like, optional
            Crank speeds [rpm]; every 1000 rpm from 3000 rpm, and redline, unless given.

        Returns
        -------
        KnockMargins
            Estimates in degrees of phasing. They are no permission to run a spark.

        Raises
        ------
        InputError
            The build's volumetric efficiency is typed, or no point was solved.
        """
        return knock_margins(self, rpm)

    def drive_loads(self, rpm: float) -> DriveLoads:
        """Return what every mesh and belt of the drive carries at one engine speed.

        Parameters
        ----------
        rpm : float
            Crank speed [rpm], held.

        Returns
        -------
        DriveLoads
            The links of the drive, crank first.
        """
        return DriveLoads.at(self, rpm)

    def lift_off(self, rpm: float | None = None) -> LiftOff:
        """Shut the throttle at an engine speed and follow the compressor in time.

        Parameters
        ----------
        rpm : float, optional
            Crank speed at which the throttle begins to shut [rpm]; redline without it.

        Returns
        -------
        LiftOff
            Whether it surges, without a bypass and with that of ``[bypass]``.
        """
        return LiftOff.of(self, rpm)

    def __repr__(self) -> str:
        return as_text(self)

    def _repr_html_(self) -> str:
        return as_html(self)
