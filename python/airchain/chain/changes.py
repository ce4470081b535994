"""What may be changed about a build besides what is typed; each change can be replayed and saved.

They act on whatever the document describes, always in this order, however they were asked for: no
compressor, the drive, the weather, the mixture, the factors of a fit, a ratio as it runs, and an
instant of a pull against time.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass, fields, replace
from typing import ClassVar, TypeAlias

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..buildfile.assemble import Parts
from ..typed.place import KeyPath
from .factors import FACTORS, SHAPE, Factor, factored

__all__ = [
    "Aspirated",
    "Change",
    "DriveRatio",
    "Factors",
    "Instant",
    "LevelFitted",
    "Link",
    "LinksFitted",
    "Mixture",
    "Weather",
]

Link: TypeAlias = _core.GearPair | _core.PulleyPair | _core.StepUp


@dataclass(frozen=True)
class Change(ABC):
    """One change of a build."""

    #: What it is called in a file.
    kind: ClassVar[str]
    #: Its place in the order in which changes act.
    rank: ClassVar[int]
    #: Kinds of earlier changes that it takes the place of.
    replaces: ClassVar[tuple[str, ...]] = ()

    def apply(self, parts: Parts) -> Parts:
        """Return the parts of a build with this change.

        Parameters
        ----------
        parts : Parts
            What the document describes, with the changes on it that act before this one.

        Returns
        -------
        Parts
            The same with this one.

        Raises
        ------
        InputError
            The change does not suit the build.
        """
        return self._on(parts)

    def after(self, earlier: Change) -> Change:
        """Return what stands for both where an earlier change of this kind is replaced.

        Parameters
        ----------
        earlier : Change
            The earlier one, of the same kind.

        Returns
        -------
        Change
            What holds of both.
        """
        return self._joined(earlier)

    def typed_over(self, path: KeyPath) -> Change | None:
        """Return what is left of the change once a key was typed after it.

        Parameters
        ----------
        path : tuple of str and int
            The key, its path from the top [dimensionless].

        Returns
        -------
        Change or None
            What is left; None for nothing.
        """
        return self._without(path)

    @abstractmethod
    def _on(self, parts: Parts) -> Parts: ...

    def _joined(self, earlier: Change) -> Change:
        return self

    def _without(self, path: KeyPath) -> Change | None:
        return self


@dataclass(frozen=True)
class Aspirated(Change):
    """The engine without compressor, cooler and bypass; its inlet and charge ducts stay."""

    kind = "naturally_aspirated"
    rank = 0
    replaces = ("naturally_aspirated", "level", "links", "drive_ratio")

    def _on(self, parts: Parts) -> Parts:
        chain = parts.chain.replace(**dict.fromkeys(_OF_COMPRESSOR))
        return replace(parts, chain=chain, links=(), levels={}, level_name="", ice_tank=None)


_OF_COMPRESSOR = ("operation", "compressor", "drive", "discharge", "cooler", "bypass")


@dataclass(frozen=True)
class LevelFitted(Change):
    """A drive step of the build file.

    Attributes
    ----------
    name : str
        Its name.
    """

    name: str

    kind = "level"
    rank = 1
    replaces = ("level", "links", "drive_ratio")

    def _on(self, parts: Parts) -> Parts:
        if self.name not in parts.levels:
            known = ", ".join(parts.levels) or "none; the file has no [levels]"
            near = suggestion(self.name, list(parts.levels))
            raise refusal(parts.name, "level", quoted(self.name), f"be one of {known}", near)
        step = parts.levels[self.name]
        chain = parts.chain.replace(drive=step.drive)
        return replace(parts, chain=chain, links=step.links, level_name=self.name)


@dataclass(frozen=True)
class LinksFitted(Change):
    """A drive train of other links, as a plan puts it together.

    Attributes
    ----------
    name : str
        What the step is called.
    links : tuple
        The links from the crank on.
    """

    name: str
    links: tuple[Link, ...]

    kind = "links"
    rank = 1
    replaces = ("level", "links", "drive_ratio")

    def _on(self, parts: Parts) -> Parts:
        drive = _core.reduce_drive(list(self.links), rest=parts.chain.drive)
        chain = parts.chain.replace(drive=drive)
        return replace(parts, chain=chain, links=self.links, level_name=self.name)


@dataclass(frozen=True)
class Weather(Change):
    """The air of a day, and the coolant that it gives; None where it stays as it was.

    Attributes
    ----------
    pressure : float or None
        Of the air [Pa].
    temperature : float or None
        Of the air [K].
    relative_humidity : float or None
        From 0 to 1 [dimensionless].
    coolant_temperature : float or None
        Of the cooler's coolant [K].
    """

    pressure: float | None = None
    temperature: float | None = None
    relative_humidity: float | None = None
    coolant_temperature: float | None = None

    kind = "weather"
    rank = 2
    replaces = ("weather",)

    @classmethod
    def of(cls, ambient: _core.Ambient, coolant_temperature: float | None = None) -> Weather:
        """Return the weather of an ambient, and of a coolant where one is given.

        Parameters
        ----------
        ambient : Ambient
            The air.
        coolant_temperature : float, optional
            Of the cooler's coolant [K].

        Returns
        -------
        Weather
            All of it.
        """
        air = (ambient.pressure, ambient.temperature, ambient.relative_humidity)
        return cls(*air, coolant_temperature)

    def _on(self, parts: Parts) -> Parts:
        conditions = {f.name: getattr(self, f.name) for f in fields(self)}
        coolant = conditions.pop("coolant_temperature")
        air = {name: value for name, value in conditions.items() if value is not None}
        chain = parts.chain.replace(ambient=parts.chain.ambient.replace(**air))
        if coolant is not None and chain.compressor is not None:
            chain = chain.replace(cooler=chain.cooler.replace(coolant_temperature=coolant))
        return replace(parts, chain=chain)

    def _joined(self, earlier: Change) -> Change:
        """What this weather does not tell stays as the earlier one has it."""
        mine = {f.name: getattr(self, f.name) for f in fields(self)}
        return replace(
            self, **{n: getattr(earlier, n) if v is None else v for n, v in mine.items()}
        )

    def _without(self, path: KeyPath) -> Change | None:
        """A value typed later holds; the rest of the day stays."""
        lost: tuple[str, ...] = ()
        if path[0] == "ambient":
            lost = _AIR if len(path) == 1 else (_TYPED_AIR.get(str(path[1]), str(path[1])),)
        elif _is_coolant(path):
            lost = ("coolant_temperature",)
        own = {f.name for f in fields(self)}
        left = replace(self, **{name: None for name in lost if name in own})
        return left if left != Weather() else None


_AIR = ("pressure", "temperature", "relative_humidity")
#: What the keys of [ambient] say that are not called like what they say.
_TYPED_AIR = {
    "altimeter": "pressure",
    "altitude": "pressure",
    "humidity": "relative_humidity",
    "dew_point": "relative_humidity",
}


def _is_coolant(path: KeyPath) -> bool:
    keys = ("kind", "coolant_temperature", "water_temperature")
    return path[0] == "cooler" and (len(path) == 1 or path[1] in keys)


@dataclass(frozen=True)
class Mixture(Change):
    """The air-fuel ratio as it was run.

    Attributes
    ----------
    value : float
        Lambda [dimensionless].
    """

    value: float

    kind = "mixture"
    rank = 3
    replaces = ("mixture",)

    def _on(self, parts: Parts) -> Parts:
        injection = parts.chain.injection.replace(**{"lambda": self.value})
        return replace(parts, chain=parts.chain.replace(injection=injection))

    def _without(self, path: KeyPath) -> Change | None:
        """A lambda typed later holds."""
        return None if path in (("fuel",), ("fuel", "lambda")) else self


@dataclass(frozen=True)
class Factors(Change):
    """Factors on the stations' own figures, as a fit found them.

    Two fits one after another both hold: the second was made of a build that has the first.

    Attributes
    ----------
    factors : tuple of Factor
        The factors.
    """

    factors: tuple[Factor, ...]

    kind = "factors"
    rank = 4

    def __post_init__(self) -> None:
        for factor in self.factors:
            if factor.name not in FACTORS:
                near = suggestion(factor.name, list(FACTORS))
                rule = f"be one of {', '.join(FACTORS)}"
                raise refusal("factors", "name", quoted(factor.name), rule, near)
            if (factor.rpm > 0.0) != (factor.name == SHAPE):
                rule = f"be above 0 for {SHAPE}, and 0 for all others"
                raise refusal("factors", f"{factor.name}: rpm", f"{factor.rpm:g}", rule)

    def _on(self, parts: Parts) -> Parts:
        return replace(parts, chain=factored(parts.chain, self.factors))


@dataclass(frozen=True)
class DriveRatio(Change):
    """Another drive ratio, as it runs: whatever slips has slipped.

    Attributes
    ----------
    name : str
        What the step is called.
    ratio : float
        Compressor input shaft over crank speed [dimensionless].
    """

    name: str
    ratio: float

    kind = "drive_ratio"
    rank = 5
    replaces = ("drive_ratio",)

    def _on(self, parts: Parts) -> Parts:
        drive = parts.chain.drive.replace(drive_ratio=self.ratio)
        return replace(parts, chain=parts.chain.replace(drive=drive), level_name=self.name)


@dataclass(frozen=True)
class Instant(Change):
    """One instant of a pull against time.

    Attributes
    ----------
    engine_speed : float
        Crank speed [rad/s].
    engine_acceleration : float
        Its rise [rad/s^2].
    water_temperature : float or None
        What the tank feeds the cooler with [K]; None where there is no tank.
    """

    engine_speed: float
    engine_acceleration: float
    water_temperature: float | None = None

    kind = "instant"
    rank = 6
    replaces = ("instant",)

    def _on(self, parts: Parts) -> Parts:
        operation = _core.Operation(
            engine_speed=self.engine_speed, engine_acceleration=self.engine_acceleration
        )
        chain = parts.chain.replace(operation=operation)
        if self.water_temperature is not None and chain.compressor is not None:
            cooler = chain.cooler.replace(coolant_temperature=self.water_temperature)
            chain = chain.replace(cooler=cooler)
        return replace(parts, chain=chain)

    def _without(self, path: KeyPath) -> Change | None:
        """A coolant typed later holds."""
        return replace(self, water_temperature=None) if _is_coolant(path) else self
