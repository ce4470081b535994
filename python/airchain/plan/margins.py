"""How much room each limit leaves a fitting, in each weather and at its worst engine speed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..chain.drive_loads import links_carry
from ..fuel.supplying import supplied
from ._solving import Solved
from .knock import Knock
from .limits import QUANTITIES, Limit, number, unit
from .parts import Fitting, first_of
from .request import PlanRequest

__all__ = ["Margin", "margins_of"]

Array = NDArray[np.float64]
_Pair = tuple[Array, Array]
_SUPPLIED = ("plenum_pressure", "compressor_inlet_pressure")


@dataclass(frozen=True)
class Margin:
    """One quantity in one weather at the engine speed where it is worst.

    Attributes
    ----------
    name : str
        What is limited, a key of `limits.QUANTITIES`.
    weather : str
        Name of the weather.
    rpm : float
        Engine speed [rpm]; NaN where nothing is known.
    value, doubt : float
        The quantity and half its 90 % band towards the limit [SI].
    limit : Limit or None
        The limit, where one was typed.
    used : float
        Share of what is allowed that value and doubt together take [dimensionless]; NaN without
        limit or where nothing is known.
    known : bool
        Whether the quantity is known; a margin without data is never a good one.
    estimated : bool
        Whether the limit it is counted from was predicted, not measured.
    floor : bool
        Whether no knock was found at the earliest phasing tried, so that value and room are at
        least what is told.
    """

    name: str
    weather: str
    rpm: float
    value: float
    doubt: float
    limit: Limit | None
    used: float
    known: bool
    estimated: bool = False
    floor: bool = False

    @property
    def words(self) -> str:
        """What is limited."""
        return QUANTITIES[self.name].words

    @property
    def clears(self) -> bool:
        """Whether it keeps its limit, doubt included; true where none was typed."""
        if self.limit is None or (self.limit.usual and not self.known):
            return True
        return self.known and bool(self.used <= 1.0)

    @property
    def worst(self) -> float:
        """The worse end of its band, greater where it is worse [SI]; NaN where not known."""
        most = QUANTITIES[self.name].bound == "most"
        return self.value + self.doubt if most else self.doubt - self.value

    @property
    def open_ended(self) -> bool:
        """Whether all that is known of its room is that there is some: it has no rank by it."""
        return self.floor and self.clears

    @property
    def room(self) -> float:
        """Share of what is allowed that is left [dimensionless]; NaN where not known."""
        return 1.0 - self.used

    def value_text(self, system: str = "trade") -> str:
        """Return value and doubt with their unit, 'not known' without data.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            Such as ``"est. 37 ± 12 %"``.
        """
        kind = QUANTITIES[self.name].kind
        if not self.known:
            return "not known"
        if not np.isfinite(self.value):
            return "no limit" if self.value > 0 else "–"
        text = number(kind, self.value, system)
        if self.doubt:
            # A band of a temperature is a difference.
            spread = "temperature_difference" if kind == "temperature" else kind
            text += f" ± {number(spread, self.doubt, system, whole='.' not in text)}"
        return f"{self._signs}{text} {unit(kind, system)}".strip()

    def room_text(self) -> str:
        """Return the room left in words, 'not known' where there are no data.

        Returns
        -------
        str
            Such as ``"12 %"``.
        """
        if not self.known:
            return "not known"
        if self.limit is None:
            return "no limit typed"
        if not np.isfinite(self.used):
            return "none"
        if self.used <= 1.0:
            return f"{self._signs}{100.0 * self.room:.0f} %"
        return "est. none" if self.estimated else "none"

    @property
    def _signs(self) -> str:
        """What stands before a value: whether it is an estimate, and whether it is a floor."""
        return f"{'est. ' if self.estimated else ''}{'≥' if self.floor else ''}"

    def reason(self, system: str = "trade") -> str:
        """Return why a fitting that does not keep this limit is rejected.

        Parameters
        ----------
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str
            Limit, value, engine speed and weather.
        """
        assert self.limit is not None
        bound = f"{self.limit.text(system)} ({self.limit.source})"
        if not self.known:
            return f"{self.words}: it is not known, so nobody can show that {bound} is kept"
        place = f"at {self.rpm:,.0f} rpm, {self.weather}"
        return f"{self.words}: it is {self.value_text(system)} {place}, and the limit is {bound}"


def _of(name: str) -> Callable[[Solved, Fitting, PlanRequest], _Pair | None]:
    def column(solved: Solved, _: Fitting, __: PlanRequest) -> _Pair | None:
        return None if solved.not_known(name) else solved.band(name)

    return column


def _peak(solved: Solved, _: Fitting, request: PlanRequest) -> _Pair:
    """Peak pressure of a high cycle in the worst cylinder."""
    middle, half = solved.band("peak_pressure")
    factor = request.cylinders.peak_factor(solved.states)
    return factor * middle, factor * half


def _head(solved: Solved, fitting: Fitting, request: PlanRequest) -> _Pair | None:
    """Clamp over lift at that pressure."""
    if request.head is None:
        return None
    peak, half = _peak(solved, fitting, request)
    holds = request.head.holding_force
    value: Array = holds / np.array([request.head.lifting_force(p) for p in peak])
    worst = holds / np.array([request.head.lifting_force(p) for p in peak + half])
    return value, value - worst


def _drive_torque(solved: Solved, _: Fitting, __: PlanRequest) -> _Pair:
    middle, half = solved.band("drive_power")
    return middle / (solved.rpm * RPM), half / (solved.rpm * RPM)


def _loads(solved: Solved, fitting: Fitting, power: Array) -> list[list[_core.LinkLoad]]:
    """Loads of the links at each engine speed for a power into the gas."""
    return [
        links_carry(solved.chain, fitting.links, n, p, r)
        for n, p, r in zip(solved.rpm, power, solved.value("rotor_speed"), strict=True)
    ]


def _gear(name: str) -> Callable[[Solved, Fitting, PlanRequest], _Pair | None]:
    def capacity(solved: Solved, fitting: Fitting, _: PlanRequest) -> _Pair | None:
        if not fitting.rated:
            return None
        middle, half = solved.band("compressor_power")
        value, worst = (_rated(solved, fitting, p, name) for p in (middle, middle + half))
        return value, value - worst

    return capacity


def _rated(solved: Solved, fitting: Fitting, power: Array, name: str) -> Array:
    """Least capacity over the rated meshes."""
    least = np.full(solved.rpm.size, np.inf)
    for i, loads in enumerate(_loads(solved, fitting, power)):
        for place, teeth in fitting.rated:
            load, pair = loads[place], fitting.links[place]
            if not isinstance(pair, _core.GearPair) or not np.isfinite(load.effective_tension):
                least[i] = np.nan
                continue
            stress = _core.gear_stress(pair, teeth, load.pitch_line_speed, load.effective_tension)
            capacities = {"bending_capacity": stress.bending_capacity,
                          "contact_capacity": stress.contact_capacity}  # fmt: skip
            least[i] = min(least[i], capacities[name])
    return least


def _pitch_line(solved: Solved, fitting: Fitting, _: PlanRequest) -> _Pair | None:
    meshes = [i for i, link in enumerate(fitting.links)
              if isinstance(link, _core.GearPair) and link.module > 0.0]  # fmt: skip
    if not meshes:
        return None
    loads = _loads(solved, fitting, solved.value("compressor_power"))
    fastest = np.array([max(row[i].pitch_line_speed for i in meshes) for row in loads])
    return fastest, np.zeros_like(fastest)


def _fuel(
    wanted: Callable[[Mapping[str, Array]], Array],
) -> Callable[[Solved, Fitting, PlanRequest], _Pair | None]:
    def served(solved: Solved, _: Fitting, request: PlanRequest) -> _Pair | None:
        if request.supply is None:
            return None
        middle, half = solved.band("fuel_flow")
        loads = []
        for flow in (middle, middle + half):
            columns = {name: solved.value(name) for name in _SUPPLIED}
            columns |= {"engine_speed": solved.rpm * RPM, "fuel_flow": flow}
            loads.append(wanted(supplied(request.supply, solved.chain, columns)))
        return loads[0], loads[1] - loads[0]

    return served


_HOW: Mapping[str, Callable[[Solved, Fitting, PlanRequest], _Pair | None]] = {
    **{name: _of(name) for name in QUANTITIES if name != "knock"},
    "peak_pressure": _peak,
    "head_clamp": _head,
    "drive_torque": _drive_torque,
    "gear_bending": _gear("bending_capacity"),
    "gear_contact": _gear("contact_capacity"),
    "pitch_line_speed": _pitch_line,
    "injector_duty": _fuel(lambda points: points["duty"]),
    "pump_load": _fuel(lambda points: 1.0 / (1.0 + points["pump_margin"])),
}
#: Shown of a drive with belts alone, or with gears alone.
_OF_BELTS, _OF_GEARS = ("belt_margin",), ("gear_bending", "gear_contact", "pitch_line_speed")


def margins_of(
    fitting: Fitting, request: PlanRequest, weather: str, solved: Solved, knock: Knock | None = None
) -> list[Margin]:
    """Return every margin of a fitting in one weather.

    Parameters
    ----------
    fitting : Fitting
        What is fitted.
    request : PlanRequest
        Limits and factors.
    weather : str
        Name of the weather.
    solved : Solved
        The pull there.
    knock : Knock, optional
        The room to knock there; not known without it.

    Returns
    -------
    list of Margin
        In the order of `limits.QUANTITIES`; those that the drive cannot have are left out.
    """
    belts = first_of(_core.PulleyPair, fitting.links) is not None
    gears = first_of(_core.GearPair, fitting.links) is not None
    margins = []
    for name in QUANTITIES:
        if (name in _OF_BELTS and not belts) or (name in _OF_GEARS and not gears):
            continue
        if name == "knock":
            pair = knock.band if knock is not None else None
        else:
            pair = _HOW[name](solved, fitting, request)
        one = _worst(name, request.limits.get(name), weather, solved, pair)
        if name == "knock" and knock is not None and one.known:
            one = replace(one, floor=bool(knock.bound[int(np.argmin(abs(solved.rpm - one.rpm)))]))
        margins.append(one)
    return margins


def _worst(
    name: str, limit: Limit | None, weather: str, solved: Solved, pair: _Pair | None
) -> Margin:
    """The engine speed where a quantity takes the most of its limit."""
    nan = float("nan")
    if pair is None or not np.isfinite(pair[1][solved.matched]).any():
        return Margin(name, weather, nan, nan, nan, limit, nan, known=False)
    value, half = pair
    most = QUANTITIES[name].bound == "most"
    worst = value + half if most else value - half
    load = limit.used(worst) if limit is not None else (worst if most else -worst)
    ranked = np.where(solved.matched, load, np.nan)
    if not (np.isfinite(ranked) | (ranked == np.inf)).any():
        return Margin(name, weather, nan, nan, nan, limit, nan, known=False)
    i = int(np.nanargmax(ranked))
    used = float(load[i]) if limit is not None else nan
    estimated = name == "knock" or (name == "surge_margin" and solved.surge_estimated)
    return Margin(name, weather, float(solved.rpm[i]), float(value[i]), float(half[i]), limit,
                  used, True, estimated)  # fmt: skip
