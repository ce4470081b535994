"""What a plan takes where nothing was typed: usual limits and usual teeth, each marked as such.

All are common practice without a source, but for the allowable stresses and the pitch-line speed,
which are named.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import pi

from .. import _core
from .limits import QUANTITIES, Limit

__all__ = ["FACE", "TEETH", "assumed_teeth", "usual_limits"]

_SOURCE = "usual, not typed: common practice"
_PSI, _FAHRENHEIT = 6894.757293168361, 5.0 / 9.0
#: Least or most that is usual, in SI.
_LIMITS: Mapping[str, float] = {
    "surge_margin": 0.08,
    "belt_margin": 0.10,
    "gear_bending": 1.2,
    "gear_contact": 1.0,
    "head_clamp": 1.2,
    "charge_temperature": (190.0 + 459.67) * _FAHRENHEIT,
    "injector_duty": 0.85,
    "pump_load": 1.0 / 1.15,
    "knock": 0.0,
}
#: Carburized and hardened steel of grade 1 carries 55,000 psi at the root and 180,000 psi at the
#: flank [AGMA 2001-D04, tables 3 and 4, from memory]. An engine that drives adds half to the mean
#: force, and gears of blowers are ground.
TEETH: Mapping[str, float] = {
    "allowable_bending": 55000.0 * _PSI,
    "allowable_contact": 180000.0 * _PSI,
    "torsional_factor": 1.5,
    "quality": 10.0,
}
#: Face width over the module: three circular pitches, the narrower end of three to five [Shigley's
#: Mechanical Engineering Design, ch. 14, from memory].
FACE = 3.0 * pi


def usual_limits(typed: Mapping[str, Limit], teeth: _core.GearTeeth | None) -> dict[str, Limit]:
    """Return the limits of a plan with the usual ones where none was typed.

    Parameters
    ----------
    typed : mapping
        The limits that are there, by name.
    teeth : GearTeeth or None
        Teeth whose quality was typed: it sets the pitch-line speed.

    Returns
    -------
    dict
        Limits by name, in the order they are shown; a usual one says so in its source.
    """
    limits = {n: Limit(n, v, _SOURCE, usual=True) for n, v in _LIMITS.items()}
    if teeth is not None:
        speed, fastest = "usual: AGMA 2001 for the quality typed", float(teeth.fastest_pitch_line)
        limits["pitch_line_speed"] = Limit("pitch_line_speed", fastest, speed, usual=True)
    limits |= typed
    return {name: limits[name] for name in QUANTITIES if name in limits}


def assumed_teeth(typed: Mapping[str, float], module: float) -> tuple[_core.GearTeeth, str]:
    """Return teeth with usual values where none was typed, and say which those are.

    Parameters
    ----------
    typed : mapping
        Fields of `GearTeeth` that were typed [SI].
    module : float
        Of the gears [m].

    Returns
    -------
    tuple
        The teeth, and the names of what was assumed; empty where nothing was.
    """
    usual = {**TEETH, "face_width": FACE * module}
    assumed = [name.replace("_", " ") for name in usual if name not in typed]
    return _core.GearTeeth(**{**usual, **typed}), ", ".join(assumed)
