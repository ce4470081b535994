"""What is said of a log's columns that nothing was read from: none is lost without a word."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ...base.errors import quoted, refusal
from ..finding import Finding
from ..quantities import QUANTITIES
from .headings import Heading, like_output, names_another
from .loose_headings import kind_of_unit, words_of_heading
from .mapping import LogMapping
from .word_list import word_set

if TYPE_CHECKING:
    from .choose import Choice

#: Words of columns that every logger has and that are no quantity of a pull.
_OTHER = word_set(
    "oil throttle gear gearbox volt volts voltage battery batt vbatt ubat ign ignition timing adv"
    " advance spark zw knock duty injector inj injection pw pulse trim target index sample point"
    " row record nr count counter marker mark comment note date day gps lat lon latitude longitude"
    " altitude accel vehicle road wheel vss fan pump status flag mode error warning cam vvt angle"
    " bsfc tps load lap distance sector valve wastegate dwell sync rate tyre clutch brake"
    " i id event frame logger bremse marche gang differential trans transmission cf factor kmh"
    " correction corrfact corr"
)
_OTHER_PRESSURES = frozenset({"fuel", "oil", "coolant", "crankcase", "brake", "rail"})
_MOST_NAMED = 12


def list_left(choice: Choice, given: LogMapping, where: str) -> None:
    """List what nothing was read from; ask where torque and power are only among those."""
    used = {i for columns in choice.columns.values() for i in columns} | {choice.run}
    left = [
        h
        for h in choice.headings
        if h.text
        and h.index not in used | choice.agreed
        and not {h.text, str(h.index + 1)} & set(given.ignore)
    ]
    output = [h for h in left if like_output(h.text)]
    asked = any("torque" in str(q) or "power" in str(q) for q in choice.questions)
    unclear = [h for h in output if not names_another(h.text)]
    if unclear and not asked and not {"torque", "power"} & choice.columns.keys():
        hint = f"set columns.torque.column = {quoted(unclear[0].text)} or columns.power.column, "
        hint += f"or leave them out: ignore = [{', '.join(quoted(h.text) for h in unclear)}]"
        shown = ", ".join(quoted(h.text) for h in unclear)
        rule = "be told by the mapping, for it looks like torque or power"
        choice.questions.append(refusal(where, "columns.torque.column", shown, rule, hint))
    elif output:
        words = f"{_named(output)} looks like torque or power and was not used"
        choice.findings.append(Finding("unused columns", words))
    others = [h for h in left if h not in output and not _is_other(h)]
    beside = [h for h in others if h.quantity in choice.columns]
    for h in beside:
        taken = choice.headings[choice.columns[h.quantity][0]].text
        words = f"{quoted(h.text)} was not read, for {quoted(taken)} tells {_of(h.quantity)}"
        choice.findings.append(Finding("unused columns", words))
    others = [h for h in others if h not in beside]
    if others:
        words = f"{_named(others)} could not be told and was not read; name it in the mapping, such"
        words += " as columns.plenum_pressure.column, or leave it out with ignore"
        choice.findings.append(Finding("unused columns", words))


def _of(name: str) -> str:
    return QUANTITIES[name].words if name in QUANTITIES else name


def _named(several: list[Heading]) -> str:
    shown = ", ".join(quoted(h.text) for h in several[:_MOST_NAMED])
    more = len(several) - _MOST_NAMED
    return f"{shown} and {more} more" if more > 0 else shown


def _is_other(heading: Heading) -> bool:
    """Return whether a column plainly holds what is no quantity of a pull."""
    if names_another(heading.text):
        return True
    words = set(words_of_heading(heading.text))
    kind = kind_of_unit(heading.unit)
    if words & _OTHER_PRESSURES and (words & {"press", "temp", "p", "t"} or kind == "pressure"):
        return not words & {"coolant"} or "press" in words
    return bool(words & _OTHER) and kind not in ("torque", "power")
