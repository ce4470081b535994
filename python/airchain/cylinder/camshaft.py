"""The camshaft in trade terms or from measured lifts, and what its valves do about top centre."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from math import pi
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.text_file import read_text
from ..typed.place import Arguments, Typed
from ..typed.section import Section
from ..units.convert import NUMBER, to_si
from ._typed import fields_of, told
from .keys import CAMSHAFT, LOBE, READINGS

__all__ = ["Cam", "MeasuredLift"]


@dataclass(frozen=True, eq=False)
class MeasuredLift:
    """One valve's motion as measured with a degree wheel and a dial gauge.

    Parameters
    ----------
    angle : sequence
        Crank angles, rising, from any zero [rad, or texts with a unit].
    lift : sequence
        Lift at each angle, on the seat at both ends [m, or texts with a unit].
    at : str
        ``"valve"`` where the gauge stood on the valve, ``"tappet"`` where it stood on the tappet.
    rocker_ratio : float
        Valve lift over tappet lift, dimensionless; turns tappet into valve lift and finds the
        0.050 in tappet lift on a valve's curve.
    lash : str or float
        Clearance at the valve [m]; taken off a tappet's curve only.

    Raises
    ------
    InputError
        Rows that do not rise or match, fewer than 8 of them, or ends that are not on the seat.

    Notes
    -----
    A cubic spline goes through the points, so acceleration is continuous; noise in the readings is
    not smoothed away.
    """

    angle: Sequence[Typed] | NDArray[np.float64]
    lift: Sequence[Typed] | NDArray[np.float64]
    at: str = "valve"
    rocker_ratio: float = 1.6
    lash: Any = 0.0

    def __post_init__(self) -> None:
        place = Arguments("MeasuredLift")
        given = {one.name: getattr(self, one.name) for one in fields(self)}
        rows = place.whole(lambda: _readings(Section(place, (), READINGS, given)))
        for name, value in rows.items():
            object.__setattr__(self, name, value)
        self.curve()

    @classmethod
    def read(cls, path: str | os.PathLike[str], **more: float | str) -> MeasuredLift:
        """Read a file of two columns, crank angle and lift.

        Parameters
        ----------
        path : str or path
            Comma-separated text whose heading names both units, such as
            ``angle [deg], lift [in]``; lines that begin with ``#`` are notes.
        **more
            `at`, `rocker_ratio` and `lash` of the class, texts with units or numbers
            [m, dimensionless, m].

        Returns
        -------
        MeasuredLift
            The motion.

        Raises
        ------
        InputError
            The file cannot be read, or a line is refused by its number.
        """
        name = os.path.basename(os.fspath(path))
        angles, lifts = _columns_of(name, read_text(path, "a lift file in CSV"))
        read: MeasuredLift = told(name, cls, angles, lifts, **more)
        return read

    def curve(self) -> _core.LiftCurve:
        """Return the valve's lift about the middle between its equal lifts at 0.050 in.

        Returns
        -------
        LiftCurve
            Valve lift over crank angle; its zero is what the trade calls the centreline.
        """
        angle, lift = np.array(self.angle), np.array(self.lift)
        if self.at == "tappet":
            moved = np.maximum(self.rocker_ratio * lift - self.lash, 0.0)
            lift = np.where(lift >= 0.0, moved, lift)  # a negative reading stays to be refused
        raised = np.flatnonzero(lift > 0.0)
        first, last = (max(raised[0] - 1, 0), raised[-1] + 2) if raised.size else (0, len(lift))
        source = told("MeasuredLift", _core.LiftCurve, (angle[first:last], lift[first:last]))
        middle = 0.5 * sum(told("MeasuredLift", source.span_at, self.valve_lift_at_050))
        return _core.LiftCurve((angle[first:last] - middle, lift[first:last]))

    @property
    def valve_lift_at_050(self) -> float:
        """Valve lift where the tappet has risen 0.050 in [m]."""
        return self._valve_lift(_core.CHECKING_LIFT)

    def _valve_lift(self, tappet: float) -> float:
        return max(float(self.rocker_ratio) * tappet - float(self.lash), 1e-6)

    def spans(self) -> dict[str, tuple[float, float]]:
        """Return opening and closing crank angle from the centreline.

        Returns
        -------
        dict
            ``"0.050"`` and ``"seat"`` (0.006 in of tappet lift, or where lash takes more than
            that, the valve off its seat), each a pair [rad].
        """
        curve = self.curve()
        return {
            "0.050": curve.span_at(self.valve_lift_at_050),
            "seat": curve.span_at(self._valve_lift(_core.SEAT_LIFT)),
        }


def _readings(typed: Section) -> dict[str, float | tuple[float, ...]]:
    """What a gauge told, SI."""
    angle, lift = typed.numbers("angle"), typed.numbers("lift")
    if len(angle) != len(lift):
        rule = f"have {len(angle)}, one an angle"
        raise refusal(typed.where("lift"), "lift", f"{len(lift)} values", rule)
    typed.in_range(_core.Lobe, "rocker_ratio", "lash")
    if typed.text("at") == "valve" and typed.number("lash") != 0.0:
        typed.refuse("lash", 'be left out where at = "valve"', "the gauge has taken it up")
    gauge = {name: typed.number(name) for name in ("rocker_ratio", "lash")}
    return {"angle": tuple(angle), "lift": tuple(lift), **gauge}


def _columns_of(name: str, text: str) -> tuple[list[float], list[float]]:
    """Angles and lifts of a lift file, SI; refused by line."""
    rows = [(n, line) for n, line in enumerate(text.split("\n"), 1) if line.strip(" ,\t")]
    rows = [(n, line) for n, line in rows if not line.lstrip().startswith("#")]
    heading = re.fullmatch(
        r"\s*angle\s*\[(.*)\]\s*,\s*lift\s*\[(.*)\]\s*", rows[0][1] if rows else ""
    )
    if heading is None:
        rule = 'be two columns with their units, such as "angle [deg], lift [in]"'
        raise refusal(name, "heading", quoted(rows[0][1] if rows else ""), rule)
    columns: tuple[list[float], list[float]] = [], []
    for n, line in rows[1:]:
        cells = [cell.strip() for cell in line.split(",")]
        if len(cells) != 2 or not all(NUMBER.fullmatch(cell) for cell in cells):
            raise refusal(f"{name}:{n}", "row", quoted(line), "be two numbers")
        for cell, kind, unit, into in zip(
            cells, ("angle", "length"), heading.groups(), columns, strict=True
        ):
            into.append(to_si(float(cell), kind, where=f"{name}:{n}", field=kind, unit=unit))
    return columns


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
        return lobe, typed.make(_core.LiftCurve, lobe)
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
