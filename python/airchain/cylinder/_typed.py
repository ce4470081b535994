"""Conditions with units, as typed, and what the core refuses of them, by the argument's name."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, ParamSpec, TypeAlias, TypeVar

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError, quoted, refusal, suggestion, told_as
from ..typed.keys import HasFields
from ..typed.place import Typed
from ..units.convert import KINDS, is_quantity, to_si

Made = TypeVar("Made")
Given = ParamSpec("Given")

#: One number for all points, or one for each.
Values: TypeAlias = float | NDArray[np.float64]


def si(value: Typed, kind: str, where: str, field: str, bare: bool = True) -> float:
    """Return one value in SI: a text with its unit, a quantity, or a number that is SI already.

    Without `bare` a number must have its unit.
    """
    unit = (bare and KINDS[kind].si_unit) or None
    return to_si(value, kind, where=where, field=field, unit=unit)


def many(values: Typed, kind: str, where: str, field: str, bare: bool = True) -> Values:
    """Return a row of values in SI; one value stays one number."""
    if is_quantity(values):
        values = values if np.ndim(values.magnitude) == 0 else list(values)
    if isinstance(values, str) or not isinstance(values, Sequence | np.ndarray):
        return si(values, kind, where, field, bare)
    if not len(values):
        raise refusal(where, field, "[]", "hold at least one value")
    row = [si(value, kind, where, f"{field} ({i})", bare) for i, value in enumerate(values, 1)]
    return np.array(row)


def table(given: Typed, where: str, known: Sequence[str]) -> dict[str, Typed]:
    """Return a mapping whose keys are all known, or refuse it."""
    if not isinstance(given, Mapping):
        raise refusal("", where, quoted(given), f"be a mapping with {', '.join(known)}")
    for name in given:
        if name not in known:
            hint = suggestion(str(name), list(known)) or f"the keys are {', '.join(known)}"
            raise refusal(where, str(name), quoted(given[name]), "be a key that is known", hint)
    return dict(given)


def told(
    where: str, maker: Callable[Given, Made], *arguments: Given.args, **named: Given.kwargs
) -> Made:
    """Call the core; what it refuses is told under the path of what was typed."""
    try:
        return maker(*arguments, **named)
    except InputError as error:
        raise told_as(error, lambda one: one.replace(where=where)) from None


def fields_of(station: HasFields) -> list[str]:
    """Return the names of a core class's numbers."""
    return [name for name, *_ in station.fields()]


def need(given: Mapping[str, Typed], where: str, *names: str) -> None:
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
