"""The first page: what a customer reads, and which stands alone."""

from __future__ import annotations

from typing import NamedTuple

from .. import _core
from ..chain.build import Build
from ..chain.build_words import link_words
from ..chain.build_words import rows as described
from ..shown import statuses
from ..shown.columns import in_display, label, shown
from ..shown.standing_words import (
    COMPUTED,
    FIRST_IMPELLER,
    FIRST_KNOCK,
    FIRST_MODEL,
    INVENTED,
    INVENTED_PULLS,
)
from ..shown.tables import Table, by_note
from .blocks import bullets, figure, table, words
from .curves import plot_curves
from .material import Material

_BUILT = ("engine", "fuel", "compressor", "drive", "cooler", "weather")


class FirstPage(NamedTuple):
    """What the first page shows: a banner, whose it is, and blocks of HTML."""

    banner: str
    whose: dict[str, str]
    blocks: list[str]


def first_page(made: Material) -> FirstPage:
    """Return what the first page shows."""
    build = made.build
    measured = bool(made.comparisons or made.fit)
    banner = (INVENTED_PULLS if measured else INVENTED) if build.invented else ""
    caption = "Power and torque of every level over engine speed."
    if any(step.pull.extrapolated.any() for step in made.steps.steps):
        caption += " Hollow marks: beyond the compressor map or a table, extrapolated."
    blocks = [
        *([words(build.notes)] if build.notes else []),
        *table(_built(made)),
        *table(_levels(made), "The levels"),
        words(in_words(made)),
        figure(plot_curves(made.steps.pulls, made.system), "first", caption),
        *(words(text) for text in (_weather(made), _measured(made)) if text),
        '<div class="cautions">',
        *bullets(cautions(made)),
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


def cautions(made: Material) -> list[str]:
    """Limits that a level passes, before the few cautions that everybody must read."""
    found = []
    for step in made.steps.steps:
        flags = step.pull.columns["flags"][step.pull.matched]
        over = [n for n in statuses.DANGEROUS if statuses.standing(flags, n)]
        found += [f"{step.name}: {statuses.caution(name)} Do not run it." for name in over]
    return [*found, FIRST_MODEL, *([FIRST_IMPELLER] if made.forced else []), FIRST_KNOCK]


def in_words(made: Material) -> str:
    """How the levels compare, and what is changed from one to the next."""
    build, plain = made.build, made.steps.steps[0].pull.peak("power")[0]
    gains = [(step.name, step.pull.peak("power")[0] / plain) for step in made.forced]
    told = [f"{name} {gain:.2f}" for name, gain in gains if gain == gain]
    said = []
    if len(told) > 1:
        times = f"{', '.join(told[:-1])} and {told[-1]}"
        said.append(f"Peak power over that of the engine without compressor: {times} times.")
    elif told:
        said.append(f"Peak power is {told[0].split()[-1]} times that without compressor.")
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


def _built(made: Material) -> Table:
    rows = [[name, text] for name, text in described(made.build) if name in _BUILT]
    if len(made.build.levels) > 1:
        rows = [row for row in rows if row[0] != "drive"]
    rows.sort(key=lambda row: row[0] == "weather")
    return Table(["part", "as built"], ["", ""], rows, "What was built")


def _levels(made: Material) -> Table:
    steps, system = made.steps, made.system
    rows = []
    for step in steps.steps:
        cells = [step.name, fitted(made.build, step.name) if step.supercharged else "–"]
        for name in ("power", "torque"):
            value, rpm = step.pull.peak(name)
            cells += [whole(name, value, system), "–" if rpm != rpm else f"{rpm:,.0f}"]
        rows.append([*cells, shown("boost", steps.boosts[step.name], system)])
    reference = f"boost at {steps.reference_rpm:,.0f} rpm"
    headings = ["level", "drive parts", "peak power", "at", "peak torque", "at", reference]
    power, torque, boost = (label(name, system) for name in ("power", "torque", "boost"))
    return Table(headings, ["", "", power, "rpm", torque, "rpm", boost], rows)


def _weather(made: Material) -> str:
    """Peak power of the highest level from day to day."""
    if made.weather is None:
        return ""
    bands = made.weather
    level = max(bands.levels, key=lambda name: made.steps[name].pull.peak("power")[0])
    peaks = {day: steps[level].pull.peak("power")[0] for day, steps in bands.days.items()}
    unit = label("power", made.system)
    told = [f"{whole('power', p, made.system)} {unit} {day}" for day, p in peaks.items() if p == p]
    return f"Peak power of {level} by day: {', '.join(told)}."


def whole(name: str, value: float, system: str) -> str:
    """A value without decimals, which a customer would take for accuracy."""
    return "–" if value != value else f"{float(in_display(name, value, system)):,.0f}"


def _measured(made: Material) -> str:
    """What was measured beside the computed figures."""
    if not made.comparisons:
        return COMPUTED if made.fit is None else ""
    told = by_note(
        (one.prediction.build.level_name or one.prediction.build.name, one.notes[0])
        for one in made.comparisons
    )
    return f"Pulls that were run after they were predicted: {'; '.join(told)}."
