"""The parts of a plan: limits with the room left to each, the choice, and the order of work."""

from __future__ import annotations

from ..chain.ladders import Ladder
from ..cylinder.knock_words import BOUND
from ..plan.cost import cost_table
from ..plan.limits import limits_table
from ..plan.margins import Margin
from ..plan.order import CHECKS, gate_table
from ..plan.plan import Plan
from ..plan.tables import levels_table, parts_table, rejected_table, room_table
from ..plan.throttle_shut import shut_table
from ..shown.tables import Table
from ..shown.words import listed
from .blocks import Section, bullets, figure, signatures, table, tell, words
from .material import Material


def limits(material: Material) -> Section | None:
    """Every limit with who says so, and the room each level leaves in every weather."""
    plan = material.plan
    if plan is None or not plan.found or not plan.request.limits:
        return None
    typed = list(plan.request.limits.values())
    caption = (
        "The limits that each level comes nearest to, in the worst weather, 90 % band included. "
        "The thick tick on a bar is the value without its band, rings are the other weathers."
    )
    rooms = [room_table(level, material.system, plan.request.days) for level in plan.levels]
    tables = [limits_table(typed, material.system), *rooms]
    blocks = [*table(tables[0]), *table(_worst(plan, material.system))]
    blocks.append(figure(plan.plot_room(system=material.system), "room", caption))
    return Section("limits", "Limits and margins", blocks, tables=tables)


def _worst(plan: Plan, system: str) -> Table:
    """Every limited quantity of every level in its worst weather, with the room left."""
    margins = [{m.name: m for m in level.trial.worst_margins()} for level in plan.levels]
    names = list(dict.fromkeys(name for row in margins for name in row))
    rows = []
    for name in names:
        here = [row.get(name) for row in margins]
        first = next(margin for margin in here if margin is not None)
        rows.append([first.words, *(_with_room(margin, system) for margin in here)])
    headings = ["", *(level.name for level in plan.levels)]
    key = (
        "Each value stands in its worst weather and at its worst engine speed, ± half its 90 % "
        "band. In brackets: the room that is left of the limit, with the band taken off. The "
        "tables tell every weather."
    )
    if any(margin.floor for row in margins for margin in row.values()):
        key += f" {BOUND}"
    return Table(headings, [""] * len(headings), rows, "Room left, level beside level", key)


def _with_room(margin: Margin | None, system: str) -> str:
    if margin is None:
        return "–"
    room = f" ({margin.room_text()})" if margin.limit is not None else ""
    return f"{margin.value_text(system)}{room}"


def plan(material: Material) -> Section | None:
    """The parts to buy, the levels, and what must be read before going up one."""
    plan = material.plan
    if plan is None:
        return None
    if not plan.found:
        return Section("plan", "Plan: parts and levels", tell(plan, material.system))
    system = material.system
    tables = [levels_table(plan, system), parts_table(plan), rejected_table(plan, system)]
    blocks = [words(plan.verdict), *(block for one in tables[:2] for block in table(one))]
    blocks += bullets(differing(plan, material.steps))
    if tables[2].rows:
        blocks.append(words("The tables tell the ways that run no level, and why.", "key"))
    return Section("plan", "Plan: parts and levels", blocks, tables=tables)


def order(material: Material) -> Section | None:
    """What each level must read before the next, and the bypass that it needs."""
    plan = material.plan
    if plan is None or not plan.found:
        return None
    shut = {level.name: level.shut for level in plan.levels}
    gates = gate_table([level.gate for level in plan.levels], material.system)
    tables = [gates, shut_table(shut, material.system)]
    worst = shut_table(shut, material.system, worst_day=True)
    if len(worst.rows) < len(tables[1].rows):
        key = f"{worst.key} Shown is the weather that needs most; the tables tell every weather."
        worst = worst._replace(key=key)
    notes = plan.notes_in(material.system)
    told = {f"{name}: {one.told(material.system)}" for name, one in shut.items()}
    opens = [note for note in notes if note in told]
    if opens:
        # The sentences below the table tell of the valve that is fitted, and how quickly it opens.
        places = [i for i, head in enumerate(worst.headings) if head != "fitted"]
        worst = worst._replace(
            headings=[worst.headings[i] for i in places],
            units=[worst.units[i] for i in places],
            rows=[[row[i] for i in places] for row in worst.rows],
        )
    caption = (
        "Power, torque and boost of the planned levels. Shaded: 90 % band; black bars: the targets "
        "with their tolerances."
    )
    blocks = [*table(gates), *table(worst), *bullets(opens)]
    blocks.append(figure(plan.plot(system=material.system, title=""), "plan", caption))
    checks = {f"Before going up: {check}": check for check in CHECKS}
    blocks += bullets(note for note in notes if note not in {*opens, *checks})
    blocks += [words("Before going up a level:"), *bullets(checks.values())]
    return Section("order", "Order of work", blocks, tables=tables)


def cost(material: Material) -> Section | None:
    """What each level costs, on a page that an owner can sign."""
    plan = material.plan
    if plan is None or not plan.found:
        return None
    system, whose = material.system, material.build.handover
    bought = listed(sorted(plan.choices[0].to_buy)) or "nothing"
    levels = [
        f"{level.name}: {level.fitted}. It is to give {level.target.text(system)}."
        for level in plan.levels
    ]
    blocks = [
        words(f"To be bought: {bought}."),
        *bullets(levels),
        *table(cost_table(plan.levels, plan.request.cost, plan.request.currency)),
        words(_AGREED),
        *bullets(_TERMS),
        *signatures(whose.workshop or "the workshop", whose.customer or "the owner"),
    ]
    # What is signed stands on one page.
    whole = ['<div class="whole">', *blocks, "</div>"]
    return Section("cost", "Cost and agreement", whole)


_AGREED = (
    "The owner agrees to the levels and costs above, and that each level is run only when the one "
    "before has read what was expected."
)
_TERMS = (
    "Figures are those of a model. They are no promise of power and no permission to exceed a "
    "limit of a part's maker, a rule book or a local code.",
    "Prices and hours are as typed by the workshop. What is found on the way, such as worn parts, "
    "is agreed before it is done.",
    "A level that does not read as expected stops the work until the cause is found.",
)


def differing(plan: Plan, steps: Ladder) -> list[str]:
    """Levels of the file whose drive ratio is not the plan's of the same name."""
    ratios = {step.name: step.drive_ratio for step in steps.steps}
    return [
        f"{level.name}: the file's drive ratio is {ratios[level.name]:.3f}, the plan's is "
        f"{level.drive_ratio:.3f}. The other pages show the file's."
        for level in plan.levels
        if level.name in ratios and abs(ratios[level.name] / level.drive_ratio - 1.0) > 1e-9
    ]
