"""A table of typed values: they are read in SI, and refused by the place they stand at."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import isfinite, pi
from typing import Any, NoReturn, TypeGuard, TypeVar

import numpy as np

from ..base.errors import InputError, Refusal, joined, quoted, refusal, suggestion, told_as
from ..units.convert import KINDS, NUMBER, is_quantity, to_si
from ..units.tables import FACTORS
from ..units.text import UnitRefusedError, factor_of_any_kind, same_dimension
from .keys import HasFields, Keys
from .place import KeyPath, NotedError, Place, Typed, dotted
from .ranges import range_rule
from .slips import likely_slip

Made = TypeVar("Made")

#: To what power a key goes into a field that was made of it.
_POWERS = {"diameter": 2, "bore": 2}


class Section:
    """One table: `keys` says what may stand in it; anything else is noted as refused at once."""

    def __init__(
        self, source: Place, path: KeyPath, keys: Keys, table: Typed, optional: bool = False
    ) -> None:
        self.source = source
        self.path = path
        self.keys = keys
        if table is None and optional:
            table = {}
        if table is None:
            self._refuse_path(path, "missing", "be given", f"write a table {source.name_of(path)}")
        if not isinstance(table, Mapping):
            self._refuse_path(path, quoted(table), "be a table", f"write {source.name_of(path)}")
        self.table: Mapping[str, Typed] = table
        #: Key that a field of the core was made of, where that is not its own.
        self.made_of: dict[str, str] = {}
        self._numbers: dict[str, float] = {}
        self.refused = {n for n in table if not source.attempt(self._fits, n, otherwise=False)}

    def _fits(self, name: str) -> bool:
        """Refuse a key that has no place here, or one value that does not fit its kind."""
        if name not in self.keys:
            hint = suggestion(name, list(self.keys)) or f"the keys are {', '.join(self.keys)}"
            self.refuse(name, f"be a key of {self.source.name_of(self.path)}", hint)
        kind = self.keys[name].kind
        if kind == "text":
            self.text(name)
        elif kind == "flag":
            self.flag(name)
        elif kind not in ("table", "tables"):
            typed = self.table[name]
            if not (isinstance(typed, Mapping) or _is_row(typed)):
                self.number(name)
        return True

    def has(self, name: str) -> bool:
        """Whether the key was typed."""
        return name in self.table

    def where(self, name: str) -> str:
        """``file:line`` of a key of this table."""
        return self.source.where((*self.path, name))

    def _refuse_path(self, path: KeyPath, value: str, rule: str, hint: str = "") -> NoReturn:
        raise refusal(self.source.where(path), dotted(path), value, rule, hint)

    def refuse(self, name: str, rule: str, hint: str = "") -> NoReturn:
        """Refuse a key; one that is not there as missing."""
        shown = "missing"
        if name in self.table:
            shown = quoted(_shown(self.table[name]))
            if isinstance(self.table[name], Mapping):
                shown = "{...}"
        self._refuse_path((*self.path, name), shown, rule, hint)

    def missing(self, name: str) -> NoReturn:
        """Refuse the table for want of a key."""
        key = self.keys[name]
        example = KINDS[key.kind].trade if key.kind in KINDS else ""
        hint = f'such as {name} = "... {example}"' if example else ""
        if key.choices:
            hint = f"it is one of {', '.join(key.choices)}"
        self.refuse(name, "be given", hint)

    def need(self, *names: str) -> None:
        """Refuse the table unless it has all of these keys; a misspelt one was refused already."""
        lost = [name for name in names if name not in self.table]
        if not lost:
            return
        strange = [name for name in self.table if name not in self.keys]
        misspelt = " ".join(suggestion(name, list(self.keys)) for name in strange)
        plain = [(name,) for name in lost if f'"{name}"' not in misspelt]
        self.source.every(self.missing, plain)
        raise NotedError

    def one_of(self, *names: str, needed: bool = False) -> str:
        """Return which one of several ways was typed, '' for none; two at once are refused."""
        given = [name for name in names if name in self.table]
        if len(given) > 1:
            hint = f"{given[0]} is given too; remove one of them"
            self.refuse(given[1], f"not stand beside {given[0]}", hint)
        if needed and not given:
            self.refuse(names[0], "be given", f"or {', or '.join(names[1:])}")
        return given[0] if given else ""

    def only_with(self, owner: str, *names: str) -> None:
        """Refuse keys that mean nothing as the table stands."""
        for name in names:
            if name in self.table:
                self.refuse(name, f"stand only with {owner}")

    def number(self, name: str) -> float:
        """Return a typed value in SI; the key must be there."""
        if name not in self._numbers:
            self.need(name)
            self._numbers[name] = self._to_si(self.table[name], name, "")
        return self._numbers[name]

    def get(self, name: str, otherwise: float) -> float:
        """Return a typed value in SI, or `otherwise` where it was not typed."""
        return self.number(name) if name in self.table else otherwise

    def numbers(self, name: str) -> list[float]:
        """Return a typed list in SI."""
        self.need(name)
        return self._list(self.table[name], name, "")

    def rows(self, name: str) -> list[list[float]]:
        """Return a typed list of lists in SI, all of one length."""
        self.need(name)
        typed = self.table[name]
        if not _is_row(typed) or not len(typed) or not _is_row(typed[0]):
            self.refuse(name, "be a list of rows", "such as [[0.95, 1.02], [0.93, 1.00]]")
        rows = [self._list(row, name, f", row {i}") for i, row in enumerate(typed, 1)]
        for i, row in enumerate(rows, 1):
            if len(row) != len(rows[0]):
                self.refuse(name, f"have rows of one length; row {i} has {len(row)} values")
        return rows

    def _list(self, typed: Typed, name: str, place: str) -> list[float]:
        if not _is_row(typed) or not len(typed):
            shown = dotted((*self.path, name)) + place
            raise refusal(self.where(name), shown, quoted(typed), "be a list of values")
        return [self._to_si(value, name, f"{place} ({i})") for i, value in enumerate(typed, 1)]

    def _to_si(self, typed: Typed, name: str, place: str) -> float:
        try:
            return self._converted(typed, name, "", "")
        except InputError:  # again with the line, which is dear to find
            shown = dotted((*self.path, name)) + place
            return self._converted(typed, name, self.where(name), shown)

    def _converted(self, typed: Typed, name: str, where: str, shown: str) -> float:
        key = self.keys[name]
        if key.kind == "count":
            whole = isinstance(typed, int | np.integer) and not isinstance(typed, bool)
            count = int(typed) if isinstance(typed, int | np.integer) else 0
            if not whole or not key.least <= count <= key.most:
                rule = f"be a whole number from {key.least} to {key.most}"
                raise refusal(where, shown, quoted(typed), rule)
            return count
        bare = self.source.bare_si
        if key.kind.startswith("si:"):
            if bare and isinstance(typed, float | int) and not isinstance(typed, bool):
                return to_si(typed, "dimensionless", where=where, field=shown)
            return _rare_to_si(typed, key.kind[3:], where, shown)
        unit = key.unit or (bare and KINDS[key.kind].si_unit) or None
        return key.factor * to_si(typed, key.kind, where=where, field=shown, unit=unit)

    def text(self, name: str, otherwise: str = "") -> str:
        """Return a typed text; a word out of the key's list where it has one."""
        typed = self.table.get(name, otherwise)
        if not isinstance(typed, str):
            self.refuse(name, "be text in quotes")
        choices = self.keys[name].choices
        if choices and name in self.table and typed not in choices:
            near = suggestion(typed, list(choices))
            self.refuse(name, f"be one of {', '.join(choices)}", near)
        return typed

    def flag(self, name: str) -> bool:
        """Return true or false; false where it was not typed."""
        typed = self.table.get(name, False)
        if not isinstance(typed, bool):
            self.refuse(name, "be true or false")
        return typed

    def area(self, needed: bool = False) -> dict[str, float]:
        """Return the flow area, typed as such or as diameter and count; empty for neither."""
        way = self.one_of("area", "diameter", needed=needed)
        if way == "diameter":
            count = self.get("count", 1) if "count" in self.keys else 1
            self.positive("diameter")
            self.made_of["area"] = "diameter"
            diameter = self.number("diameter")
            return {"area": 0.25 * pi * diameter * diameter * count}
        if "count" in self.keys:
            self.only_with("a diameter", "count")
        return {"area": self.number("area")} if way else {}

    def positive(self, *names: str) -> None:
        """Refuse values that a formula of this package would use and that are not above 0."""
        for name in names:
            known = name in self.table and name not in self.refused
            if known and not self.number(name) > 0.0:
                self.refuse(name, "be above 0")

    def in_range(self, station: HasFields, *names: str) -> None:
        """Refuse values that are outside the range of a core class's fields."""
        ranges = {field: (unit, low, high) for field, unit, low, high, _ in station.fields()}
        for name in names:
            if name in self.table and name not in self.refused:
                unit, low, high = ranges[self.keys[name].field]
                if not low <= self.number(name) <= high:
                    shown = "" if unit == "1" else f" {unit}"
                    key, typed = self.keys[name], self.table[name]
                    rule = range_rule(typed, key.kind, low, high, factor=key.factor)
                    self.refuse(name, rule or f"be between {low:g} and {high:g}{shown}")

    def fields(self, *station: HasFields) -> dict[str, float]:
        """Return the typed values by core field, only those of the stations named.

        Values refused when the table was read are left out; `make` refuses the whole then.
        """
        wanted = {name for one in station for name, *_ in one.fields()}
        values: dict[str, float] = {}
        for name in self.table:
            if name in self.refused:
                continue
            key = self.keys[name]
            if key.field not in wanted or key.kind in ("flag", "table", "text"):
                continue
            if key.field in values:
                self.refuse(name, "be given once", f"{key.field} follows from another key too")
            values[key.field] = self.number(name)
        return values

    def sub(self, name: str, keys: Keys, optional: bool = False) -> Section:
        """Return a table inside this one."""
        path = (*self.path, name)
        return Section(self.source, path, keys, self.table.get(name), optional)

    def tables(self, name: str) -> list[tuple[KeyPath, Mapping[str, Typed]]]:
        """Return the tables of a list, each with its path."""
        typed = self.table.get(name)
        if not _is_row(typed) or not typed or not all(isinstance(t, Mapping) for t in typed):
            self.refuse(name, "be a list of tables", f"write [[{dotted((*self.path, name))}]]")
        return [((*self.path, name, i), t) for i, t in enumerate(typed) if isinstance(t, Mapping)]

    def make(self, maker: Callable[..., Made], *arguments: Any, **named: Any) -> Made:
        """Call the core; what it refuses is told as a refusal of the typed key."""
        try:
            result = maker(*arguments, **named)
        except InputError as error:
            raise told_as(error, lambda one: self._located(one, maker, named)) from None
        except TypeError:
            if self.refused:  # what the core misses was refused when the table was read
                raise NotedError from None
            raise
        if self.refused:
            raise NotedError
        return result

    def _located(
        self, refused: Refusal, maker: Callable[..., object], named: Mapping[str, Any]
    ) -> Refusal:
        """What the core refused, as a refusal of the key that was typed, or of the table."""
        names = [name for name, key in self.keys.items() if refused.field in (key.field, name)]
        source = self.made_of.get(refused.field, "")
        typed = [name for name in (*names, source) if name in self.table]
        name = (typed or names or [""])[0]
        where, field = self.where(name), dotted((*self.path, name))
        if typed:
            shown, rule = quoted(_shown(self.table[name])), refused.rule
            if name == source:
                what = refused.field.replace("_", " ")
                rule = f"give a value of {what} that is {rule.removeprefix('be ')}"
                rule += f"; it gives {refused.value}"
            else:
                rule = self._range_as_typed(name, refused.field, maker, named) or rule
            hint = refused.hint or self._slip(name, refused.field, maker, named)
            return Refusal(where=where, field=field, value=shown, rule=rule, hint=hint)
        if names and refused.hint.startswith("it is missing"):
            hint = f"it is {refused.rule.removeprefix('be ')}" if refused.rule != "be given" else ""
            return Refusal(where=where, field=field, value="missing", rule="be given", hint=hint)
        return refused.replace(where=joined(self.source.begins(self.path), refused.where))

    def _range_as_typed(
        self, name: str, field: str, maker: Callable[..., object], named: Mapping[str, Any]
    ) -> str:
        """The range of a core field in the unit typed; empty where the value lies within it."""
        rows: Sequence[tuple[Any, ...]] = maker.fields() if isinstance(maker, HasFields) else ()
        for row_name, _, low, high, *_ in rows:
            value = named.get(field)
            if row_name != field or not isinstance(value, float) or low < value < high:
                continue

            def passes(bound: float) -> bool:
                return _taken(maker, named, field, bound)

            key = self.keys[name]
            typed = self.table[name]
            return range_rule(typed, key.kind, low, high, factor=key.factor, passes=passes)
        return ""

    def _slip(
        self, name: str, field: str, maker: Callable[..., object], named: Mapping[str, Any]
    ) -> str:
        """The likely slip: what the value would be in a unit taken for the one typed."""
        old = named.get(field)
        power = 1 if self.made_of.get(field) != name else _POWERS.get(name, 0)
        if self.keys[name].kind == "count" or not isinstance(old, float) or not power:
            return ""
        now = self.number(name)

        def passes(value: float) -> bool:
            meant = value if power == 1 else old * (value / now) ** power
            return _taken(maker, named, field, meant)

        return self.slip(name, passes)

    def slip(self, name: str, passes: Callable[[float], bool]) -> str:
        """Return what may have been meant by a value, by what would pass in SI; else ''."""
        typed = self.table[name]
        return likely_slip(typed, lambda other: self._converted(other, name, "", name), passes)


def _taken(
    maker: Callable[..., object], named: Mapping[str, Any], field: str, value: float
) -> bool:
    """Whether the core would take another value of a field."""
    try:
        maker(**{**named, field: value})
    except InputError as error:
        return all(one.field != field for one in error.refusals)
    except TypeError:  # another argument is missing, which was refused by itself
        return False
    return True


def _is_row(value: Any) -> TypeGuard[Sequence[Typed]]:
    """Whether a value is a list of values: a list, a tuple, an array, an array with a unit."""
    return isinstance(value, list | tuple) or np.ndim(getattr(value, "magnitude", value)) > 0


def _shown(value: Typed) -> Typed:
    if isinstance(value, np.generic | np.ndarray):
        plain: Typed = value.tolist()
        return plain
    return str(value) if is_quantity(value) else value


def _rare_to_si(typed: Typed, si_unit: str, where: str, field: str) -> float:
    """Convert a text whose unit has no quantity kind of its own."""
    example = f'be a number and its unit, such as "1 {si_unit}"'
    text = typed.strip() if isinstance(typed, str) else str(_shown(typed))
    number = NUMBER.match(text)
    unit = text[number.end() :].strip() if number else ""
    if number is None or not unit:
        raise refusal(where, field, quoted(_shown(typed)), example)
    scale = _plain_ratio(unit, si_unit)
    if scale is None:
        try:
            scale = factor_of_any_kind(unit).scale
            same = same_dimension(unit, si_unit)
        except UnitRefusedError as problem:
            rule = problem.rule or example
            raise refusal(where, field, quoted(text), rule, problem.hint) from None
        if not same:
            raise refusal(where, field, quoted(text), example)
    value = float(number[0]) * scale
    if not isfinite(value):
        raise refusal(where, field, quoted(text), "be finite")
    return value


def _plain_ratio(unit: str, si_unit: str) -> float | None:
    """Scale of one common unit over another ("deg/kPa"), for which pint need not be imported."""
    typed = [FACTORS.get(part.strip()) for part in unit.split("/")]
    wanted = [FACTORS.get(part) for part in si_unit.split("/")]
    if len(typed) != 2 or len(wanted) != 2:
        return None
    scales = []
    for one, other in zip(typed, wanted, strict=True):
        if one is None or other is None or one.dimension != other.dimension or one.offset:
            return None
        scales.append(one.scale)
    return scales[0] / scales[1]
