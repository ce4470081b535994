"""The tables of a plan."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

import numpy as np

from ..cylinder.knock_words import BOUND
from ..shown.columns import label, shown
from ..shown.tables import Table
from .knock import Knock
from .margins import Margin
from .request import PlanRequest, Target
from .trial import Trial

if TYPE_CHECKING:
    from .plan import Plan, PlannedLevel

_PEAKS = ("power", "torque", "boost")


def levels_table(plan: Plan, system: str) -> Table:
    """Return what is fitted at each level and what it gives."""
    rows = []
    for level in plan.levels:
        target, trial = level.target, level.trial
        peaks = []
        for name in _PEAKS:
            value, rpm = level.pull.peak(name)
            peaks.append(f"{shown(name, value, system)} at {rpm:,.0f}")
        off = 100.0 * trial.deviation(target)
        reached = target.shown(trial.reaches(target), system)
        aim = (target.text(system), reached, f"{off:.0f} %")
        rows.append([level.name, level.fitted, f"{level.drive_ratio:.3f}", *aim, *peaks])
    headings = ["level", "fitted", "drive ratio", "target", "gives", "of tolerance",
                *(f"peak {name}" for name in _PEAKS)]  # fmt: skip
    units = ["", "", "", "", "", "", *(f"{label(n, system)} at rpm" for n in _PEAKS)]
    return Table(headings, units, rows, caption="Levels in the weather as typed", flush=(0, 1, 3))


def parts_table(plan: Plan) -> Table:
    """Return the parts to buy, of the best plan and the runners-up."""
    rows = []
    currency = plan.request.currency or "price"
    for number, choice in enumerate(plan.choices):
        fitted = "; ".join(
            f"{target.level}: {plan.trials[i].fitting.words}"
            for target, i in zip(plan.request.targets, choice.fittings, strict=True)
        )
        name = "plan" if number == 0 else f"runner-up {number}"
        bought = ", ".join(sorted(choice.to_buy)) or "nothing"
        rows.append([name, bought, f"{choice.price:,.0f}", f"{choice.deviation:.2f}", fitted])
    key = ("The fewest parts to buy come first, then the lowest price, then the smallest sum of "
           "deviations from the targets, in tolerances.")  # fmt: skip
    headings = ["choice", "to buy", currency, "deviation", "levels"]
    return Table(headings, [""] * 5, rows, caption="Parts to buy", key=key, flush=(0, 1, 4))


def room_table(level: PlannedLevel, system: str, weathers: Sequence[str] = ()) -> Table:
    """Return every margin of a level in every weather, or in those named."""
    weathers = weathers or list(level.margins)
    by_name: dict[str, dict[str, Margin]] = {}
    for weather, row in level.margins.items():
        for margin in row:
            by_name.setdefault(margin.name, {})[weather] = margin
    worst = {margin.name: margin for margin in level.trial.worst_margins()}
    rows = []
    for name, margins in by_name.items():
        limit = worst[name].limit
        cells = []
        for weather in weathers:
            one = margins[weather]
            at = f" at {one.rpm:,.0f}" if np.isfinite(one.rpm) else ""
            cells.append(one.value_text(system) + at)
        bound = limit.text(system, signs=True) if limit is not None else "–"
        rows.append([worst[name].words, bound, *cells, worst[name].room_text()])
    key = ("Each value stands at the engine speed [rpm] where it is worst, ± half its 90 % band. "
           "Room is what is left of the limit in the worst weather, with the band taken off."
           )  # fmt: skip
    if any(margin.floor for row in by_name.values() for margin in row.values()):
        key += f" {BOUND}"
    headings = ["", "limit", *weathers, "room"]
    return Table(headings, [""] * len(headings), rows, caption=f"Room left, {level.name}", key=key)


def knock_table(rows: Mapping[tuple[str, str], Knock]) -> Table:
    """Return the knock margin over engine speed, a row each level and weather."""
    speeds = np.unique(np.concatenate([knock.rpm[knock.searched] for knock in rows.values()]))
    cells = []
    for (level, weather), knock in rows.items():
        by_rpm = {
            float(n): f"≥{np.degrees(m):.1f}" if least else f"{np.degrees(m):+.1f}"
            for n, m, least in zip(knock.rpm, knock.margin, knock.bound, strict=True)
            if np.isfinite(m)
        }
        doubt = f"{np.degrees(np.nanmax(knock.doubt)):.1f}" if by_rpm else "–"
        cells.append([level, weather, *(by_rpm.get(float(n), "–") for n in speeds), doubt])
    headings = ["level", "weather", *(f"{n:.0f}" for n in speeds), "± up to"]
    key = (
        "These are estimates of the worst cylinder: by how many crank degrees half of the charge "
        "may burn earlier than the calibration has it. ± up to: half the 90 % band at its widest. "
        "Negative: it knocks. ≥: no knock was found at the earliest phasing tried."
    )
    units = ["", "", *(["rpm"] * speeds.size), "deg"]
    return Table(headings, units, cells, caption="Knock margin [deg]", key=key, flush=(0, 1))


def rejected_table(plan: Plan, system: str) -> Table:
    """Return every way that runs no level, with why."""
    used = {level.trial for level in plan.levels}
    rows = []
    for trial in (t for t in plan.trials if t not in used):
        head = [trial.fitting.words, f"{trial.fitting.drive_ratio:.3f}"]
        for number, text in enumerate(plan.why(trial, system)):
            rows.append([*(head if number == 0 else ["", ""]), text])
    headings = ["fitted", "drive ratio", "why not"]
    caption = "Ways that run no level, and why"
    return Table(headings, [""] * 3, rows, caption=caption, flush=(0, 2))


def nearest(request: PlanRequest, trials: Sequence[Trial]) -> list[str]:
    """Return for each level that nothing runs what comes nearest, and what stands against it."""
    sentences = []
    for target, best in nearest_trials(request, trials):
        if best is None:
            sentences.append(
                f"{target.level}: No way of fitting the parts has an answer. The table says why."
            )
            continue
        against = [text for text in (best.misses(target), *best.objections) if text]
        sentences.append(f"{target.level} ({target.text()}): {best.fitting.words} comes nearest. "
                         f"Against it: {'; '.join(against)}.")  # fmt: skip
    return sentences


def nearest_trials(
    request: PlanRequest, trials: Sequence[Trial]
) -> list[tuple[Target, Trial | None]]:
    """Return each target that nothing runs, with what comes nearest; None without any answer."""
    found: list[tuple[Target, Trial | None]] = []
    for target in request.targets:
        if any(not t.objections and t.deviation(target) <= 1.0 for t in trials):
            continue
        solved = [t for t in trials if np.isfinite(t.deviation(target))]
        found.append((target, min(solved, key=lambda t: t.deviation(target), default=None)))
    return found
