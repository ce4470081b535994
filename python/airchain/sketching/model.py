"""A sketch as a function of its guesses, in widths of each: the chain at today's and all levels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.changes import Weather
from ..chain.solving import default_speeds
from ..measured.correct import reference_weather
from .drafting import draft_of, drafted, exact
from .driving import Pair
from .facts import Facts
from .guess import Guess
from .lines import Writer

Array = NDArray[np.float64]
#: What of every level is looked at.
COLUMNS = ("power", "torque", "boost", "charge_temperature", "air_flow", "plenum_density",
           "pressure_ratio")  # fmt: skip
#: Factors on a map's flow that the core takes.
FLOW_SCALES = (0.5, 2.0)
#: Widths that a guess is moved by for its slope, and that it may be fitted away by.
STEP, MOST = 1.0, 3.0


@dataclass(frozen=True)
class Model:
    """The chain of some facts over widths z of its guesses: value = guess + z doubt.

    Attributes
    ----------
    facts : Facts
        What was told.
    guesses : mapping
        The guesses by name, in the order of z.
    """

    facts: Facts
    guesses: Mapping[str, Guess]

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Names of the guesses, in the order of z."""
        return tuple(self.guesses)

    @cached_property
    def rpm(self) -> Array:
        """Engine speeds [rpm] that levels are compared at."""
        return default_speeds(self.build(np.zeros(len(self.names)), {}))

    def values(self, z: Array) -> dict[str, float]:
        """Return the guesses [SI] at these widths."""
        rows = zip(self.guesses.values(), z, strict=True)
        return {guess.name: guess.value + float(x) * guess.doubt for guess, x in rows}

    def build(self, z: Array, pairs: Mapping[str, Pair], writer: Writer | None = None) -> Build:
        """Return the build at these widths."""
        writer = writer or exact(self.facts)
        return draft_of(drafted(self.facts, self.rated(z), pairs, writer))

    def with_cams(self, z: Array, scale: float, writer: Writer | None = None) -> Build:
        """Return the build with cams; `scale` is the factor on its cycle's filling."""
        writer = writer or exact(self.facts)
        return draft_of(drafted(self.facts, self.rated(z), {}, writer, scale=scale))

    def without_blower(self, build: Build) -> Build:
        """Return a build naturally aspirated, in the weather that today's figures stand for."""
        plain = build.naturally_aspirated()
        if self.facts.standard == "as_measured":
            return plain
        return plain.changed(Weather.of(reference_weather(self.facts.standard)))

    def rated(self, z: Array) -> dict[str, float]:
        """Return the guesses, the map's flow by as much larger as the name plate's is."""
        values = self.values(z)
        if not self.facts.has("rated_flow"):
            return values
        low, high = FLOW_SCALES
        return {**values, "flow_scale": min(max(self.plate * values["flow_scale"], low), high)}

    @cached_property
    def plate(self) -> float:
        """Rated flow over the largest of the stage as it is guessed [dimensionless]."""
        return self.facts["rated_flow"] / self.largest_flow(np.zeros(len(self.names)))

    def largest_flow(self, z: Array) -> float:
        """Return the largest flow of the stage that the dimensions make, not the name plate [kg/s].

        It is that at the speed that the stage is designed for.
        """
        unit = {**self.values(z), "flow_scale": 1.0}
        predicted = draft_of(drafted(self.facts, unit, {}, exact(self.facts)))
        performance = predicted.chain.compressor.map
        return float(performance.right_flow(performance.design_speed))

    def today(self, z: Array, rpm: Sequence[float]) -> Array:
        """Return today's torque [N m] at engine speeds [rpm], naturally aspirated."""
        plain = drafted(self.facts, self.rated(z), {}, exact(self.facts), blower=False)
        build = self.without_blower(draft_of(plain))
        axes = {"engine_speed": np.asarray(rpm) * RPM}
        torque: Array = _core.solve(build.chain, axes, ["torque"])["torque"]
        return torque

    def levels(self, z: Array, pairs: Mapping[str, Pair]) -> dict[str, Array]:
        """Return columns [SI] of every level (rows) over `rpm`."""
        return self.solved(self.build(z, pairs), [pair.ratio for pair in pairs.values()])

    def solved(self, build: Build, ratios: Sequence[float]) -> dict[str, Array]:
        """Return columns [SI] at drive ratios (rows) over `rpm`."""
        speeds = self.rpm * RPM
        if not self.facts.supercharged:
            plain = _core.solve(build.chain, {"engine_speed": speeds}, list(COLUMNS))
            return {name: values[None, :] for name, values in plain.items()}
        axes = {"drive.drive_ratio": np.array(ratios), "engine_speed": speeds}
        columns: dict[str, Array] = _core.solve(build.chain, axes, list(COLUMNS))
        return columns
