"""What a knock limit is worth, in the one wording that every table and note uses."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from .. import _core

__all__ = [
    "BEST_TORQUE",
    "BOUND",
    "DOUBT",
    "DOUBT_TEXT",
    "IT_KNOCKS",
    "NO_PERMISSION",
    "doubt_words",
    "knocking_words",
    "margin_text",
]

#: Doubt of a knock limit in crank angle of half burned, either way [rad].
DOUBT = float(_core.KNOCK_DOUBT)
#: The same as a table prints it after a margin in degrees.
DOUBT_TEXT = f"± {np.degrees(DOUBT):.0f}"
#: What forbids to run a level.
IT_KNOCKS = "By the estimate it knocks. Do not run it."
#: What ends every note of what a margin is worth.
NO_PERMISSION = "No margin is a permission to run a spark."
#: Why no best torque is told earlier, and what moves it.
BEST_TORQUE = (
    "Best torque is not sought with half burned earlier than {best:.0f} degrees after top centre, "
    "because dynos show 8 to 10 (common practice, no source). The cycle alone would put it 1 to 5 "
    "degrees earlier: near peak pressure it loses less heat to the walls than engines seem to. "
    "Twice Woschni's coefficient moves it to 9."
)
#: What a sign before a margin says.
BOUND = "≥ means that no knock was found at the earliest spark tried: the margin is at least that."


def margin_text(margin: float, bound: bool) -> str:
    """Return a knock margin in degrees with its doubt, as every table and verdict has it.

    Parameters
    ----------
    margin : float
        The margin [rad].
    bound : bool
        Whether no knock was found at the earliest phasing tried, so that the margin is at least
        that.

    Returns
    -------
    str
        Such as ``"est. +7 ± 5"`` or ``"est. ≥22 ± 5"``; 'not known' where it is not.
    """
    if not np.isfinite(margin):
        return "not known"
    degrees = float(np.degrees(margin))
    return f"est. {f'≥{degrees:.0f}' if bound else f'{degrees:+.0f}'} {DOUBT_TEXT}"


def doubt_words(octane: float) -> str:
    """Return how far a knock limit may be off.

    Parameters
    ----------
    octane : float
        Research octane number, dimensionless.

    Returns
    -------
    str
        Such as ``"± 5 degrees of doubt at best"``, and more where the formula was not calibrated.
    """
    doubt = f"{DOUBT_TEXT} degrees of doubt at best"
    low, high = _core.KNOCK_OCTANE
    if low <= octane <= high:
        return doubt
    side = f"above octane {high:.0f}" if octane > high else f"below octane {low:.0f}"
    return f"{doubt}. The formula is not calibrated {side} (here {octane:g})"


def knocking_words(integral: ArrayLike) -> str:
    """Return how many points knock by the estimate, and how far.

    Parameters
    ----------
    integral : array_like
        Knock integrals, dimensionless; 1 is the onset.

    Returns
    -------
    str
        Such as ``"; 3 of 8 knock by the estimate (knock integral up to 1.40)"``, empty where none.
    """
    values = np.ravel(np.asarray(integral, dtype=float))
    count = int(np.count_nonzero(values > 1.0))
    if not count:
        return ""
    many = "it knocks" if values.size == 1 else f"{count:,} of {values.size:,} knock"
    most = f"{'' if values.size == 1 else 'up to '}{np.nanmax(values):.2f}"
    return f"; {many} by the estimate (knock integral {most})"
