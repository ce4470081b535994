"""A build: the engine, its supercharger and its weather, ready to be asked."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..buildfile.assemble import Parts, assemble
from ..buildfile.drive import Level
from ..buildfile.source import Source
from ..typed.place import KeyPath
from .build_words import as_html, as_text
from .drive_loads import DriveLoads
from .matched_cycles import KnockMargins, cycle_at, knock_margins
from .pull import Pull
from .timed_pull import TimedPull

if TYPE_CHECKING:
    from numpy.typing import ArrayLike

    from ..cylinder.trace import CycleTrace

__all__ = ["Build", "Level"]


@dataclass(frozen=True, eq=False, repr=False)
class Build(Parts):
    """An engine with what feeds it, as a build file describes it. Made by `airchain.load`.

    Attributes
    ----------
    name, notes : str
        What the file calls it, and says of it.
    invented : bool
        Whether the file says that the build is invented.
    chain : Chain
        The stations, ready to be solved.
    links : tuple
        The drive's links from the crank on; empty when naturally aspirated.
    levels : mapping
        Drive steps by name, in file order.
    reference_speed : float
        Crank speed at which steps are compared [rad/s].
    ice_tank : IceTank or None
        The tank that feeds the cooler; the chain takes its water as it starts, a timed pull warms
        it.
    pull_rate : float
        Rise of engine speed [rad/s^2] of the timed pull in reports.
    fuel_system : FuelSystem or None
        Pumps, lines, regulator and injectors, where the file describes them.
    handover : Handover
        Customer, workshop, date and reference that reports show, as typed.
    cylinder : Cylinder or None
        One cylinder with its cams, ports and pipes, which made the breathing; None where
        volumetric efficiency is typed.
    cautions : tuple of str
        What is to be said of the build in every result.
    fingerprint : str
        SHA-256 of everything typed, map and level included.
    level_name : str
        The drive step fitted, empty for the drive as the file has it.
    source : Source
        The document.
    """

    level_name: str = ""
    source: Source = field(default=None, kw_only=True)  # type: ignore[assignment]

    @classmethod
    def of(cls, source: Source) -> Build:
        """Make a build of a document.

        Parameters
        ----------
        source : Source
            The document.

        Returns
        -------
        Build
            The build.
        """
        return cls(**vars(assemble(source)), source=source)

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

    @cached_property
    def inputs(self) -> dict[str, str]:
        """Everything typed, as text by its dotted path."""
        return dict(_leaves(self.source.file.data, ()))

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
        if path not in self.inputs:
            rule = "be the path of a value that was typed"
            near = suggestion(path, list(self.inputs))
            raise refusal(self.source.file.name, "path", quoted(path), rule, near)
        return self.inputs[path]

    def level(self, name: str) -> Build:
        """Return the build with another drive step fitted.

        Parameters
        ----------
        name : str
            One of `levels`.

        Returns
        -------
        Build
            The build on that step.

        Raises
        ------
        InputError
            There is no such level.
        """
        if name not in self.levels:
            known = ", ".join(self.levels) or "none; the file has no [levels]"
            near = suggestion(name, list(self.levels))
            raise refusal(self.name, "level", quoted(name), f"be one of {known}", near)
        step = self.levels[name]
        chain = self.chain.replace(drive=step.drive)
        return self._on(chain, links=step.links, level_name=name)

    def naturally_aspirated(self) -> Build:
        """Return the same engine without compressor, cooler and bypass, in the same weather.

        Returns
        -------
        Build
            The build; its inlet and charge ducts stay.
        """
        parts = {name: getattr(self.chain, name) for name in _BREATHING_PARTS}
        chain = _core.Chain(compressor=None, bypass=None, **parts)
        return self._on(chain, links=(), levels={}, level_name="", ice_tank=None)

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
            The build, on the same drive step.

        Raises
        ------
        InputError
            A path leads nowhere, or the file would be refused with these values.
        """
        data = deepcopy(self.source.file.data)
        paths = [_put(data, path, value, self.name) for path, value in changes.items()]
        file = replace(self.source.file, data=data)
        made = Build.of(Source(file, (*self.source.replaced, *paths)))
        if self.supercharged and self.level_name:
            return made.level(self.level_name)
        return made if self.supercharged else made.naturally_aspirated()

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

    def _on(self, chain: Any, **changes: Any) -> Build:
        return replace(self, chain=chain, **changes)

    def _key(self) -> tuple[Any, ...]:
        return self.fingerprint, self.level_name, self.supercharged

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Build) and self._key() == other._key()

    def __hash__(self) -> int:
        return hash(self._key())

    def __repr__(self) -> str:
        return as_text(self)

    def _repr_html_(self) -> str:
        return as_html(self)


_BREATHING_PARTS = (
    "ambient",
    "scoop",
    "inlet",
    "charge_duct",
    "throttle",
    "fuel",
    "injection",
    "breathing",
    "engine",
    "combustion",
    "exhaust",
)


def _leaves(typed: Any, path: KeyPath) -> list[tuple[str, str]]:
    """Dotted path and text of every value below a table or list of tables."""
    if isinstance(typed, dict):
        return [leaf for key, value in typed.items() for leaf in _leaves(value, (*path, key))]
    if isinstance(typed, list) and typed and all(isinstance(row, dict) for row in typed):
        return [leaf for i, value in enumerate(typed) for leaf in _leaves(value, (*path, i))]
    return [(".".join(str(part) for part in path), _typed(typed))]


def _typed(value: Any) -> str:
    """A value as a file has it, texts without their quotes."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_typed, value))}]"
    return str(value)


def _put(data: dict[str, Any], path: str, value: Any, name: str) -> KeyPath:
    """Set one value in a document's tables; None takes it out."""
    parts = path.split(".") if isinstance(path, str) else []
    place: Any = data
    key: list[str | int] = []
    for i, part in enumerate(parts):
        last = i == len(parts) - 1
        index: str | int = int(part) if isinstance(place, list) and part.isdecimal() else part
        inside = index in place if isinstance(place, dict) else index in range(len(place))
        if not inside and not (isinstance(place, dict) and (last or value is not None)):
            break
        key.append(index)
        if last:
            if value is not None:
                place[index] = value
            elif inside:
                del place[index]
            return tuple(key)
        if not inside:
            place[index] = {}
        place = place[index]
        if not isinstance(place, dict | list):
            break
    rule = "be a dotted path in the build file, such as cooler.effectiveness"
    raise refusal(name, "replace", quoted(path), rule, "list entries are counted from 0")
