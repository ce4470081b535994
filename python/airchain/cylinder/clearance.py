"""The free way of a valve to the piston, and what must be left of it."""

from __future__ import annotations

from math import cos, pi
from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..typed.section import Section
from ..units.convert import formatted
from .camshaft import Cam

#: Least piston-to-valve clearance unless typed (common practice, no source) [m].
LEAST_CLEARANCE = {"intake": 0.080 * 0.0254, "exhaust": 0.100 * 0.0254}


class Clearance(NamedTuple):
    """Free way of a seated valve to the piston, and what must be left of it when it opens."""

    gap: float
    least: float
    inclination: float

    def lift_limit(self, crank: _core.Crank, angle: ArrayLike) -> NDArray[np.float64]:
        """Return the highest lift [m] at crank angles [rad].

        The valve moves along its own axis; the piston leaves it by its travel times the cosine of
        the valve's inclination. Left out: stretch of the rod, valve float, bending of the train.
        """
        travel = (np.asarray(crank.volume(angle)) - crank.clearance_volume) / (
            0.25 * pi * crank.bore**2
        )
        limit: NDArray[np.float64] = self.gap - self.least + travel * cos(self.inclination)
        return limit


def clearance_of(port: Section, side: str) -> Clearance | None:
    """The clearance that a port's table gives; None where the piston's gap was not typed."""
    if not port.has("piston_gap"):
        port.only_with("a piston_gap", "least_clearance", "inclination")
        return None
    inclination = port.get("inclination", 0.0)
    if not 0.0 <= inclination <= 1.0:
        port.refuse("inclination", "be from 0 to 57 deg")
    least = port.get("least_clearance", LEAST_CLEARANCE[side])
    return Clearance(port.number("piston_gap"), least, inclination)


def checked_clearance(
    port: Section, cam: Cam, crank: _core.Crank, side: str, way: Clearance
) -> tuple[float, float]:
    """Least distance between a valve and the piston [m], and where it stands [rad after TC]."""
    angle = np.deg2rad(np.arange(-90.0, 90.25, 0.25)) + 2.0 * pi
    left = way.lift_limit(crank, angle) + way.least - cam.lift(side, angle)
    at = int(np.argmin(left))
    if not left[at] >= way.least:
        rule = f"leave at least {formatted(way.least, 'length')} between valve and piston"
        shown = formatted(float(left[at]), "length")
        hint = (
            f"{shown} are left at {np.rad2deg(angle[at]) - 360.0:+.0f} deg; take less lift or "
            "duration, another centreline, or deeper valve pockets"
        )
        port.refuse("piston_gap", rule, hint)
    return float(left[at]), float(angle[at] - 2.0 * pi)
