"""What a report is made of: the ladder, and whatever was measured, planned and sized beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import isfinite

from ..base.speeds import RPM
from ..calibration.calibration import Calibration
from ..chain.build import Build
from ..chain.ladders import Ladder, Step
from ..chain.station_table import StationTable
from ..chain.timed_pull import TimedPull
from ..faults.diagnosis import Diagnosis
from ..fit.comparison import Comparison
from ..fit.reconciliation import Reconciliation
from ..fuel.demand import FuelDemand
from ..fuel.fuels import FuelComparison
from ..measured.measured import MeasuredPull
from ..plan.plan import Plan
from ..plan.weather import WeatherBands
from ..track.page import TrackPage

Points = dict[str, StationTable]


@dataclass(frozen=True, eq=False)
class Material:
    """Everything a report may show; what is None or empty leaves its part out.

    Attributes
    ----------
    build : Build
        The build.
    steps : Ladder
        Its levels.
    system : str
        ``"trade"`` or ``"si"``.
    fit : Reconciliation or None
        The fit to measured pulls.
    comparisons : sequence of Comparison
        Predictions beside the pulls that were then run.
    weather : WeatherBands or None
        The levels on the coldest and the hottest day.
    plan : Plan or None
        Limits, margins and the order of work.
    fuel : FuelDemand or None
        The fuel system at every level.
    fuels : FuelComparison or None
        The highest level on several fuels.
    calibration : Calibration or None
        Fuel and spark for all levels.
    track : TrackPage or None
        What the tyres take of every level, where the file describes a vehicle.
    pulls : mapping
        Measured pulls by the names they are shown under.
    diagnoses : mapping
        What is wrong with pulls that do not agree, by the number of their comparison.
    """

    build: Build
    steps: Ladder
    system: str = "trade"
    fit: Reconciliation | None = None
    comparisons: Sequence[Comparison] = ()
    weather: WeatherBands | None = None
    plan: Plan | None = None
    fuel: FuelDemand | None = None
    fuels: FuelComparison | None = None
    calibration: Calibration | None = None
    track: TrackPage | None = None
    pulls: Mapping[str, MeasuredPull] = field(default_factory=dict)
    diagnoses: Mapping[int, Diagnosis] = field(default_factory=dict)

    @property
    def forced(self) -> list[Step]:
        """The levels that have a compressor."""
        return [step for step in self.steps.steps if step.supercharged]

    @cached_property
    def at_reference(self) -> Points:
        """Every level's stations at the reference engine speed, by its name."""
        rpm = self.steps.reference_rpm
        return {step.name: step.pull.stations(rpm) for step in self.steps.steps}

    @cached_property
    def at_peak(self) -> Points:
        """Stations at peak power, of the levels that have it at another engine speed."""
        peaks = {step.name: (step, step.pull.peak("power")[1]) for step in self.steps.steps}
        return {
            name: step.pull.stations(rpm)
            for name, (step, rpm) in peaks.items()
            if isfinite(rpm) and abs(rpm - self.steps.reference_rpm) > 0.5
        }

    @cached_property
    def timed(self) -> dict[str, TimedPull]:
        """A pull against time of every level that a tank cools."""
        rate = self.build.pull_rate / RPM
        cooled = [step for step in self.steps.steps if step.pull.build.ice_tank is not None]
        return {s.name: s.pull.build.timed_pull(s.pull.rpm, rpm_per_second=rate) for s in cooled}
