"""Which column of a log is which quantity: by the mapping given, else by its headings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from ...base.errors import InputError, quoted, refusal, suggestion
from ...units.text import pressure_reading
from ..finding import Finding
from ..quantities import QUANTITIES
from .by_unit import choose_by_unit, needs_numbers
from .headings import Heading, heading_of
from .layout import Layout
from .left_over import list_left
from .loose_headings import kind_of_unit, words_of_heading
from .mapping import LogMapping
from .table import Needed, Table
from .unit_factor import factor

_FACTORS = ("cf", "corr factor", "correction factor", "correction", "corr fact")
_NEAR_THE_ENGINE = {"charge", "manifold", "mat", "act", "cat"}
_AIR_TEMP = {"air", "temp"}
_SHORT = re.compile(r"(?i)\s*[tp][ _]?\d(?!\w)")
_AVERAGED = ("exhaust_temperature", "lambda")


@dataclass
class Choice:
    """Columns by quantity, with the reason of each; what is left over, and what must be asked.

    `absolute` names pressures that are absolute by other columns of the log, with the reason.
    """

    headings: list[Heading]
    columns: dict[str, tuple[int, ...]] = field(default_factory=dict)
    reasons: dict[str, str] = field(default_factory=dict)
    run: int = -1
    agreed: set[int] = field(default_factory=set)
    absolute: dict[str, str] = field(default_factory=dict)
    questions: list[InputError] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def unused(self) -> list[str]:
        """Headings that nothing was read from."""
        used = {i for columns in self.columns.values() for i in columns} | {self.run}
        return [h.text for h in self.headings if h.text and h.index not in used]


def headings_of(
    texts: Sequence[str], own: Sequence[str], units: Sequence[str], given: LogMapping
) -> list[Heading]:
    """Return what the headings say, those that the mapping has another name for among them."""
    aliases = {
        alias.strip().lower(): name for name, several in given.aliases.items() for alias in several
    }
    headings = []
    for i, text in enumerate(texts):
        heading = heading_of(text, i, units[i], own[i])
        alias = aliases.get(text.strip().lower()) or aliases.get(own[i].strip().lower())
        headings.append(replace(heading, quantity=alias) if alias else heading)
    return _with_room_air(headings)


def _with_room_air(headings: list[Heading]) -> list[Heading]:
    """Return headings with 'air temp' as the room's where it stands with the room's humidity."""
    named = {h.quantity for h in headings}
    if "relative_humidity" not in named or "ambient_temperature" in named:
        return headings
    air = [h for h in headings if not h.quantity and set(words_of_heading(h.text)) == _AIR_TEMP]
    if len(air) != 1 or kind_of_unit(air[0].unit) not in ("temperature", "none"):
        return headings
    return [replace(h, quantity="ambient_temperature") if h is air[0] else h for h in headings]


def needed(given: LogMapping) -> Needed:
    """Return which columns are needed: those a mapping names, and those whose headings tell."""
    named = {c for one in given.columns.values() for c in one.column} | {given.run_column}
    texts = {c.strip().lower() for c in named if isinstance(c, str)}
    numbers = {int(c) for c in named if isinstance(c, int) or c.strip().isdecimal()}

    def of(layout: Layout) -> tuple[list[int], list[int]]:
        headings = headings_of(layout.headings, layout.own, layout.units, given)
        run = str(given.run_column).strip().lower()
        wanted, runs = [], []
        for heading in headings:
            text = heading.text.strip().lower()
            if (run and run in (text, str(heading.index + 1))) or heading.quantity == "run":
                runs.append(heading.index)
            elif (
                heading.quantity
                or (text and text in texts)
                or heading.index + 1 in numbers
                or is_factor(heading.text)
            ):
                wanted.append(heading.index)
        wanted = sorted({*wanted, *needs_numbers(headings)})
        return wanted or [0], runs[:1]

    return of


def is_factor(heading: str) -> bool:
    """Return whether a heading names the factor of a power correction."""
    return heading.lower().replace("_", " ").strip() in _FACTORS


def choose(table: Table, given: LogMapping, header: int) -> Choice:
    """Return which columns are read; `header` is the line of the headings, for refusals."""
    headings = headings_of(table.headings, table.own, table.units, given)
    choice = Choice(headings)
    where = f"{table.name}:{header}"
    for name, one in given.columns.items():
        if one.column:
            choice.columns[name] = tuple(_find(table, choice, where, name, c) for c in one.column)
            choice.reasons[name] = "as the mapping says"
    if given.run_column:
        choice.run = _find(table, choice, where, "run", given.run_column)
    taken = {i for columns in choice.columns.values() for i in columns}
    free = [
        h
        for h in headings
        if h.index not in taken and not {h.text, str(h.index + 1)} & set(given.ignore)
    ]
    groups: dict[str, list[Heading]] = {}
    for heading in free:
        if heading.quantity and heading.quantity not in choice.columns:
            groups.setdefault(heading.quantity, []).append(heading)
    for heading in groups.pop("run", [])[:1]:
        choice.run = choice.run if choice.run >= 0 else heading.index
    for name, several in groups.items():
        sure = [h for h in several if not h.loose]
        several = sure if sure and name not in _AVERAGED else several
        _take(table, choice, where, name, several)
    choose_by_unit(table, choice)
    _list_short(choice, given)
    list_left(choice, given, where)
    return choice


def _list_short(choice: Choice, given: LogMapping) -> None:
    """List columns that were read by a letter and a number, which may be a mere channel's."""
    for name, columns in choice.columns.items():
        text = choice.headings[columns[0]].text
        if name not in given.columns and _SHORT.match(text):
            words = (
                f"{quoted(text)} was read as it by its letter and number; if that is only a "
                f"channel's number, set ignore = [{quoted(text)}]"
            )
            choice.findings.append(Finding(QUANTITIES[name].words, words))


def _take(table: Table, choice: Choice, where: str, name: str, several: list[Heading]) -> None:
    """Take one of several headings that name the same quantity, or ask."""
    chosen, reason = several, "by its heading"
    if len(several) > 1 and name in ("torque", "power"):
        chosen, reason = _of_one_basis(several)
    if len(chosen) > 1 and name in _AVERAGED and len({h.unit for h in chosen}) == 1:
        choice.columns[name] = tuple(h.index for h in chosen)
        choice.reasons[name] = f"mean of {len(chosen)} columns that name it"
        return
    if len(chosen) > 1:
        fitting = [h for h in chosen if h.unit and factor(_bare_unit(name, h.unit), _kind(name))]
        chosen = fitting or chosen
    if len(chosen) > 1:
        plain = [h for h in chosen if "abs" in f"{h.text} {h.unit}".lower() or h.unit == "psia"]
        if len(plain) == 1:
            chosen, reason = plain, "it says that it is absolute"
    if len(chosen) > 1 and name == "plenum_temperature":
        nearer = [h for h in chosen if _NEAR_THE_ENGINE & set(words_of_heading(h.text))]
        chosen, reason = (nearer, "it is nearest the engine") if nearer else (chosen, reason)
    if len(chosen) == 2 and QUANTITIES[name].kind == "pressure":
        absolute = _one_barometer_apart(table, chosen)
        if absolute is not None:
            other = next(h for h in chosen if h is not absolute)
            choice.agreed.add(other.index)
            chosen = [absolute]
            reason = f"it lies a barometer above {quoted(other.text)} throughout"
            choice.absolute[name] = reason
    if len(chosen) > 1 and all(table.same(h.index, chosen[0].index) for h in chosen[1:]):
        words = f"{quoted(chosen[0].text)} stands {len(chosen)} times with the same readings"
        choice.findings.append(Finding("duplicate columns", words + "; the first was read"))
        chosen = chosen[:1]
    if len(chosen) > 1 and _agree(table, name, chosen):
        choice.agreed |= {h.index for h in chosen[1:]}
        reason = f"{' and '.join(quoted(h.text) for h in chosen)} agree"
        chosen = chosen[:1]
    if len(chosen) > 1:
        numbers = " or ".join(f"{h.index + 1} ({h.text})" for h in chosen)
        rule = "be told by the mapping"
        hint = f"set columns.{name}.column to one of the columns {numbers}"
        choice.questions.append(refusal(where, f"columns.{name}.column", "not clear", rule, hint))
        return
    choice.columns[name] = (chosen[0].index,)
    choice.reasons[name] = reason


def _one_barometer_apart(table: Table, pair: list[Heading]) -> Heading | None:
    """Return the absolute one of two pressures that lie a steady barometer apart."""
    readings = []
    for heading in pair:
        scale = factor(_bare_unit("plenum_pressure", heading.unit), "pressure_difference")
        if scale is None:
            return None
        readings.append(table.numbers[heading.index].values * scale[0])
    apart = readings[0] - readings[1]
    apart = apart[np.isfinite(apart)]
    if apart.size < 10:
        return None
    low, middle, high = (float(v) for v in np.percentile(np.abs(apart), (5, 50, 95)))
    steady = high - low < 0.02 * middle and np.ptp(np.sign(apart)) == 0.0
    if not steady or not 68e3 < middle < 107e3:
        return None
    return pair[0] if float(np.median(apart)) > 0.0 else pair[1]


def _agree(table: Table, name: str, several: list[Heading]) -> bool:
    """Return whether columns hold the same readings, each in the unit of its heading."""
    pressure = _kind(name) == "pressure_difference"
    if pressure and len({pressure_reading(h.unit)[1] for h in several}) > 1:
        return False
    readings = []
    for heading in several:
        scale = factor(_bare_unit(name, heading.unit), _kind(name)) if heading.unit else None
        if scale is None:
            return False
        readings.append((table.numbers[heading.index].values + scale[1]) * scale[0])
    with np.errstate(invalid="ignore"):
        size = float(np.nanmax(np.abs(readings[0]))) if np.isfinite(readings[0]).any() else 0.0
        off = np.abs(np.array(readings[1:]) - readings[0])
    read = off[np.isfinite(off)]
    return bool(read.size and float(np.percentile(read, 98)) < 4e-3 * size)


def _kind(name: str) -> str:
    kind = QUANTITIES[name].kind
    return "pressure_difference" if kind in ("pressure", "barometer") else kind


def _bare_unit(name: str, unit: str) -> str:
    pressure = QUANTITIES[name].kind in ("pressure", "barometer")
    return pressure_reading(unit)[0] if pressure else unit


def _of_one_basis(several: list[Heading]) -> tuple[list[Heading], str]:
    """Return the observed readings where there are any, else those of the first known standard."""
    for basis in ("observed", "sae_j1349", "std_29_92", "iso_1585", ""):
        fitting = [h for h in several if h.basis == basis]
        if fitting:
            others = ", ".join(h.text for h in several if h not in fitting)
            return (
                fitting,
                f"the {basis or 'unmarked'} one; not {others}" if others else "by its heading",
            )
    return several, "by its heading"


def _find(table: Table, choice: Choice, where: str, name: str, wanted: str | int) -> int:
    """Return the number of the column that the mapping names."""
    field_name = f"columns.{name}.column"
    if isinstance(wanted, int):
        if not 1 <= wanted <= len(table.headings):
            rule = f"be from 1 to {len(table.headings)}"
            raise refusal(where, field_name, str(wanted), rule)
        return wanted - 1
    texts = [h.text for h in choice.headings]
    places = [i for i, text in enumerate(texts) if text == wanted]
    plain = wanted.strip().lower()
    places = places or [i for i, text in enumerate(texts) if text.strip().lower() == plain]
    if not places and wanted.strip().isdecimal():
        return _find(table, choice, where, name, int(wanted))
    if not places:
        hint = suggestion(wanted, texts) or "the headings are " + ", ".join(filter(None, texts))
        raise refusal(where, field_name, quoted(wanted), "be a heading of the log", hint)
    if not all(table.same(i, places[0]) for i in places[1:]):
        numbers = " or ".join(str(i + 1) for i in places)
        rule = "be the number of a column, for the heading stands more than once"
        raise refusal(where, field_name, quoted(wanted), rule, f"write {numbers}")
    return places[0]
