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
#: Below this margin [dimensionless] to its limit the impeller's speed is worth a word.
_NEAR_LIMIT = 0.05
#: Outputs and their channels, and the share from which one is said to rest on the build.
_OUTPUTS = {"power": "torque", "boost": "plenum_pressure", "air flow": "air_flow"}
_RESTING = 0.1
_NEEDED = ("plenum_pressure", "plenum_temperature", "air_flow")


def best_words(prediction: Prediction) -> str:
    """Return a sentence on best power and the boost there, each with its band."""
    power = prediction.get("power")
    i = int(np.nanargmax(power))
    best = f"best power {formatted(float(power[i]), 'power')} at {prediction.rpm[i]:,.0f} rpm"
    low, high = (formatted(float(edge[i]), "power") for edge in prediction.band("power"))
    told = [f"{best}, {low} to {high} in nine pulls of ten"]
    if "plenum_pressure" in prediction.middle:
        boost, edges = prediction.get("boost"), prediction.band("boost")
        at, less, more = (formatted(float(one[i]), "pressure_difference")
                          for one in (boost, *edges))  # fmt: skip
        told.append(f"with {at} of boost, {less} to {more}")
    return f"{', '.join(told)}."


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


def weather_words(prediction: Prediction) -> str:
    """Return a sentence on the weather that a prediction stands on."""
    air = prediction.build.chain.ambient
    said = (f"{formatted(float(air.pressure), 'barometer')}, "
            f"{formatted(float(air.temperature), 'temperature')} and "
            f"{100.0 * float(air.relative_humidity):.0f} % humidity")  # fmt: skip
    run = prediction.reconciliation.problem.runs[-1]
    whose = f", that of {run.name}" if run.chain.ambient == air else ""
    return f"The weather is {said}{whose}."


def cautions(prediction: Prediction) -> list[str]:
    """Return cautions on speed limits, within the uncertainty of a prediction."""
    sentences = _speed_cautions(prediction)
    if np.nanmax(prediction.rpm) * RPM > 1.0001 * prediction.build.redline:
        sentences.append("Engine speeds above redline are predicted. They are not to be run.")
    lacking = "Fuel supply and the strength of parts are"
    if not prediction.pull.knock.known:
        lacking = f"Knock, {lacking[0].lower()}{lacking[1:]}"
    sentences.append(
        f"{lacking} not predicted. The margins of the parts' makers, local rules and licensed "
        "practice stand above this."
    )
    return sentences


def over_limit(prediction: Prediction) -> list[str]:
    """Return a sentence where the impeller passes a speed limit."""
    flags = prediction.pull.columns["flags"]
    over = statuses.has(flags, "over_speed_limit", "over_tip_speed_limit")
    if not np.any(over):
        return []
    first = prediction.rpm[int(np.argmax(over))]
    return [f"The impeller passes a speed limit from {first:,.0f} rpm: do not run it there."]


def _speed_cautions(prediction: Prediction) -> list[str]:
    """Return a sentence on an impeller near its speed limit or over it."""
    columns = prediction.pull.columns
    if over_limit(prediction):
        return ["A wheel that bursts over its speed limit can kill."]
    speeds, margins = (np.asarray(columns[n], dtype=float) for n in ("rotor_speed", "speed_margin"))
    if not np.isfinite(margins[np.isfinite(speeds)]).any():
        return []
    i = int(np.nanargmin(np.where(np.isfinite(speeds), margins, np.nan)))
    if not margins[i] < _NEAR_LIMIT:
        return []
    limit = formatted(float(speeds[i] * (1.0 + margins[i])), "speed")
    return [
        f"The impeller reaches {formatted(float(speeds[i]), 'speed')}. Its limit is {limit}, only "
        f"{100.0 * margins[i]:.1f} % more."
    ]
