"""The factor that brings the cycle of sketched cams to what the engine makes today."""

from __future__ import annotations

import numpy as np

from .model import Model
from .today import Known

#: Factors on the cycle's filling that a sketch takes, and steps to find one.
_SCALES, _ROUNDS = (0.7, 1.4), 4
#: Change of torque per change of filling without a blower, in logarithms: friction takes its share.
_TORQUE_PER_FILLING = 1.15


def scaled_to_today(model: Model, known: Known) -> float:
    """Return the factor on the cycle's filling that makes today's figures [dimensionless].

    At every speed that was told it is to make what the guesses make there, which were brought to
    those figures; of several speeds the mean error in logarithms is 0. It is 1 where nothing was
    told, and stops at its end where no factor reaches.
    """
    rpm = np.array([one.rpm for one in model.facts.today])
    if not rpm.size:
        return 1.0
    wanted = np.log(model.today(known.z, list(rpm)))
    scale = 1.0
    for _ in range(_ROUNDS):
        there = model.without_blower(model.with_cams(known.z, scale))
        torque = np.asarray(there.pull(rpm)["torque"])
        if not np.all(torque > 0.0):
            return scale
        step = float(np.mean(wanted - np.log(torque))) / _TORQUE_PER_FILLING
        scale = float(np.clip(scale * np.exp(step), *_SCALES))
    return scale
