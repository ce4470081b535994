"""The [lift_off] table: how the throttle shuts, and what stands between compressor and engine."""

from __future__ import annotations

from collections.abc import Mapping
from math import pi
from typing import NamedTuple

from .. import _core
from ..cylinder.keys import PLENUM
from .keys import ENGINE, LIFT_OFF
from .source import Source
from .stations import section

__all__ = ["FLOW_OVER_SURGE", "LiftOffSetting", "lift_off_setting"]

#: Flow wanted over that at the surge line once throttle and bypass stand (common practice, no
#: source) [dimensionless].
FLOW_OVER_SURGE = 1.1
#: What lies between compressor and throttle of an engine bay with a cooler in front: 10 litres,
#: 1.2 m of pipe of 75 mm (common practice, no source).
_USUAL: Mapping[str, float] = {
    "volume": 0.010,
    "length": 1.2,
    "flow_area": 0.25 * pi * 0.075 * 0.075,
}


class LiftOffSetting(NamedTuple):
    """How the throttle shuts.

    Attributes
    ----------
    how : LiftOff
        What the core is given.
    assumed : tuple of str
        What nobody typed, so that usual values stand for it.
    """

    how: _core.LiftOff
    assumed: tuple[str, ...]


def lift_off_setting(source: Source, displacement: float) -> LiftOffSetting:
    """Return how the throttle shuts, with usual values where nothing was typed.

    Parameters
    ----------
    source : Source
        The document.
    displacement : float
        Of the engine [m^3]; a plenum whose volume nobody typed holds as much.

    Returns
    -------
    LiftOffSetting
        The numbers, and which of them were assumed.

    Raises
    ------
    InputError
        The table is refused.
    """
    typed = section(source, "lift_off", LIFT_OFF)
    typed.positive("diameter")
    values = typed.fields(_core.LiftOff)
    if typed.one_of("flow_area", "diameter") == "diameter":
        typed.made_of["flow_area"] = "diameter"
        values["flow_area"] = 0.25 * pi * typed.number("diameter") ** 2
    usual = {**_USUAL, "plenum_volume": displacement}
    plenum = _plenum_volume(source)
    if plenum is not None:
        values["plenum_volume"] = plenum
    assumed = tuple(name.replace("_", " ") for name in usual if name not in values)
    return LiftOffSetting(typed.make(_core.LiftOff, **{**usual, **values}), assumed)


def _plenum_volume(source: Source) -> float | None:
    """Volume of [engine.plenum] [m^3]; None where nobody typed it."""
    engine = section(source, "engine", ENGINE)
    if not engine.has("plenum"):
        return None
    plenum = engine.sub("plenum", PLENUM)
    return plenum.number("volume") if plenum.has("volume") else None
