"""How far a prediction reaches beyond what was measured, what it would hit, why it is wide."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.speeds import RPM
from ..shown import statuses
from ..shown.glossary import word
from ..shown.words import listed
from ..units.convert import formatted
from .fitted_chain import NINETY
from .load_drift import Drift
from .parameters import applied
from .problem import answers

if TYPE_CHECKING:
    from .prediction import Prediction

_MEASURED = {
    "engine speed": ("engine_speed", "speed"),
    word("rotor_speed"): ("rotor_speed", "speed"),
    word("plenum_pressure"): ("plenum_pressure", "pressure"),
    "corrected flow": ("corrected_flow", "mass_flow"),
}
#: Widths of the whole 90 % band that one step ahead should keep to, where the pull was logged.
_WIDE_POWER, _WIDE_BOOST = 0.08, 13790.0
_MOST_SPEEDS = 6
#: Outputs and their channels, and the share from which one is said to rest on the build.
_OUTPUTS = {"power": "torque", "boost": "plenum_pressure", "air flow": "air_flow"}
_RESTING = 0.1
_NEEDED = ("plenum_pressure", "plenum_temperature", "air_flow")


def extrapolation(prediction: Prediction) -> str:
    """Return one sentence on how far a prediction lies beyond the measured pulls."""
    fit = prediction.reconciliation
    beyond = []
    for words, (column, kind) in _MEASURED.items():
        highest = -np.inf
        for run in fit.problem.runs:
            chain = applied(run.chain, fit.unknowns, fit.values)
            values = answers(chain, run.speeds, [column])[column]
            if np.isfinite(values).any():
                highest = max(highest, float(np.nanmax(values)))
        there = np.asarray(prediction.pull.columns[column], dtype=float)
        if not np.isfinite(there).any() or not np.isfinite(highest):
            continue
        top = float(np.nanmax(there))
        if top > 1.005 * highest:
            share = 100.0 * (top / highest - 1.0)
            beyond.append(f"{words} by {share:.0f} % (to {formatted(top, kind)}, measured up to "
                          f"{formatted(highest, kind)})")  # fmt: skip
    if not beyond:
        return "This stays within the speeds, pressures and flows of the measured pulls."
    return f"This reaches beyond the measured pulls in {', '.join(beyond)}."


def unanswered(rpm: NDArray[np.float64], status: Sequence[str]) -> list[str]:
    """Return a sentence for each reason why speeds have no answer, which names the speeds."""
    sentences = []
    for reason in dict.fromkeys(one for one in status if one != "matched"):
        speeds = [n for n, one in zip(rpm, status, strict=True) if one == reason]
        listed_speeds = ", ".join(f"{n:,.0f}" for n in speeds[:_MOST_SPEEDS])
        more = f" and {len(speeds) - _MOST_SPEEDS} more speeds" * (len(speeds) > _MOST_SPEEDS)
        sentences.append(
            f"Nothing is predicted at {listed_speeds} rpm{more}: the chain "
            f"has no answer there ({statuses.words(reason)})."
        )
    return sentences


def width_words(prediction: Prediction) -> list[str]:
    """Return the width of the band at peak power and, where it is wide, the cause."""
    power, spread = prediction.expected("power")
    i = int(np.nanargmax(power))
    share = 2.0 * NINETY * float(spread[i] / power[i])
    boost = 2.0 * NINETY * float(prediction.spread["plenum_pressure"][i])
    sentences = [
        f"At peak power the band is {100 * share:.1f} % of power and "
        f"{formatted(boost, 'pressure_difference')} of boost wide, from edge to edge."
    ]
    for name, wide in (("torque", share > _WIDE_POWER), ("plenum_pressure", boost > _WIDE_BOOST)):
        if wide:
            sentences += _causes(prediction, name, i)
    return sentences


def prior_words(prediction: Prediction) -> list[str]:
    """Return a sentence on the outputs that rest on the build's own figures, and how much.

    That is the share of the variance from the unknowns that the fit has left.
    """
    i = int(np.nanargmax(prediction.get("power")))
    shares = {}
    for name, channel in _OUTPUTS.items():
        if channel in prediction.before and prediction.before[channel][i] > 0.0:
            left = prediction.parts[channel]["unknowns"][i] / prediction.before[channel][i]
            shares[name] = min(float(left), 1.0)
    resting = [f"{name} to {100.0 * s:.0f} %" for name, s in shares.items() if s > _RESTING]
    if not resting:
        return []
    return [
        "At peak power some answers rest on the build's own figures rather than on what was "
        f"measured: {', '.join(resting)}."
    ]


def _causes(prediction: Prediction, name: str, i: int) -> list[str]:
    """Return what makes a band wide, and what would narrow it."""
    fit = prediction.reconciliation
    variances = {cause: float(v[i]) for cause, v in prediction.parts[name].items()}
    drifts = fit.problem.drifts
    grown = sorted((d for d in drifts if variances[d.part] > 0.0), key=lambda d: -variances[d.part])
    words = {
        "unknowns": "the measured pulls leave the unknowns open",
        "chain": "the chain itself errs at the loads that were measured",
        "beyond": "nobody has measured this load yet, and the chain's own error grows with load",
        "sensor": "a sensor is off by a new amount in every pull",
    }
    variances["beyond"] = sum(variances.pop(d.part) for d in drifts)
    ranked = sorted(words, key=lambda cause: -variances[cause])
    # What gives half as much variance as the greatest cause is a cause too.
    causes = [k for k in ranked if variances[k] >= 0.5 * variances[ranked[0]]]
    band = "torque" if name == "torque" else "boost"
    sentences: list[str] = []
    for cause in causes:
        head = "It is wide as well" if sentences else f"The {band} band is wide"
        sentences.append(f"{head} because {words[cause]}.")
        if cause == "beyond":
            sentences.append(f"Most of that growth is in {listed([_grown(d) for d in grown[:2]])}.")
            if len(set(fit.levels)) == 1:
                sentences.append("A pull of one more level would narrow it.")
    lacking = [n.replace("_", " ") for n in _NEEDED if n not in fit.channels]
    if lacking and "unknowns" in causes:
        sentences.append(f"Nobody logged {', '.join(lacking)}; logging it would narrow the band.")
    return sentences


def _grown(drift: Drift) -> str:
    return f"{drift.words} ({100.0 * drift.size:.1f} % for half as much load again)"


def cautions(prediction: Prediction) -> list[str]:
    """Return cautions on speed limits, within the uncertainty of a prediction."""
    sentences = []
    flags = prediction.pull.columns["flags"]
    speed = prediction.pull.columns["rotor_speed"]
    over = statuses.has(flags, "over_speed_limit", "over_tip_speed_limit")
    if np.any(over):
        first = prediction.rpm[int(np.argmax(over))]
        sentences.append(
            f"The impeller passes a speed limit from {first:.0f} rpm. A burst wheel can kill: "
            "do not run it there."
        )
    elif np.isfinite(speed).any():
        margin = float(np.nanmin(prediction.pull.columns["speed_margin"]))
        if np.isfinite(margin) and margin < 0.05:
            top = formatted(float(np.nanmax(speed)), "speed")
            sentences.append(
                f"The impeller comes within {100 * margin:.0f} % of its limit, at {top}."
            )
    if np.nanmax(prediction.rpm) * RPM > 1.0001 * prediction.build.redline:
        sentences.append("Engine speeds above redline are predicted. They are not to be run.")
    sentences.append(
        "Knock, fuel supply and the strength of parts are not predicted. The margins of the "
        "parts' makers, local rules and licensed practice stand above this."
    )
    return sentences
