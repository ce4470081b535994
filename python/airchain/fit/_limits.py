"""How far a prediction reaches beyond what was measured, what it would hit, why it is wide."""

from __future__ import annotations

from typing import Any

import numpy as np

from ..base.speeds import RPM
from ..shown import statuses
from ..shown.glossary import word
from ..units.convert import formatted
from ._drift import Drift
from .parameters import applied
from .problem import answers
from .reconciliation import NINETY

_MEASURED = {
    "engine speed": ("engine_speed", "speed"),
    word("rotor_speed"): ("rotor_speed", "speed"),
    word("plenum_pressure"): ("plenum_pressure", "pressure"),
    "corrected flow": ("corrected_flow", "mass_flow"),
}
#: Widths of the whole 90 % band that one step ahead should keep to, where the pull was logged.
_WIDE_POWER, _WIDE_BOOST = 0.06, 13790.0
_NEEDED = ("plenum_pressure", "plenum_temperature", "air_flow")


def extrapolation(made: Any) -> str:
    """Return one sentence on how far a prediction lies beyond the measured pulls."""
    problem = made.reconciliation.problem
    beyond = []
    for words, (column, kind) in _MEASURED.items():
        highest = -np.inf
        for run in problem.runs:
            chain = applied(run.chain, problem.unknowns, made.reconciliation.values)
            values = answers(chain, run.speeds, [column])[column]
            if np.isfinite(values).any():
                highest = max(highest, float(np.nanmax(values)))
        there = np.asarray(made.pull.columns[column], dtype=float)
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


def width_words(made: Any) -> list[str]:
    """Return the width of the band at peak power and, where it is wide, the cause."""
    power, spread = made.expected("power")
    i = int(np.nanargmax(power))
    share = 2.0 * NINETY * float(spread[i] / power[i])
    boost = 2.0 * NINETY * float(made.spread["plenum_pressure"][i])
    said = [
        f"at peak power the band is {100 * share:.1f} % of power and "
        f"{formatted(boost, 'pressure_difference')} of boost wide, edge to edge"
    ]
    for name, wide in (("torque", share > _WIDE_POWER), ("plenum_pressure", boost > _WIDE_BOOST)):
        if wide:
            said.append(_cause(made, name, i))
    return said


def _cause(made: Any, name: str, i: int) -> str:
    parts = {key: float(v[i]) for key, v in made.parts[name].items()}
    drifts = made.reconciliation.problem.drifts
    moved = sorted((d for d in drifts if parts[d.part] > 0.0), key=lambda d: -parts[d.part])
    words = {
        "unknowns": "what the measured pulls leave open of the unknowns",
        "chain": "the chain's own error at the loads that were measured",
        "beyond": "loads other than those measured at that engine speed, where the chain's own "
        "error grows (" + ", ".join(_grown(d) for d in moved[:2]) + ")",
        "sensor": "the bias of the sensor, which is new with every pull",
    }
    parts["beyond"] = sum(parts.pop(d.part) for d in drifts)
    ranked = sorted(words, key=lambda k: -parts[k])
    # What gives half as much variance as the greatest cause is a cause too.
    causes = [k for k in ranked if parts[k] >= 0.5 * parts[ranked[0]]]
    lacking = [n.replace("_", " ") for n in _NEEDED if n not in made.reconciliation.channels]
    tail = f"; {', '.join(lacking)} not logged" if lacking and "unknowns" in causes else ""
    if "beyond" in causes and len(set(made.reconciliation.levels)) == 1:
        tail += "; a pull of one more level tells how it grows"
    told = ", and by ".join(words[k] for k in causes)
    return f"the band of {name.replace('_', ' ')} is wide, mostly by {told}{tail}"


def _grown(drift: Drift) -> str:
    return f"{drift.words}: {100.0 * drift.size:.1f} % for half as much again, one deviation"


def cautions(made: Any) -> list[str]:
    """Return cautions on speed limits, within the uncertainty of a prediction."""
    said = []
    flags = made.pull.columns["flags"]
    speed = made.pull.columns["rotor_speed"]
    if np.any(statuses.has(flags, "over_speed_limit", "over_tip_speed_limit")):
        first = made.rpm[int(np.argmax(statuses.has(flags, "over_speed_limit",
                                                   "over_tip_speed_limit")))]  # fmt: skip
        said.append(
            f"the impeller passes a speed limit from {first:.0f} rpm: a burst wheel can kill; "
            "do not run it there"
        )
    elif np.isfinite(speed).any():
        margin = float(np.nanmin(made.pull.columns["speed_margin"]))
        if np.isfinite(margin) and margin < 0.05:
            top = formatted(float(np.nanmax(speed)), "speed")
            said.append(f"the impeller comes within {100 * margin:.0f} % of its limit ({top})")
    engine = float(made.build.redline)
    if np.nanmax(made.rpm) * RPM > 1.0001 * engine:
        said.append("engine speeds above redline are predicted; they are not to be run")
    said.append(
        "knock, fuel supply and the strength of parts are not predicted: the margins of the "
        "parts' makers, local rules and licensed practice stand above this"
    )
    return said
