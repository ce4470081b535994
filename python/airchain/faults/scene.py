"""The pull that is looked at, and what the chain without a fault says that it should read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..fit.problem import answers
from ..fit.runs import Run
from ..fit.sensors import BESIDE, SENSORS, Sensor

Array = NDArray[np.float64]
#: Columns that forms of faults need besides those of the sensors.
_FURTHER = ("air_flow", "compressor_flow", "exhaust_temperature", "plenum_temperature")

# A wideband is good to 1 %, and a closed loop holds its target to 1.5 % (common practice, no
# source).
FURTHER_SENSORS: dict[str, Sensor] = {
    **BESIDE,
    "lambda": Sensor("lambda", "lambda", 0.01, 0.0, 0.008, 0.0, 0.012, 0.0, 0.008,
                     lag=0.2, lag_width=0.1),
}  # fmt: skip


def with_further(sensors: Mapping[str, Sensor]) -> dict[str, Sensor]:
    """Return the sensors of a fit and those that only a diagnosis looks at."""
    return {**SENSORS, **FURTHER_SENSORS, **sensors}


@dataclass(frozen=True)
class Scene:
    """One pull, its chain without a fault, and what else a fault may depend on.

    `cylinders` are the numbers of them that the engine may have; `belted` tells whether a belt
    drives the compressor; `standards` hold by power standard what torque would read were it taken
    for another, over what it should [dimensionless].
    """

    run: Run
    chain: _core.Chain
    sensors: Mapping[str, Sensor]
    cylinders: tuple[int, ...]
    belted: bool
    standards: Mapping[str, float]

    @cached_property
    def healthy(self) -> dict[str, Array]:
        """Every column without a fault [SI] over the rows."""
        return self.solved(self.chain)

    def solved(self, chain: _core.Chain) -> dict[str, Array]:
        """Return the columns of a chain [SI] over the rows; NaN where it has no answer."""
        columns = [s.column for s in self.sensors.values()]
        return answers(chain, self.run.speeds, [*columns, *_FURTHER])

    @property
    def place(self) -> Array:
        """Where each row stands in the pull, from 0 at its slowest to 1 at its fastest."""
        rpm = self.run.rpm
        span = float(np.ptp(rpm))
        return (rpm - rpm.min()) / span if span > 0.0 else np.zeros(rpm.size)

    @property
    def ambient_pressure(self) -> float:
        """The barometer as it was taken [Pa]."""
        return float(self.chain.ambient.pressure)

    @property
    def boosted(self) -> bool:
        """Whether there is a compressor."""
        return self.chain.compressor is not None
