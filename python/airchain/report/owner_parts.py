"""The parts of the owner's hand-over that the workshop's book tells otherwise."""

from __future__ import annotations

from math import isfinite

from ..cylinder.knock_words import BOUND
from ..plan.margins import Margin
from ..plan.order import CHECKS, gate_table
from ..plan.plan import Plan, PlannedLevel
from ..shown.glossary import Glossary, glossary
from ..shown.standing_words import FAULT_WORDS
from ..shown.tables import Table, escaped
from .blocks import Section, bullets, figure, heading, named_tables, table, words
from .material import Material

#: Limits of a level that its owner is told of, the nearest first.
_NEAREST = 3
#: Words of the hand-over that its owner may not know.
_WORDS = ("boost", "charge_temperature", "knock_margin", "surge_margin", "choke_margin",
          "volumetric_efficiency", "drive_power", "power", "torque")  # fmt: skip


def measured(material: Material) -> Section | None:
    """Every prediction beside the pull that was then run, in words and as a picture."""
    if not material.comparisons:
        return None
    told, drawn = [], []
    for number, comparison in enumerate(material.comparisons):
        title = comparison.prediction.title
        told += [words(f"{title}: {note}") for note in comparison.notes[:1]]
        diagnosis = material.diagnoses.get(number)
        if diagnosis is not None:
            told += [words(FAULT_WORDS), words(diagnosis.verdict)]
        picture = comparison.plot(system=material.system)
        caption = f"{title}: 90 % band, and the pull that was run."
        beside = "pair" if len(material.comparisons) > 1 else ""
        drawn.append(figure(picture, f"told{number}", caption, beside))
    return Section("measured", "Measured against predicted", [*told, *drawn])


def limits(material: Material) -> Section | None:
    """The limits nearest to each level, and what stops the next step."""
    plan = _found(material)
    if plan is None or not any(nearest(level) for level in plan.levels):
        return None
    rows = []
    for level in plan.levels:
        for number, margin in enumerate(nearest(level)):
            assert margin.limit is not None
            bound = margin.limit.text(material.system, signs=True)
            cells = [margin.words, margin.value_text(material.system), bound]
            at = f"{margin.rpm:,.0f}" if isfinite(margin.rpm) else "–"
            name = level.name if number == 0 else ""
            rows.append([name, *cells, margin.room_text(), at, margin.weather])
    headings = ["level", "what is limited", "value", "limit", "room", "at", "in the weather"]
    units = ["", "", "", "", "", "rpm", ""]
    key = "Room is what is left of the limit, with the doubt of the value taken off."
    if any(margin.floor for level in plan.levels for margin in nearest(level)):
        key += f" {BOUND}"
    near = Table(headings, units, rows, "The limits nearest to each level", key, (0, 1, 6))
    caption = (
        "The limits that each level comes nearest to, in the worst weather, doubt included. A bar "
        "that reaches 100 % has nothing left."
    )
    drawn = figure(plan.plot_room(system=material.system), "room", caption)
    steps = bullets(f"{level.name}: {level.next_step}" for level in plan.levels)
    return Section("limits", "How near the limits are", [*table(near), *steps, drawn])


def nearest(level: PlannedLevel) -> list[Margin]:
    """The limited quantities of a level that have the least room, the nearest first."""
    known = [m for m in level.trial.worst_margins() if m.limit is not None and m.known]
    finite = (m for m in known if isfinite(m.used))
    return sorted(finite, key=lambda m: (m.open_ended, -m.used))[:_NEAREST]


def order(material: Material) -> Section | None:
    """The order of work as a list to tick, with places for date and signature."""
    plan = _found(material)
    if plan is None:
        return None
    gates = gate_table([level.gate for level in plan.levels], material.system)
    blocks = [*table(gates), words("Before the first run, and before going up a level:")]
    ticks = "".join(f"<li>{escaped(check)}</li>" for check in CHECKS)
    for level in plan.levels:
        blocks.append(
            f'<div class="step">{heading(level.name)}<ul class="ticks">{ticks}</ul>'
            '<p class="ticked"><span>date</span><span>signature</span></p></div>'
        )
    return Section("order", "Order of work", blocks)


def weather(material: Material) -> Section | None:
    """Every level on the coldest and the hottest day, without standards."""
    if material.weather is None:
        return None
    caption = (
        "Lines: the day as typed. Bars at the right: the least and the most of all days at the "
        "highest engine speed."
    )
    drawn = figure(material.weather.plot(system=material.system, title=""), "weather", caption)
    days = table(named_tables(material.weather, material.system)[0])
    told = [words(material.weather.verdict), drawn, *days]
    return Section("weather", "From the coldest to the hottest day", told)


def meanings(material: Material) -> Section:
    """What the words of the hand-over mean."""
    known = glossary()
    rows = [[row.word, row.meaning] for row in Glossary(tuple(known[name] for name in _WORDS))]
    blocks = table(Table(["word", "meaning"], ["", ""], rows, "", "", (0, 1)))
    return Section("words", "What the words mean", list(blocks))


def _found(material: Material) -> Plan | None:
    """The plan, where there is one that was found."""
    return material.plan if material.plan is not None and material.plan.found else None
