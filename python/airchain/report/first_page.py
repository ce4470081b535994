"""The first page: what a customer reads, and which stands alone."""

from __future__ import annotations

from typing import NamedTuple

from .. import _core
from ..chain.build import Build
from ..chain.build_words import link_words
from ..chain.build_words import rows as described
from ..measured.measured import MeasuredPull
from ..shown.columns import in_display, label, shown
from ..shown.standing_words import (
    COMPUTED,
    FIRST_IMPELLER,
    FIRST_KNOCK,
    FIRST_MODEL,
    INVENTED,
    INVENTED_PULLS,
)
from ..shown.tables import Table
from .blocks import bullets, figure, table, words
from .curves import plot_curves
from .dangers import dangers
from .material import Material
from .owner_parts import nearest

_BUILT = ("engine", "fuel", "compressor", "drive", "cooler", "weather")


class FirstPage(NamedTuple):
    """What the first page shows: a banner, whose it is, and blocks of HTML."""

    banner: str
    whose: dict[str, str]
    blocks: list[str]


def first_page(material: Material) -> FirstPage:
    """Return what the first page shows."""
    build = material.build
    measured = bool(material.comparisons or material.fit)
    banner = (INVENTED_PULLS if measured else INVENTED) if build.invented else ""
    caption = "Power and torque of every level over engine speed."
    if any(step.pull.extrapolated.any() for step in material.steps.steps):
        caption += " Hollow marks: beyond the compressor map or a table, extrapolated."
    blocks = [
        *([words(build.notes)] if build.notes else []),
        *table(_built(material)),
        *table(_levels(material), "The levels"),
        words(in_words(material)),
        figure(plot_curves(material.steps.pulls, material.system), "first", caption),
        *(
            words(text)
            for text in (_weather(material), _limits(material), _measured(material))
            if text
        ),
        '<div class="cautions">',
        *bullets(cautions(material)),
        "</div>",
    ]
    whose = build.handover
    named = {
        "for": whose.customer,
        "by": whose.workshop,
        "reference": whose.reference,
        "date": whose.date,
    }
    return FirstPage(banner, {word: text for word, text in named.items() if text}, blocks)


def cautions(material: Material) -> list[str]:
    """Limits that a level passes, before the few cautions that everybody must read."""
    told = [f"{step.name}: {text}" for step in material.steps.steps for text in dangers(step.pull)]
    return [*told, FIRST_MODEL, *([FIRST_IMPELLER] if material.forced else []), FIRST_KNOCK]


def in_words(material: Material) -> str:
    """How the levels compare, and what is changed from one to the next."""
    build, plain = material.build, material.steps.steps[0].pull.peak("power")[0]
    gains = [(step.name, step.pull.peak("power")[0] / plain) for step in material.forced]
    ratios = [f"{name} {gain:.2f}" for name, gain in gains if gain == gain]
    said = []
    if material.fit is not None:
        runs = len(material.fit.problem.runs)
        pulls = "a measured pull" if runs == 1 else f"{runs} measured pulls"
        said.append(f"All pages stand on the build as it was fitted to {pulls}.")
    if len(ratios) > 1:
        times = f"{', '.join(ratios[:-1])} and {ratios[-1]}"
        said.append(f"Peak power over that of the engine without compressor: {times} times.")
    elif ratios:
        said.append(f"Peak power is {ratios[0].split()[-1]} times that without compressor.")
    if len(build.levels) > 1:
        said.append("The levels differ only in how fast the compressor is driven.")
        said += [f"One gear pair, fitted either way round, serves {p}." for p in _turned(build)]
    return " ".join(said)


def fitted(build: Build, name: str) -> str:
    """The links of a level that another level has not, in words."""
    links = build.levels[name].links if name in build.levels else build.links
    others = [level.links for level in build.levels.values()]
    changed = [
        link
        for place, link in enumerate(links)
        if any(place >= len(other) or other[place] != link for other in others)
    ]
    return " x ".join(link_words(link) for link in changed or links)


def _turned(build: Build) -> list[str]:
    """Levels that share one gear pair, fitted the other way round."""
    pairs: dict[str, tuple[float, float]] = {}
    for name, level in build.levels.items():
        for link in level.links:
            if isinstance(link, _core.GearPair):
                pairs.setdefault(name, (link.driving_teeth, link.driven_teeth))
    names = list(pairs)
    return [
        f"{a} and {b}"
        for i, a in enumerate(names)
        for b in names[i + 1 :]
        if pairs[a] == pairs[b][::-1] and pairs[a][0] != pairs[a][1]
    ]


def _built(material: Material) -> Table:
    rows = [[name, text] for name, text in described(material.build) if name in _BUILT]
    if len(material.build.levels) > 1:
        rows = [row for row in rows if row[0] != "drive"]
    rows.sort(key=lambda row: row[0] == "weather")
    return Table(["part", "as built"], ["", ""], rows, "What was built")


def _levels(material: Material) -> Table:
    steps, system = material.steps, material.system
    rows = []
    for step in steps.steps:
        cells = [step.name, fitted(material.build, step.name) if step.supercharged else "–"]
        for name in ("power", "torque"):
            value, rpm = step.pull.peak(name)
            cells += [whole(name, value, system), "–" if rpm != rpm else f"{rpm:,.0f}"]
        rows.append([*cells, shown("boost", steps.boosts[step.name], system)])
    reference = f"boost at {steps.reference_rpm:,.0f} rpm"
    headings = ["level", "drive parts", "peak power", "at", "peak torque", "at", reference]
    power, torque, boost = (label(name, system) for name in ("power", "torque", "boost"))
    return Table(headings, ["", "", power, "rpm", torque, "rpm", boost], rows)


def _limits(material: Material) -> str:
    """The limits nearest to the highest planned level, and what to do next."""
    if material.plan is None or not material.plan.found:
        return ""
    level = material.plan.levels[-1]
    near = ", ".join(
        f"{margin.words} with room of {margin.room_text()}" for margin in nearest(level)
    )
    told = f"The limits nearest to {level.name}: {near}. " if near else ""
    first = material.plan.levels[0].name
    return f"{told}Next: follow the order of work of this hand-over, {first} first."


def _weather(material: Material) -> str:
    """Peak power of the highest level from day to day."""
    if material.weather is None:
        return ""
    bands = material.weather
    level = max(bands.levels, key=lambda name: material.steps[name].pull.peak("power")[0])
    peaks = {day: steps[level].pull.peak("power")[0] for day, steps in bands.days.items()}
    unit = label("power", material.system)
    day_peaks = [
        f"{whole('power', p, material.system)} {unit} {day}" for day, p in peaks.items() if p == p
    ]
    return f"Peak power of {level} by day: {', '.join(day_peaks)}."


def whole(name: str, value: float, system: str) -> str:
    """A value without decimals, which a customer would take for accuracy."""
    return "–" if value != value else f"{float(in_display(name, value, system)):,.0f}"


def _measured(material: Material) -> str:
    """What was measured beside the computed figures."""
    if not material.comparisons:
        return COMPUTED if material.fit is None else ""
    told = ["Pulls were run after they were predicted."]
    told += [one.verdict for one in material.comparisons]
    told += [_read(one.measured, one.prediction.build, material.system)
             for one in material.comparisons if one.measured is not None]  # fmt: skip
    return " ".join([*told, *(one.verdict for one in material.diagnoses.values())])


def _read(pull: MeasuredPull, build: Build, system: str) -> str:
    """What the dyno read at the most, brought to steady running."""
    power, rpm = pull.peak("power")
    unit = label("power", system)
    name = build.level_name or build.name
    return f"The dyno read {whole('power', power, system)} {unit} at {rpm:,.0f} rpm on {name}."
