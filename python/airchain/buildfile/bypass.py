"""The bypass valve of a [bypass] table: what it passes, and whether it limits boost as well."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt

from .. import _core
from ..typed.section import Section
from ..units.convert import display, formatted
from .keys import BYPASS
from .source import Source
from .stations import section

__all__ = ["BypassValve", "bypass_valve"]

#: Of a poppet or plate valve fully open (common practice, no source).
_OF_A_VALVE = 0.8
#: A flow is rated with air of this temperature [K] into the standard atmosphere [Pa], unless told.
_RATED_AT, _RATED_INTO = 293.15, 101325.0
_GAS, _GAMMA = 287.05, 1.4
_COUNTS = ("one", "two", "three", "four", "five", "six", "seven", "eight")


@dataclass(frozen=True)
class BypassValve:
    """The valves that are fitted, all of them together.

    Attributes
    ----------
    words : str
        What they are called, such as ``"one 25 mm valve"``.
    several : bool
        Whether there is more than one.
    effective_area : float
        Of all of them fully open [m^2].
    discharge_coefficient : float
        Effective over geometric area [dimensionless]; 1 where only a flow is known.
    delay : float
        From the moment the throttle begins to shut until they begin to open [s].
    opening_time : float
        In which they open [s].
    """

    words: str
    several: bool
    effective_area: float
    discharge_coefficient: float
    delay: float
    opening_time: float

    @property
    def relief(self) -> _core.ReliefValve:
        """The valves as the throttle shuts."""
        return _core.ReliefValve(effective_area=self.effective_area, delay=self.delay,
                                 opening_time=self.opening_time)  # fmt: skip

    @property
    def area(self) -> float:
        """Geometric area of all of them [m^2]."""
        return self.effective_area / self.discharge_coefficient


def bypass(source: Source) -> _core.Bypass | None:
    """The valve that limits boost; none where it opens only as the throttle shuts."""
    valve = bypass_valve(source)
    typed = section(source, "bypass", BYPASS)
    if valve is None or not typed.has("opens_at"):
        return None
    return typed.make(_core.Bypass, effective_area=valve.effective_area,
                      **typed.fields(_core.Bypass))  # fmt: skip


def bypass_valve(source: Source) -> BypassValve | None:
    """Return the valves of a build's [bypass] table.

    Parameters
    ----------
    source : Source
        The document.

    Returns
    -------
    BypassValve or None
        None without the table.

    Raises
    ------
    InputError
        The table is refused.
    """
    typed = section(source, "bypass", BYPASS)
    if not typed.table:
        return None
    way = typed.one_of("area", "diameter", "flow", needed=True)
    typed.positive("area", "diameter", "lift", "flow", "at_pressure")
    if way != "diameter":
        typed.only_with("a diameter", "lift")
    if way != "flow":
        typed.only_with("a flow", "at_pressure", "at_temperature")
    else:
        typed.need("at_pressure")
        typed.only_with("an area or a diameter", "discharge_coefficient")
    count = int(typed.get("count", 1))
    one, words = _one(typed, way)
    usual = _OF_A_VALVE if way == "diameter" else 1.0
    share = typed.get("discharge_coefficient", usual)
    if not 0.0 < share <= 1.0:
        typed.refuse("discharge_coefficient", "be above 0 and at most 1")
    number = _COUNTS[count - 1] if count <= len(_COUNTS) else f"{count}"
    noun = words if count == 1 else f"{words}s"
    moves = typed.make(_core.ReliefValve, **typed.fields(_core.ReliefValve))
    return BypassValve(f"{number} {noun}", count > 1, count * one * share, share, moves.delay,
                       moves.opening_time)  # fmt: skip


def _one(typed: Section, way: str) -> tuple[float, str]:
    """Free area of one valve [m^2], effective of one whose flow is known, and its name."""
    if way == "diameter":
        across = typed.number("diameter")
        free = 0.25 * pi * across * across
        if typed.has("lift"):
            # The curtain under the lid, until it passes more than the seat does.
            free = min(free, pi * across * typed.number("lift"))
        return free, f"{1e3 * across:.3g} mm valve"
    if way == "flow":
        return _effective(typed), f"valve rated at {formatted(typed.number('flow'), 'mass_flow')}"
    value, unit = display(typed.number("area"), "area", "trade")
    return typed.number("area"), f"bypass of {float(value):.3g} {unit}"


def _effective(typed: Section) -> float:
    """Effective area of a valve whose flow was rated [m^2], for air as a perfect gas.

    A = W sqrt(R T)/(p psi), psi^2 = 2 g/(g - 1) (r^(2/g) - r^((g + 1)/g)), r = p_out/p, but not
    below (2/(g + 1))^(g/(g - 1))                                  [St Venant and Wantzel]
    """
    ahead = _RATED_INTO + typed.number("at_pressure")
    warm = typed.get("at_temperature", _RATED_AT)
    g = _GAMMA
    ratio = max(_RATED_INTO / ahead, (2.0 / (g + 1.0)) ** (g / (g - 1.0)))
    psi = sqrt(2.0 * g / (g - 1.0) * (ratio ** (2.0 / g) - ratio ** ((g + 1.0) / g)))
    return typed.number("flow") * sqrt(_GAS * warm) / (ahead * psi)
