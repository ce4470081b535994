"""The parts that look into the cylinder, of builds with cams: knock, and the cycle."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from ..chain.level_looks import looks_by_name
from ..chain.worst_cylinders import worst_cylinders
from ..cylinder.plot_cycle import draw_loops, draw_ports
from ..cylinder.points import knock_note
from ..cylinder.spread import told_apart
from ..cylinder.trace import CycleTrace
from ..plan.plan import Plan
from ..shown.standing_words import KNOCK_WORDS
from ..shown.tables import Table, by_note
from .blocks import Section, bullets, figure, named_tables, table, tell, words
from .curves import plot_pressures
from .material import Material

#: What tells how well a cycle was computed, not how an engine runs.
_OF_SOLVING = ("mass error", "energy error", "cycles")
#: What has another answer where every margin is that of the worst cylinder.
_OF_ONE = ("knock integral",)


def knock(material: Material) -> Section | None:
    """How far each level runs from knock, over engine speed and in each weather."""
    if material.build.cylinder is None:
        return None
    plan = material.plan
    if plan is None or plan.knock is None:
        margins = material.build.knock_margins()
        told = [words(KNOCK_WORDS), *tell(margins, material.system)]
        files = named_tables(margins, material.system)
        return _with_worst(material, Section("knock", "Knock", told, tables=files))
    caption = "Knock margin of the planned levels over engine speed, worst cylinder, estimated."
    drawn = figure(plan.plot_knock_room(system=material.system), "knock", caption)
    blocks = [
        words(KNOCK_WORDS),
        *bullets(_least(plan, material.system)),
        *table(plan.knock),
        drawn,
    ]
    blocks += bullets(plan.knock_notes)
    return _with_worst(material, Section("knock", "Knock", blocks, tables=[plan.knock]))


def _with_worst(material: Material, section: Section) -> Section:
    """The section with the cylinders of the highest level, where they are told apart."""
    last = material.steps.steps[-1].pull
    if not told_apart(material.build.cylinder) or not np.any(last.matched):
        return section
    apart = worst_cylinders(last)
    (whole,) = named_tables(apart, material.system)
    key = f"{whole.key} Every 1,000 rpm and the worst speeds; the tables tell every speed."
    printed = whole._replace(rows=[whole.rows[place] for place in apart.telling], key=key)
    blocks = [*section.blocks, words(apart.verdict), *table(printed), *bullets(apart.notes)]
    return section._replace(blocks=blocks, tables=[*section.tables, whole])


def _least(plan: Plan, system: str) -> list[str]:
    """Where each level is nearest to knock, in words."""
    least_margins = []
    for level in plan.levels:
        margin = next(m for m in level.trial.worst_margins() if m.name == "knock")
        at = f" at {margin.rpm:,.0f} rpm, {margin.weather}" if margin.known else ""
        low = margin.value - margin.doubt
        said = ""
        if margin.known and low < 0.0 and not margin.floor:
            said = "; its band reaches into knock: later spark, more octane or less boost first"
        shown = margin.value_text(system)
        least_margins.append(f"{level.name}: nearest to knock, doubt included, {shown}{at}{said}")
    return least_margins


def cycle(material: Material) -> Section | None:
    """The cycle of one cylinder at the reference speed, level beside level."""
    if material.build.cylinder is None:
        return None
    traces = _traces(material)
    if not traces:
        return None
    rpm = f"{material.steps.reference_rpm:,.0f} rpm"
    system = material.system
    looks = looks_by_name(traces, material.build)
    pressures = plot_pressures(traces, looks, system)
    loops, ports = (draw(traces, None, system, "", looks) for draw in (draw_loops, draw_ports))
    drawn = (
        (pressures, "cycle", f"Cylinder pressure of the mean cycle over crank angle at {rpm}. "
         "Marks: start of burn, half burned, peak."),
        (loops, "loops", f"Pressure over volume at {rpm}, and the gas exchange enlarged."),
        (ports, "ports", f"Pressures at the valves over crank angle at {rpm}."),
    )  # fmt: skip
    blocks = [figure(picture, name, text) for picture, name, text in drawn]
    apart = told_apart(material.build.cylinder)
    left_out = {knock_note(float(material.build.cylinder.setup.octane))} if apart else set()
    notes = by_note(
        ((name, note) for name, trace in traces.items() for note in trace.notes
         if note not in left_out), len(traces),
    )  # fmt: skip
    together = _side_by_side(traces, material.system, rpm, _OF_ONE if apart else ())
    blocks += [*table(together), *bullets(notes)]
    return Section("cycle", "Inside the cylinder", blocks, tables=[together])


def _traces(material: Material) -> dict[str, CycleTrace]:
    """The cycle of every level that has an answer at the reference speed."""
    rpm = material.steps.reference_rpm
    solved = [s for s in material.steps.steps if np.all(s.pull.build.pull([rpm]).matched)]
    return {step.name: step.pull.build.cycle_at(rpm) for step in solved}


def _side_by_side(traces: Mapping[str, CycleTrace], system: str, rpm: str,
                  without: Sequence[str] = ()) -> Table:  # fmt: skip
    """What each cycle tells, a column a level."""
    tables = {name: trace.tables(system)[0] for name, trace in traces.items()}
    first = next(iter(tables.values()))
    rows = [
        [quantity, *(trace_table.rows[i][1] for trace_table in tables.values()), unit]
        for i, (quantity, _, unit) in enumerate(first.rows)
        if quantity not in (*_OF_SOLVING, *without)
    ]
    headings = ["quantity", *tables, "unit"]
    return Table(headings, [""] * len(headings), rows, f"One cylinder at {rpm}, mean cycle")
