"""What a rated flow tells of the guesses about the compressor's stage.

With h the logarithm of the stage's largest flow, moved by the guesses' widths z as h'z, and its
error s, the covariance P of the guesses shrinks to

    P - P h h' P / (h' P h + s^2)

(Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, eq. A.6). The map as a whole
is scaled to the rated flow, so the guesses themselves stay. Scaling every guess's map anew would
let a doubt about choke, which the rated flow has settled, move the whole map.
"""

from __future__ import annotations

import numpy as np

from .model import STEP, Model
from .today import Known

OF_STAGE = ("compressor_head", "compressor_flow", "compressor_efficiency")
#: Standard deviation of a rated flow: at which speed, and how far into choke, makers read
#: differently (common practice, no source).
_PLATE = 0.04


def of_stage(model: Model) -> list[int]:
    """Return the places of the guesses about the stage."""
    return [j for j, guess in enumerate(model.guesses.values()) if guess.part in OF_STAGE]


def brought_to_plate(model: Model, known: Known) -> Known:
    """Return what is known of the guesses with the rated flow; as it was without one."""
    if not model.facts.has("rated_flow"):
        return known
    slopes = np.zeros(len(model.names))
    for j in of_stage(model):
        ends = []
        for side in (STEP, -STEP):
            moved = known.z.copy()
            moved[j] += side
            ends.append(np.log(model.largest_flow(moved) * model.values(moved)["flow_scale"]))
        slopes[j] = (ends[0] - ends[1]) / (2.0 * STEP)
    moving = known.covariance @ slopes
    seen = float(slopes @ moving) + _PLATE**2
    return Known(known.z, known.covariance - np.outer(moving, moving) / seen)
