"""A build: the engine, its supercharger and its weather, ready to be asked."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from .. import _core
from ..buildfile.assemble import Handover, Parts
from ..buildfile.document import Document
from ..buildfile.drive import Level
from ..buildfile.source import Source
from ..cylinder.parts import Cylinder
from .build_words import as_html, as_text
from .changes import Aspirated, Change, LevelFitted, Link
from .drive_loads import DriveLoads
from .fingerprints import fingerprint_of
from .matched_cycles import KnockMargins, cycle_at, knock_margins
from .pull import Pull
from .replay import replayed, typed_over, with_change
from .saving import read_changes, saved
from .timed_pull import TimedPull

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from ..buildfile.fuel_system import FuelSystem
    from ..cylinder.trace import CycleTrace

__all__ = ["Build", "Level"]


@dataclass(frozen=True, eq=False, repr=False)
class Build:
    """An engine with what feeds it: a document and the changes made to it. See `airchain.load`.

    Whatever makes another build of one replays all its changes on the document; what is typed last
    holds. Builds are equal, with one hash and one fingerprint, where everything their answers
    depend on is equal, by whatever way they came there.

    Attributes
    ----------
    document : Document
        What was typed, replaced values among it.
    changes : tuple of Change
        What was changed besides, in the order in which it acts.
    """

    document: Document
    changes: tuple[Change, ...] = ()

    def __post_init__(self) -> None:
        # What does not suit is refused where the build is made, not at its first pull.
        _ = self._parts

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

    @cached_property
    def _parts(self) -> Parts:
        return replayed(self.document.parts, self.changes)

    @property
    def name(self) -> str:
        """What the file calls it."""
        return self._parts.name

    @property
    def notes(self) -> str:
        """What the file says of it."""
        return self._parts.notes

    @property
    def invented(self) -> bool:
        """Whether the file says that the build is invented."""
        return self._parts.invented

    @property
    def chain(self) -> _core.Chain:
        """The stations, ready to be solved."""
        return self._parts.chain

    @property
    def links(self) -> tuple[Link, ...]:
        """The drive's links from the crank on; empty when naturally aspirated."""
        return self._parts.links

    @property
    def levels(self) -> Mapping[str, Level]:
        """Drive steps by name, in file order."""
        return self._parts.levels

    @property
    def level_name(self) -> str:
        """The drive step fitted, empty for the drive as the file has it."""
        return self._parts.level_name

    @property
    def reference_speed(self) -> float:
        """Crank speed at which steps are compared [rad/s]."""
        return self._parts.reference_speed

    @property
    def ice_tank(self) -> _core.IceTank | None:
        """The tank that feeds the cooler; the chain takes its water as it starts."""
        return self._parts.ice_tank

    @property
    def pull_rate(self) -> float:
        """Rise of engine speed [rad/s^2] of the timed pull in reports."""
        return self._parts.pull_rate

    @property
    def fuel_system(self) -> FuelSystem | None:
        """Pumps, lines, regulator and injectors, where the file describes them."""
        return self._parts.fuel_system

    @property
    def handover(self) -> Handover:
        """Customer, workshop, date and reference that reports show, as typed."""
        return self._parts.handover

    @property
    def cylinder(self) -> Cylinder | None:
        """One cylinder with its cams, which made the breathing; None where that is typed."""
        return self._parts.cylinder

    @property
    def cautions(self) -> tuple[str, ...]:
        """What is to be said of the build in every result."""
        return self._parts.cautions

    @property
    def source(self) -> Source:
        """The document's tables, with the place of every key."""
        return self.document.source

    @cached_property
    def fingerprint(self) -> str:
        """SHA-256 of everything that its answers depend on, changes included."""
        return fingerprint_of(self._parts)

    @property
    def supercharged(self) -> bool:
        """Whether there is a compressor."""
        return self.chain.compressor is not None

    @property
    def title(self) -> str:
        """Name and drive step, as legends show them."""
        if self.level_name:
            return f"{self.name}, {self.level_name}"
        return self.name if self.supercharged else f"{self.name}, naturally aspirated"

    @property
    def redline(self) -> float:
        """Highest crank speed allowed [rad/s]."""
        return float(self.chain.engine.speed_limit)

    @property
    def inputs(self) -> Mapping[str, str]:
        """Everything typed, as text by its dotted path."""
        return self.document.inputs

    def text(self, path: str) -> str:
        """Return a value as it was typed.

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
        """Return the build with another drive step fitted.

        Parameters
        ----------
        name : str
            One of `levels`; empty for the drive as the file has it.

        Returns
        -------
        Build
            The build on that step.

        Raises
        ------
        InputError
            There is no such level.
        """
        if not name:
            left = tuple(one for one in self.changes if one.kind not in LevelFitted.replaces)
            return Build(self.document, left)
        return self.changed(LevelFitted(name))

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
            A drive step, a day's weather, the factors of a fit and so on.

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

    def replace(self, changes: Mapping[str, Any]) -> Build:
        """Return the build with other values typed, everything checked anew.

        Parameters
        ----------
        changes : mapping
            New value by dotted path in the build file: ``{"cooler.effectiveness": 0.8,
            "ambient.temperature": "95 degF"}``. None takes a key out.

        Returns
        -------
        Build
            The build, on the same drive step and with the same factors of a fit. A value typed
            here holds against a day's weather or a mixture that was given before.

        Raises
        ------
        InputError
            A path leads nowhere, or the file would be refused with these values.
        """
        document, paths = self.document.with_values(changes, self.name)
        return Build(document, typed_over(self.changes, paths))

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
            Crank speeds [rpm]; from 3000 rpm to redline unless given.

        Returns
        -------
        Pull
            All columns over engine speed.
        """
        return Pull.run(self, rpm)

    def timed_pull(self, rpm_per_second: float, rpm: ArrayLike | None = None) -> TimedPull:
        """Solve the chain over engine speed that rises with time; an ice tank warms on the way.

        Parameters
        ----------
        rpm_per_second : float
            Rise of engine speed [rpm/s].
        rpm : array_like, optional
            Rising crank speeds [rpm]; from 3000 rpm to redline unless given.

        Returns
        -------
        TimedPull
            All columns over engine speed and time.
        """
        return TimedPull.at_rate(self, rpm_per_second, rpm)

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
        """Search best-torque and knock-limited phasing at every level; the build has cams.

        Parameters
        ----------
        rpm : array_like, optional
            Crank speeds [rpm]; every 1000 rpm from 3000 rpm and redline unless given.

        Returns
        -------
        KnockMargins
            Estimates in degrees of phasing, and no permission.

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

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Build) and self.fingerprint == other.fingerprint

    def __hash__(self) -> int:
        return hash(self.fingerprint)

    def __repr__(self) -> str:
        return as_text(self)

    def _repr_html_(self) -> str:
        return as_html(self)
