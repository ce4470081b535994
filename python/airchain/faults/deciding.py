"""What would tell faults apart that the logged channels cannot: the sensor that gains most."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ..fit.problem import Before, Problem, channels
from ..fit.sensors import noise_size
from .evidence import Weighed
from .forms import InChain
from .scene import Scene

Array = NDArray[np.float64]
#: Logarithm of the odds that a sensor must bring on average to be called deciding.
_DECIDES = 3.0


def deciding_words(problem: Problem, scene: Scene, rivals: Mapping[str, Weighed]) -> str:
    """Return a sentence on the sensor that would tell rivals apart best; empty where none would."""
    if len(rivals) < 2:
        return ""
    gains = {}
    for name, sensor in scene.sensors.items():
        if name in scene.run.columns or not np.isfinite(scene.healthy[sensor.column]).any():
            continue
        gains[name] = _gain(problem, scene, name, list(rivals.values()))
    if not gains:
        return ""
    best = max(gains, key=lambda name: gains[name])
    if gains[best] < _DECIDES:
        return ""
    return f"Logging {scene.sensors[best].words} in the next pull would tell them apart."


def _gain(problem: Problem, scene: Scene, name: str, rivals: list[Weighed]) -> float:
    """Return the least gain over the pairs of the first with each other."""
    sensor = scene.sensors[name]
    values = scene.healthy[sensor.column]
    seen = replace(scene.run, columns={name: values}, noise={name: noise_size(sensor, values)})
    before = Before.of([seen], [scene.chain], [sensor.column], problem.drifts,
                       [u.name for u in problem.unknowns])  # fmt: skip
    logged = channels([seen], {name: sensor}, before)
    if not logged:
        return 0.0
    (channel,) = logged
    there, more = replace(scene, run=seen), replace(problem, runs=[seen], channels=logged)
    readings = []
    for one in rivals:
        beyond = np.zeros(values.size)
        if isinstance(one.form, InChain):
            sizes, rows = one.form.nodes(there)
            k = int(np.argmin(np.abs(sizes - one.size)))
            if sizes.size > 1 and name in rows and sizes[k] != 0.0:
                beyond = rows[name][k] * one.size / sizes[k]
        readings.append(more.whitened([beyond[channel.row]]))
    first, *others = readings
    return min(0.5 * float(np.sum((first - other) ** 2)) for other in others)
