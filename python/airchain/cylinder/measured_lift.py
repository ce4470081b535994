"""One valve's motion as it was measured with a degree wheel and a dial gauge."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.text_file import read_text
from ..typed.place import Arguments, Typed
from ..typed.section import Section
from ..units.convert import NUMBER, to_si
from ._typed import told
from .keys import READINGS

__all__ = ["MeasuredLift"]


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
