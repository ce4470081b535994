"""What a fit can and cannot tell, in sentences."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from .checks import narrowing
from .fault_words import UNTOLD, fault_sentences, level_of
from .fitted_chain import FittedChain
from .questions import Answers, asked

#: Above this share of the prior's width an unknown was not learnt from the pulls.
_UNLEARNT = 0.8
_TOGETHER = 0.9
#: So many of the build's own uncertainties away a figure is hardly the one that was typed.
_FAR = 2.5


def fit_words(fit: FittedChain) -> list[str]:
    """Return sentences on mistaken levels, and unknowns at bounds, not learnt or of the prior."""
    sentences = [
        f"{run.name}: the rotor turned as the drive of level {run.other_level} turns it. Name the "
        "pull's own level before anything else here is believed, or look at the rotor speed sensor."
        for run in fit.problem.runs
        if run.other_level
    ]
    readings = sum(c.y.size for c in fit.problem.channels)
    free = fit.shrinkage[~fit.at_bound]
    if readings < 2 * len(fit.unknowns) or (free.size and np.median(free) > _UNLEARNT):
        sentences.append(
            f"{readings} readings stand against {len(fit.unknowns)} unknowns: the answer rests "
            "mostly on the build's own figures (the prior), not on the measurement."
        )
    for i, unknown in enumerate(fit.unknowns):
        words = unknown.words.capitalize()
        if fit.at_bound[i]:
            sentences += _bound_words(fit, i)
        elif fit.shrinkage[i] > _UNLEARNT:
            sentences.append(f"These pulls tell next to nothing of {unknown.words}. Its interval "
                             "is still about that of the build.")  # fmt: skip
        if abs(fit.z[i]) > _FAR:
            level = ", and for a pull of another drive level" if _may_be_another(fit) else ""
            sentences.append(f"{words} lies {abs(fit.z[i]):.1f} times the build's own uncertainty "
                             "away from the build's figure. Look for a wrong figure there "
                             f"first{level}.")  # fmt: skip
    asked = set(fit.parameters)
    confusable = {"belt_slip", "inlet_loss", "compressor_flow"} & asked
    if "rotor_speed" not in fit.channels and (len(confusable) > 1 or "belt_slip" in asked):
        sentences.append(UNTOLD)
    return sentences


def far_off(fit: FittedChain) -> list[str]:
    """Return the figures that lie far from the build's own, in words."""
    return [u.words for u, z in zip(fit.unknowns, fit.z, strict=True) if abs(z) > _FAR]


def _may_be_another(fit: FittedChain) -> bool:
    """Whether no rotor speed tells on which of several levels the pulls were run."""
    return len(fit.build.levels) > 1 and "rotor_speed" not in fit.channels


def _bound_words(fit: FittedChain, i: int) -> list[str]:
    unknown = fit.unknowns[i]
    sentences = [
        f"{unknown.words.capitalize()} stands at its bound {fit.values[i]:.3f}. Its "
        "interval reaches to one side only, and what pushes it there may lie elsewhere in the "
        "model."
    ]
    if unknown.name == "cooler_effectiveness" and fit.values[i] > unknown.mean:
        sentences.append(
            "At that bound the charge would leave the cooler as cold as its coolant, which no "
            "cooler does. Look at the coolant's temperature and at the lag of the charge "
            "thermocouple."
        )
    return sentences


def correlation_words(fit: FittedChain) -> list[str]:
    """Return a sentence for each pair that moves together."""
    sentences = []
    for i, a in enumerate(fit.unknowns):
        for j, b in enumerate(fit.unknowns[:i]):
            r = fit.correlations[i, j]
            if abs(r) > _TOGETHER:
                way = "less" if r < 0 else "more"
                sentences.append(f"These pulls cannot tell {a.words} from {b.words}: more of the "
                                 f"one fits as well with {way} of the other (correlation "
                                 f"{r:+.2f}).")  # fmt: skip
    return sentences


def judged(fit: FittedChain) -> dict[tuple[int, str], Answers]:
    """Return the three questions' answers of every pull's channels, by number and channel.

    What a fit leaves of a reading has the covariance of readings less what the unknowns took up:
    C - S H^-1 S'.
    """
    posterior = fit.covariance / np.outer(fit.problem.widths, fit.problem.widths)
    answers = {}
    parts = zip(fit.problem.channels, fit.computed, fit.slopes, strict=True)
    for channel, computed, slopes in parts:
        for k in np.unique(channel.run):
            rows = channel.run == k
            covariance = channel.covariance[np.ix_(rows, rows)]
            covariance = covariance - slopes[rows] @ posterior @ slopes[rows].T
            answers[int(k), channel.name] = asked(
                channel.name, channel.own.rpm[rows], channel.y[rows] - computed[rows], covariance,
                computed[rows],
            )  # fmt: skip
    return answers


def pull_words(fit: FittedChain, answers: Mapping[tuple[int, str], Answers]) -> list[str]:
    """Return a sentence for each pull that the fitted chain does not fit."""
    level = level_of(len(answers))
    sentences = []
    for k, run in enumerate(fit.problem.runs):
        faults = [
            sentence
            for (pull, name), one in answers.items()
            if pull == k and one.faults(level)
            for sentence in fault_sentences(name, one, level, "the fitted chain")
        ]
        if faults:
            sentences.append(f"{run.name} does not fit, within its errors. {' '.join(faults)} Do "
                             "not use this pull before the cause is found.")  # fmt: skip
    return sentences


def sensor_words(fit: FittedChain) -> list[str]:
    """Return what one more sensor would pin down, the best first."""
    gains = []
    for name, sensor in fit.problem.sensors.items():
        if name not in fit.channels:
            ratios = narrowing(fit, name)
            best = int(np.argmin(ratios))
            if ratios[best] < 0.95:
                gains.append((float(ratios[best]), sensor.words, fit.unknowns[best].words))
    return [
        f"A sensor of {words} would narrow the interval of {what} to {100 * ratio:.0f} % of its "
        "width now."
        for ratio, words, what in sorted(gains)[:3]
    ]
