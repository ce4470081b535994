"""One cylinder with its cams, ports and pipes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, eq=False)
class Cylinder:
    """One cylinder as a build file makes it.

    Attributes
    ----------
    setup : CycleSetup
        What the crank-resolved cycle needs.
    intake, exhaust : LiftCurve
        Lift of the valves over crank angle from their peaks.
    scale : float
        Factor on the volumetric efficiency that the chain takes, dimensionless.
    intake_peak, exhaust_peak : float
        Crank angle of the peaks [rad] after the top centre of gas exchange; the exhaust's is
        negative.
    """

    setup: Any
    intake: Any
    exhaust: Any
    intake_peak: float
    exhaust_peak: float
    scale: float = 1.0
