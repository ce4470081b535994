"""From values with units, as typed, to the values of the core, with refusals by path."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from ..base.errors import InputError, quoted, refusal, suggestion
from ..units.convert import KINDS, to_si
from ..units.tables import SI_KINDS


def si(value: Any, kind: str, where: str, field: str) -> float:
    """Return one value in SI: a text with its unit, a quantity, or a number that is SI already."""
    return to_si(value, kind, where=where, field=field, unit=KINDS[kind].si_unit or None)


def many(values: Any, kind: str, where: str, field: str) -> Any:
    """Return a row of values in SI; one value stays one number."""
    if hasattr(values, "magnitude") and hasattr(values, "units"):
        values = values if np.ndim(values.magnitude) == 0 else list(values)
    if isinstance(values, str) or not isinstance(values, Sequence | np.ndarray):
        return si(values, kind, where, field)
    if not len(values):
        raise refusal(where, field, "[]", "hold at least one value")
    return np.array([si(v, kind, where, f"{field} ({i})") for i, v in enumerate(values, 1)])


def kind_of_field(station: Any, name: str) -> str:
    """Return the quantity kind of a field of a core class."""
    if name == "depression":
        return "pressure_difference"
    unit = next(u for n, u, *_ in station.fields() if n == name)
    return SI_KINDS.get(unit, "dimensionless")


def checked(station: Any, name: str, value: Any, where: str) -> float:
    """Return a field's value in SI, or refuse one outside the range the core gives it."""
    number = si(value, kind_of_field(station, name), where, name)
    low, high = next((r[2], r[3]) for r in station.fields() if r[0] == name)
    if not low <= number <= high:
        unit = next(r[1] for r in station.fields() if r[0] == name)
        rule = f"be between {low:.6g} and {high:.6g} {unit}"
        raise refusal(where, name, quoted(value), rule)
    return number


def table(given: Any, where: str, known: Sequence[str]) -> dict[str, Any]:
    """Return a mapping whose keys are all known, or refuse it."""
    if not isinstance(given, Mapping):
        raise refusal("", where, quoted(given), f"be a mapping with {', '.join(known)}")
    for name in given:
        if name not in known:
            hint = suggestion(str(name), list(known)) or f"the keys are {', '.join(known)}"
            raise refusal(where, str(name), quoted(given[name]), "be a key that is known", hint)
    return dict(given)


def made(station: Any, given: Mapping[str, Any], where: str, **parts: Any) -> Any:
    """Return a core value from typed numbers and finished parts, refused under its path."""
    names = [name for name, *_ in station.fields()]
    values = {
        name: many(value, kind_of_field(station, name), where, name)
        for name, value in given.items()
        if name in names
    }
    return told(where, station, **values, **parts)


def told(where: str, maker: Any, *arguments: Any, **named: Any) -> Any:
    """Call the core; what it refuses is told under the path of what was typed."""
    try:
        return maker(*arguments, **named)
    except InputError as error:
        lines = [f"{where}: {line.partition(': ')[2]}" for line in str(error).split("\n")]
        raise InputError("\n".join(lines)) from None


def fields_of(station: Any) -> list[str]:
    """Return the names of a core class's numbers."""
    return [name for name, *_ in station.fields()]


def need(given: Mapping[str, Any], where: str, *names: str) -> None:
    """Refuse a mapping that lacks one of these keys."""
    for name in names:
        if name not in given:
            raise refusal(where, name, "missing", "be given")


def frozen(value: Any) -> Any:
    """Return a copy of nested mappings and rows that nothing outside can change."""
    from types import MappingProxyType

    if isinstance(value, Mapping):
        return MappingProxyType({k: frozen(v) for k, v in value.items()})
    if isinstance(value, np.ndarray | list):
        return tuple(value.tolist() if isinstance(value, np.ndarray) else value)
    return value


def thawed(value: Any) -> Any:
    """Return what `frozen` made as plain mappings, which can be pickled."""
    return {k: thawed(v) for k, v in value.items()} if isinstance(value, Mapping) else value
