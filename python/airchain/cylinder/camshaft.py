"""The camshaft in trade terms or from measured lifts, and what its valves do about top centre."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from math import pi
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base.errors import InputError, quoted, refusal, told_as
from ..typed.place import Arguments, Typed
from ..typed.section import Section
from ._typed import fields_of
from .keys import CAMSHAFT, LOBE
from .measured_lift import MeasuredLift

__all__ = ["Cam"]

#: What the core calls the ratio that no smooth lobe may leave.
_RATIO = "duration over seat_duration"


@dataclass(frozen=True, eq=False)
class Cam:
    """A camshaft: intake and exhaust lobe, and how they stand on the crank.

    Parameters
    ----------
    intake, exhaust : mapping or MeasuredLift
        A lobe in trade terms: ``duration`` at 0.050 in and ``seat_duration`` at ``seat_lift``
        (crank angle), ``lobe_lift``, ``rocker_ratio``, ``lash``; or its measured motion.
    lobe_separation : str or float
        Cam angle between the lobes' peaks [rad].
    intake_centreline : str or float
        Crank angle of the intake lobe's peak after top centre, as installed [rad].

    Raises
    ------
    InputError
        A number out of range, durations no smooth lobe has, or valves open at ignition.

    Examples
    --------
    >>> lobe = {"duration": "236 deg", "seat_duration": "288 deg", "lobe_lift": "0.36 in"}
    >>> round(Cam(lobe, lobe, "112 deg", "108 deg").spans("intake")["0.050"][1] * 180 / pi, 6)
    118.0
    """

    intake: Any
    exhaust: Any
    lobe_separation: Any
    intake_centreline: Any
    _curves: Mapping[str, _core.LiftCurve] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        given = self._given()
        place = Arguments("Cam")
        shaft = place.whole(lambda: _read(Section(place, (), CAMSHAFT, given)))
        for name, value in shaft._asdict().items():
            object.__setattr__(self, f"_{name}" if name == "curves" else name, value)

    def replace(self, **changes: Typed | MeasuredLift | _core.Lobe) -> Cam:
        """Return the camshaft with some of it changed.

        Parameters
        ----------
        **changes
            Arguments of the class; a mapping for `intake` or `exhaust` changes only what it names.

        Returns
        -------
        Cam
            The new camshaft.

        Raises
        ------
        InputError
            An argument that is none, or a value that is refused.
        """
        values = self._given()
        for name, change in changes.items():
            if name not in values:
                raise refusal("cam", name, quoted(change), f"be one of {', '.join(values)}")
            if isinstance(change, Mapping) and isinstance(values[name], _core.Lobe):
                lobe = {n: getattr(values[name], n) for n in fields_of(_core.Lobe)}
                change = lobe | dict(change)
            values[name] = change
        return Cam(**values)

    def _given(self) -> dict[str, Any]:
        return {one.name: getattr(self, one.name) for one in fields(self) if one.init}

    @property
    def exhaust_centreline(self) -> float:
        """Crank angle of the exhaust lobe's peak before top centre [rad]."""
        return float(2.0 * self.lobe_separation - self.intake_centreline)

    def peak(self, valve: str) -> float:
        """Return where a lobe's peak stands.

        Parameters
        ----------
        valve : str
            ``"intake"`` or ``"exhaust"``.

        Returns
        -------
        float
            Crank angle after firing top centre [rad]; gas exchange is at one turn.
        """
        intake = valve == "intake"
        return 2.0 * pi + float(self.intake_centreline if intake else -self.exhaust_centreline)

    def curve(self, valve: str) -> _core.LiftCurve:
        """Return the lift of a valve about its lobe's peak.

        Parameters
        ----------
        valve : str
            ``"intake"`` or ``"exhaust"``.

        Returns
        -------
        LiftCurve
            Lift over crank angle.
        """
        return self._curves[valve]

    def lift(self, valve: str, angle: ArrayLike) -> float | NDArray[np.float64]:
        """Return the lift of a valve.

        Parameters
        ----------
        valve : str
            ``"intake"`` or ``"exhaust"``.
        angle : array_like
            Crank angles after firing top centre [rad].

        Returns
        -------
        ndarray
            Valve lift of the same shape [m].
        """
        return self.curve(valve).at(np.asarray(angle, dtype=float) - self.peak(valve))

    def spans(self, valve: str) -> dict[str, tuple[float, float]]:
        """Return opening and closing crank angle from the lobe's peak.

        Parameters
        ----------
        valve : str
            ``"intake"`` or ``"exhaust"``.

        Returns
        -------
        dict
            ``"0.050"`` tappet lift and ``"seat"`` lift, each a pair [rad].
        """
        lobe = getattr(self, valve)
        if isinstance(lobe, MeasuredLift):
            return lobe.spans()
        return {
            "0.050": (-0.5 * lobe.duration, 0.5 * lobe.duration),
            "seat": (-0.5 * lobe.seat_duration, 0.5 * lobe.seat_duration),
        }


def cam_of(typed: Section) -> Cam:
    """Return the camshaft of its table.

    Parameters
    ----------
    typed : Section
        The table; its keys are those of `keys.CAMSHAFT`.

    Returns
    -------
    Cam
        The camshaft.

    Raises
    ------
    InputError, NotedError
        What `Cam` refuses, told at the table's place.
    """
    shaft = _read(typed)
    return Cam(shaft.intake, shaft.exhaust, shaft.lobe_separation, shaft.intake_centreline)


class _Shaft(NamedTuple):
    """A camshaft in the core's terms: lobes or measured motions, angles [rad], lift curves."""

    intake: _core.Lobe | MeasuredLift
    exhaust: _core.Lobe | MeasuredLift
    lobe_separation: float
    intake_centreline: float
    curves: Mapping[str, _core.LiftCurve]


def _read(typed: Section) -> _Shaft:
    typed.need("lobe_separation", "intake_centreline", "intake", "exhaust")
    typed.in_range(_core.Camshaft, "lobe_separation", "intake_centreline")
    sides = ("intake", "exhaust")
    pairs = typed.source.every(lambda side: _lobe(typed, side), [(side,) for side in sides])
    (intake, _), (exhaust, _) = pairs
    angles = typed.fields(_core.Camshaft)
    if isinstance(intake, _core.Lobe) and isinstance(exhaust, _core.Lobe):
        # The core refuses events that cross, and a shaft out of range.
        typed.make(_core.Camshaft, intake=intake, exhaust=exhaust, **angles)
    curves = {side: curve for side, (_, curve) in zip(sides, pairs, strict=True)}
    return _Shaft(intake, exhaust, typed.number("lobe_separation"),
                  typed.number("intake_centreline"), curves)  # fmt: skip


def _lift_of(lobe: _core.Lobe) -> _core.LiftCurve:
    """The valve's lift; where no smooth lobe has both durations, both are named."""
    try:
        return _core.LiftCurve(lobe)
    except InputError as error:
        hint = (
            "durations and lift must go together: change seat_duration with duration, or give a "
            "lift_file"
        )
        raise told_as(
            error, lambda one: one.replace(hint=hint) if one.field == _RATIO else one
        ) from None


def _lobe(camshaft: Section, side: str) -> tuple[_core.Lobe | MeasuredLift, _core.LiftCurve]:
    """A lobe as it was typed, measured, read from a file or made, and its valve's lift."""
    given = camshaft.table[side]
    if isinstance(given, MeasuredLift):
        return given, given.curve()
    if isinstance(given, _core.Lobe):
        return given, camshaft.make(_core.LiftCurve, given)
    typed = camshaft.sub(side, LOBE)
    if typed.one_of("lift_file", "duration", needed=True) == "duration":
        typed.only_with("a lift_file", "at")
        typed.need("duration", "seat_duration", "lobe_lift")
        lobe = typed.make(_core.Lobe, **typed.fields(_core.Lobe))
        typed.made_of[_RATIO] = "duration"
        return lobe, typed.make(_lift_of, lobe)
    measured = ("lift_file", "at", "rocker_ratio", "lash")
    others = [key for key in LOBE if key not in measured]
    typed.only_with("a duration; a measured lift has everything in it", *others)
    gauge: dict[str, float | str] = {
        key: typed.number(key) for key in ("rocker_ratio", "lash") if typed.has(key)
    }
    if typed.has("at"):
        gauge["at"] = typed.text("at")
    file = typed.source.folder / typed.text("lift_file")
    motion = typed.make(MeasuredLift.read, file, **gauge)
    return motion, motion.curve()
