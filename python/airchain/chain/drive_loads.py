"""What every mesh and belt of the drive carries at one engine speed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING

from .. import _core
from ..base.speeds import RPM
from ..shown import statuses
from ..shown.columns import shown_as
from ..shown.tables import Shown, Table
from ..units.convert import unit_label
from .build_words import link_words
from .solving import solve

if TYPE_CHECKING:
    from .build import Build
    from .changes import Link

__all__ = ["DriveLoads"]

#: What is told of every link: its heading and quantity kind.
_QUANTITIES = {
    "speed_in": ("speed in", "speed"),
    "speed_out": ("speed out", "speed"),
    "torque_in": ("torque in", "torque"),
    "torque_out": ("torque out", "torque"),
    "power_in": ("power in", "power"),
    "power_loss": ("loss", "power"),
    "pitch_line_speed": ("pitch line", "velocity"),
    "effective_tension": ("pull", "force"),
    "tension_capacity": ("capacity", "force"),
}


def links_carry(
    chain: _core.Chain,
    links: Sequence[Link],
    rpm: float,
    compressor_power: float,
    rotor_speed: float,
) -> list[_core.LinkLoad]:
    """Return the load of every link when the gas takes a power.

    Parameters
    ----------
    chain : Chain
        The stations; drag, inertia and acceleration are taken from it.
    links : sequence
        The train, crank first.
    rpm : float
        Crank speed [rpm].
    compressor_power : float
        Into the gas [W].
    rotor_speed : float
        Of the impeller [rad/s].

    Returns
    -------
    list of LinkLoad
        One a link.
    """
    drive = chain.drive
    torque = compressor_power / rotor_speed + drive.drag_torque
    if (operation := chain.operation) is not None:
        torque += drive.inertia * operation.engine_acceleration * drive.speed_ratio
    return list(_core.drive_loads(list(links), rpm * RPM, torque))


_KEY = "Pull: of gears the tangential tooth force, of belts the tight less the slack side."


@dataclass(frozen=True, eq=False, repr=False)
class DriveLoads(Shown):
    """The links of the drive, crank first, with what each transmits.

    Attributes
    ----------
    build : Build
        The build.
    rpm : float
        Crank speed [rpm].
    status : str
        Status of the point; its loads are NaN unless it is ``"matched"``.
    links : tuple of LinkLoad
        Speeds [rad/s], torques [N m], powers [W], pitch-line speed [m/s], tangential tooth force
        or belt tension and its capacity [N] of every link.
    """

    build: Build
    rpm: float
    status: str
    links: tuple[_core.LinkLoad, ...]

    @classmethod
    def at(cls, build: Build, rpm: float) -> DriveLoads:
        """Solve the build at one engine speed and follow the power back to the crank.

        Where the chain's operation has an engine acceleration, the rotor's inertia loads the drive
        too.

        Parameters
        ----------
        build : Build
            The build.
        rpm : float
            Crank speed [rpm].

        Returns
        -------
        DriveLoads
            One row a link; none without a compressor.
        """
        point = solve(build.chain, [rpm])
        status = statuses.status_names()[int(point["status"][0])]
        if not build.links:
            return cls(build, float(rpm), status, ())
        power, rotor = (float(point[name][0]) for name in ("compressor_power", "rotor_speed"))
        links = links_carry(build.chain, build.links, float(rpm), power, rotor)
        return cls(build, float(rpm), status, tuple(links))

    def __len__(self) -> int:
        return len(self.links)

    def __getitem__(self, index: int) -> _core.LinkLoad:
        return self.links[index]

    @property
    def directions(self) -> list[str]:
        """How the shaft behind each link turns: with the crank or against it."""
        links = list(self.build.links)
        senses = [_core.drive_rotation(links[: i + 1]) for i in range(len(links))]
        return ["with crank" if sense > 0 else "against crank" for sense in senses]

    @property
    def verdict(self) -> str:
        """The build, the engine speed and the status with what to do."""
        return f"{self.build.title}, drive at {self.rpm:,.0f} rpm: {statuses.advice(self.status)}"

    @property
    def notes(self) -> list[str]:
        """What the table leaves open, and belts asked for more than they carry."""
        if not self.links:
            return ["There is no drive: the engine is naturally aspirated."]
        notes = [
            f"Link {i}: The belt is asked for more pull than it can carry."
            for i, load in enumerate(self.links, 1)
            if load.effective_tension > load.tension_capacity
        ]
        pairs = [link for link in self.build.links if isinstance(link, _core.GearPair)]
        if pairs:
            notes.append(
                "What the teeth can carry is not judged here. A plan judges bending and contact "
                "where the teeth are typed."
            )
        if any(pair.module == 0.0 for pair in pairs):
            notes.append("A gear pair whose module is not typed has no tooth force here.")
        return notes

    def _tables(self, system: str) -> list[Table]:
        rows = []
        for link, load, turns in zip(self.build.links, self.links, self.directions, strict=False):
            cells = [_cell(link, load, name, system) for name in _QUANTITIES]
            rows.append([link_words(link), *cells, turns])
        headings = ["link", *(words for words, _ in _QUANTITIES.values()), "turns out"]
        units = ["", *(unit_label(kind, system) for _, kind in _QUANTITIES.values()), ""]
        return [Table(headings, units, rows, key=_KEY)] if rows else []


def _cell(link: Link, load: _core.LinkLoad, name: str, system: str) -> str:
    value = float(getattr(load, name))
    if name == "tension_capacity" and not isfinite(value):
        return "not given" if isinstance(link, _core.PulleyPair) else "–"
    return shown_as(_QUANTITIES[name][1], value, system)
