"""Which column of a log is which quantity: by the mapping given, else by its headings."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...base.errors import InputError, quoted, refusal, suggestion
from ..finding import Finding
from .headings import Heading, heading_of
from .mapping import LogMapping
from .table import Needed, Table

_FACTORS = ("cf", "corr factor", "correction factor", "correction", "corr fact")
_AVERAGED = ("exhaust_temperature", "lambda")


@dataclass
class Choice:
    """Columns by quantity, with the reason of each; what is left over, and what must be asked."""

    headings: list[Heading]
    columns: dict[str, tuple[int, ...]] = field(default_factory=dict)
    reasons: dict[str, str] = field(default_factory=dict)
    run: int = -1
    questions: list[InputError] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @property
    def unused(self) -> list[str]:
        """Headings that nothing was read from."""
        used = {i for columns in self.columns.values() for i in columns} | {self.run}
        return [h.text for h in self.headings if h.text and h.index not in used]


def needed(given: LogMapping) -> Needed:
    """Return which columns are needed: those a mapping names, and those whose headings tell."""
    named = {c for one in given.columns.values() for c in one.column} | {given.run_column}
    texts = {c.strip().lower() for c in named if isinstance(c, str)}

    def of(headings: list[str], units: list[str]) -> list[int]:
        return [
            i
            for i, (text, unit) in enumerate(zip(headings, units, strict=True))
            if heading_of(text, i, unit).quantity
            or text.strip().lower() in texts
            or i + 1 in named
            or is_factor(text)
        ]

    return of


def is_factor(heading: str) -> bool:
    """Return whether a heading names the factor of a power correction."""
    return heading.lower().replace("_", " ").strip() in _FACTORS


def choose(table: Table, given: LogMapping, header: int) -> Choice:
    """Return which columns are read; `header` is the line of the headings, for refusals."""
    headings = [
        heading_of(text, i, unit)
        for i, (text, unit) in enumerate(zip(table.headings, table.units, strict=True))
    ]
    made = Choice(headings)
    where = f"{table.name}:{header}"
    for name, one in given.columns.items():
        if one.column:
            made.columns[name] = tuple(_find(table, made, where, name, c) for c in one.column)
            made.reasons[name] = "as the mapping says"
    if given.run_column:
        made.run = _find(table, made, where, "run", given.run_column)
    taken = {i for columns in made.columns.values() for i in columns}
    free = [h for h in headings if h.index not in taken and h.text not in given.ignore]
    groups: dict[str, list[Heading]] = {}
    for heading in free:
        if heading.quantity and heading.quantity not in made.columns:
            groups.setdefault(heading.quantity, []).append(heading)
    for heading in groups.pop("run", [])[:1]:
        made.run = made.run if made.run >= 0 else heading.index
    for name, several in groups.items():
        _take(table, made, where, name, several)
    return made


def _take(table: Table, made: Choice, where: str, name: str, several: list[Heading]) -> None:
    """Take one of several headings that name the same quantity, or ask."""
    chosen, reason = several, "by its heading"
    if len(several) > 1 and name in ("torque", "power"):
        chosen, reason = _of_one_basis(several)
    if len(chosen) > 1 and name in _AVERAGED and len({h.unit for h in chosen}) == 1:
        made.columns[name] = tuple(h.index for h in chosen)
        made.reasons[name] = f"mean of {len(chosen)} columns that name it"
        return
    if len(chosen) > 1:
        plain = [h for h in chosen if "abs" in f"{h.text} {h.unit}".lower() or h.unit == "psia"]
        if len(plain) == 1:
            chosen, reason = plain, "it says that it is absolute"
    if len(chosen) > 1 and all(table.same(h.index, chosen[0].index) for h in chosen[1:]):
        words = f"{quoted(chosen[0].text)} stands {len(chosen)} times with the same readings"
        made.findings.append(Finding("duplicate columns", words + "; the first was read"))
        chosen = chosen[:1]
    if len(chosen) > 1:
        numbers = " or ".join(f"{h.index + 1} ({h.text})" for h in chosen)
        rule = "be told by the mapping"
        hint = f"set columns.{name}.column to one of the columns {numbers}"
        made.questions.append(refusal(where, f"columns.{name}.column", "not clear", rule, hint))
        return
    made.columns[name] = (chosen[0].index,)
    made.reasons[name] = reason


def _of_one_basis(several: list[Heading]) -> tuple[list[Heading], str]:
    """Return the observed readings where there are any, else those of the first known standard."""
    for basis in ("observed", "sae_j1349", "std_29_92", "iso_1585", ""):
        found = [h for h in several if h.basis == basis]
        if found:
            others = ", ".join(h.text for h in several if h not in found)
            return (
                found,
                f"the {basis or 'unmarked'} one; not {others}" if others else "by its heading",
            )
    return several, "by its heading"


def _find(table: Table, made: Choice, where: str, name: str, wanted: str | int) -> int:
    """Return the number of the column that the mapping names."""
    field_name = f"columns.{name}.column"
    if isinstance(wanted, int):
        if not 1 <= wanted <= len(table.headings):
            rule = f"be from 1 to {len(table.headings)}"
            raise refusal(where, field_name, str(wanted), rule)
        return wanted - 1
    texts = [h.text for h in made.headings]
    found = [i for i, text in enumerate(texts) if text == wanted]
    found = found or [i for i, t in enumerate(texts) if t.strip().lower() == wanted.strip().lower()]
    if not found:
        hint = suggestion(wanted, texts) or "the headings are " + ", ".join(filter(None, texts))
        raise refusal(where, field_name, quoted(wanted), "be a heading of the log", hint)
    if not all(table.same(i, found[0]) for i in found[1:]):
        numbers = " or ".join(str(i + 1) for i in found)
        rule = "be the number of a column, for the heading stands more than once"
        raise refusal(where, field_name, quoted(wanted), rule, f"write {numbers}")
    return found[0]
