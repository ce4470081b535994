"""The state of a build: what its document describes, with every change on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from .. import _core
from ..buildfile.assemble import Handover, Parts
from ..buildfile.document import Document
from ..buildfile.drive import Level
from ..buildfile.fuel_system import FuelSystem
from ..buildfile.source import Source
from ..buildfile.vehicle import Vehicle
from ..cylinder.parts import Cylinder
from ..cylinder.spread import told_apart
from ..cylinder.together import Together, together_of
from .changes import Change, Factors, Link
from .factors import Factor
from .fingerprints import fingerprint_of
from .replay import replayed

__all__ = ["BuildState"]


@dataclass(frozen=True, eq=False, repr=False)
class BuildState:
    """A document and the changes made to it, resolved to numbers.

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

    @cached_property
    def chain(self) -> _core.Chain:
        """The stations, ready to be solved.

        Where firing order and collectors tell the cylinders apart, whole engines are solved first,
        once for an engine: the chain's air is the mean of all cylinders.
        """
        chain, together = self._parts.chain, self._together
        if together is None:
            return chain
        return chain.replace(breathing=chain.breathing.replace(together=together.table))

    @cached_property
    def _together(self) -> Together | None:
        """How all cylinders fill; None where one stands for all, or it was told by a change."""
        cylinder, told = self.cylinder, self._parts.chain.breathing.together
        if cylinder is None or told is not None or not told_apart(cylinder):
            return None
        return together_of(cylinder)

    @property
    def stations(self) -> _core.Chain:
        """The stations as they were typed, to be looked at: without what whole engines say."""
        return self._parts.chain

    @property
    def links(self) -> tuple[Link, ...]:
        """The drive's links from the crank on; empty when naturally aspirated."""
        return self._parts.links

    @property
    def levels(self) -> Mapping[str, Level]:
        """The drive levels by name, in the order of the file."""
        return self._parts.levels

    @property
    def level_name(self) -> str:
        """The drive level that is fitted; empty for the drive as the file has it."""
        return self._parts.level_name

    @property
    def reference_speed(self) -> float:
        """Crank speed at which levels are compared [rad/s]."""
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
    def vehicle(self) -> Vehicle | None:
        """What the engine drives, where the file describes it."""
        return self._parts.vehicle

    @property
    def handover(self) -> Handover:
        """Customer, workshop, date and reference that reports show, as typed."""
        return self._parts.handover

    @property
    def cylinder(self) -> Cylinder | None:
        """One cylinder with its cams, which made the breathing; None where that is typed."""
        return self._parts.cylinder

    @property
    def breathes(self) -> str:
        """What an engine with cams breathes by: its cycles, or a surface of them; else empty."""
        return self._parts.breathes

    @property
    def cautions(self) -> tuple[str, ...]:
        """What is to be said of the build in every result."""
        together = self._together
        return (*self._parts.cautions, *(() if together is None else together.cautions))

    @property
    def trust(self) -> Mapping[str, float]:
        """How far its own figures may be off, a standard deviation each [dimensionless]."""
        return self._parts.trust

    @property
    def source(self) -> Source:
        """The document's tables, with the place of every key."""
        return self.document.source

    @cached_property
    def fingerprint(self) -> str:
        """SHA-256 of everything that its answers depend on, changes included."""
        return fingerprint_of(self._parts)

    @property
    def fingerprint_of_numbers(self) -> str:
        """The same without notes and whose report it is, which move no number."""
        return fingerprint_of(self._parts, words=False)

    @property
    def supercharged(self) -> bool:
        """Whether there is a compressor."""
        return self.stations.compressor is not None

    @property
    def title(self) -> str:
        """Name and drive level, as legends show them."""
        if self.level_name:
            return f"{self.name}, {self.level_name}"
        return self.name if self.supercharged else f"{self.name}, naturally aspirated"

    @property
    def redline(self) -> float:
        """Highest crank speed allowed [rad/s]."""
        return float(self.stations.engine.speed_limit)

    @property
    def factors(self) -> tuple[Factor, ...]:
        """The factors by which fits brought the build into agreement with measured pulls."""
        return tuple(f for one in self.changes if isinstance(one, Factors) for f in one.factors)

    @property
    def inputs(self) -> Mapping[str, str]:
        """Everything typed, as text by its dotted path."""
        return self.document.inputs

    def __eq__(self, other: object) -> bool:
        return isinstance(other, BuildState) and self.fingerprint == other.fingerprint

    def __hash__(self) -> int:
        return hash(self.fingerprint)
