"""The chosen columns of a log in SI, each with the unit and footing it was read on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from ...base.errors import InputError, quoted, refusal
from ...units.convert import KINDS, to_si
from ...units.text import pressure_reading
from ..finding import Finding
from ..quantities import QUANTITIES
from .cells import numbers
from .choose import Choice
from .footing import GASOLINE_SCALE, Column, factor, looks_swapped, unit_by_size, units_of_product
from .headings import Heading
from .mapping import ColumnMap, LogMapping
from .pressures import Readings, reference_of
from .table import Table

_STANDING = 5.0  # rad/s: below it the engine is at rest
_RATIO_WORDS = ("afr", "a/f", "air fuel", "air/fuel")


@dataclass
class Converter:
    """Turns the cells of a table into SI, guessing what neither mapping nor log say."""

    table: Table
    choice: Choice
    given: LogMapping
    decimal: str
    header: int
    barometer: float
    maps: dict[str, ColumnMap] = field(default_factory=dict)
    raw: dict[str, Column] = field(default_factory=dict)
    columns: dict[str, Column] = field(default_factory=dict)
    questions: list[InputError] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def run(self) -> None:
        """Convert every chosen column; what cannot be told becomes a question."""
        for name, indices in self.choice.columns.items():
            self._read(name, indices)
        self._product_units()
        self._check_swap()
        first = ("engine_speed", "barometer")
        for name in sorted(self.maps, key=lambda n: n not in first):
            self._to_si(name)
        self.columns = {n: self.columns[n] for n in QUANTITIES if n in self.columns}

    def _read(self, name: str, indices: tuple[int, ...]) -> None:
        """Take the numbers of a column, and the unit as far as anything says it."""
        headings = [self.choice.headings[i] for i in indices]
        read = [self._numbers(h) for h in headings]
        values = [v for v, _ in read]
        with np.errstate(invalid="ignore"):
            raw = values[0] if len(values) == 1 else np.mean(values, axis=0)
        if np.isnan(raw).all():
            if name == "engine_speed":
                where = f"{self.table.name}:{self.table.lines[0]}"
                shown = f"{len(raw)} missing readings"
                raise refusal(where, f"column {quoted(headings[0].text)}", shown, "hold a speed")
            words = f"{quoted(headings[0].text)} holds no reading; it was left out"
            self.findings.append(Finding(QUANTITIES[name].words, words))
            return
        given = self.given.columns.get(name, ColumnMap())
        unit, reason = given.unit or headings[0].unit or read[0][1], self.choice.reasons[name]
        if given.unit:
            reason = "as the mapping says"
        elif not unit:
            unit, why = unit_by_size(name, raw)
            reason = why or reason
        self.raw[name] = raw
        self.maps[name] = ColumnMap(
            tuple(self._called(h) for h in headings), unit, given.reference, given.scale,
            given.density, reason,
        )  # fmt: skip

    def _called(self, heading: Heading) -> str | int:
        """Return a column's heading, or its number where the heading does not tell it."""
        alone = sum(h.text == heading.text for h in self.choice.headings) == 1
        return heading.text if heading.text and alone else heading.index + 1

    def _numbers(self, heading: Heading) -> tuple[Column, str]:
        cells = self.table.columns[heading.index]
        found = numbers(cells, self.decimal)
        if found.bad >= 0:
            hint = "is the delimiter or the decimal mark another one?" if not found.unit else ""
            where = f"{self.table.where(found.bad)}"
            name = f"column {heading.index + 1} {quoted(heading.text)}"
            raise refusal(where, name, quoted(str(cells[found.bad])), found.why, hint)
        return found.values, found.unit

    def _product_units(self) -> None:
        """Tell the unit of torque or power by the other."""
        both = [self.maps.get(n) for n in ("torque", "power", "engine_speed")]
        if any(m is None for m in both) or (self.maps["torque"].unit and self.maps["power"].unit):
            return
        turn = factor(self.maps["engine_speed"].unit, "speed")
        if turn is None:
            return
        speed = self.raw["engine_speed"] * turn[0]
        known = self.maps["torque"].unit, self.maps["power"].unit
        *units, why = units_of_product(self.raw["torque"], self.raw["power"], speed, *known)
        for name, unit in zip(("torque", "power"), units, strict=True):
            if unit and not self.maps[name].unit:
                self._change(name, unit=unit, reason=why)

    def _check_swap(self) -> None:
        if not {"torque", "power", "engine_speed"} <= self.raw.keys():
            return
        given = (self.given.columns.get(name) for name in ("torque", "power"))
        if any(one is not None and one.column for one in given):
            return  # the mapping has answered
        turn = factor(self.maps["engine_speed"].unit, "speed")
        speed = self.raw["engine_speed"] * (turn[0] if turn else np.nan)
        if looks_swapped(self.raw["torque"], self.raw["power"], speed):
            t, p = self.maps["torque"].column[0], self.maps["power"].column[0]
            rule = "be the column of torque"
            hint = (
                f"only with {quoted(t)} as power and {quoted(p)} as torque is power torque times "
                "speed; set columns.torque and columns.power in the mapping"
            )
            where = f"{self.table.name}:{self.header}"
            self.questions.append(refusal(where, "columns.torque.column", quoted(t), rule, hint))

    def _to_si(self, name: str) -> None:
        one, kind = self.maps[name], QUANTITIES[name].kind
        if name == "lambda":
            self._lambda(one)
        elif kind == "pressure":
            self._pressure(name, one)
        elif not one.unit and KINDS[kind].si_unit:
            self._ask(name, "unit", "not told", f"be {KINDS[kind].words}'s unit")
        else:
            self._plain(name, one, kind)

    def _plain(self, name: str, one: ColumnMap, kind: str) -> None:
        if kind == "barometer":
            one = self._change(name, unit=pressure_reading(one.unit)[0])
            kind = "pressure_difference"  # a barometer is absolute whatever its unit is called
        found = factor(one.unit, kind)
        if found is None and name == "fuel_flow" and factor(one.unit, "liquid_flow"):
            found = self._by_volume(one)
            if found is None:
                return
        if found is None:
            hint = "a volume does not tell its mass of air" if name == "air_flow" else ""
            rule = f"be a unit of {KINDS[kind].words}"
            self._ask(name, "unit", quoted(one.unit), rule, hint)
            return
        self.columns[name] = (self.raw[name] + found[1]) * found[0]

    def _by_volume(self, one: ColumnMap) -> tuple[float, float] | None:
        if not one.density:
            hint = 'such as "0.75 kg/L", for the log gives fuel by volume'
            self._ask("fuel_flow", "density", "not told", "be the fuel's density", hint)
            return None
        density = to_si(one.density, "density", where="mapping", field="columns.fuel_flow.density")
        return (factor(one.unit, "liquid_flow") or (np.nan, 0.0))[0] * density, 0.0

    def _lambda(self, one: ColumnMap) -> None:
        raw, text = self.raw["lambda"], str(one.column[0]).lower().replace("_", " ")
        read = raw[np.isfinite(raw)]
        ratio = any(w in f"{text} {one.unit.lower()}" for w in _RATIO_WORDS) or read.min() > 3.0
        scale = one.scale
        if ratio and not scale:
            if not (8.5 < np.median(read) < 20.0):
                hint = f"{read.min():g} to {read.max():g} is on no gasoline scale; lambda is the "
                hint += "reading over the stoichiometric ratio the logger was set to"
                self._ask("lambda", "scale", "not told", "be that stoichiometric ratio", hint)
                return
            scale = GASOLINE_SCALE
            why = (
                f"{read.min():g} to {read.max():g} are air-fuel ratios on the gasoline scale, "
                f"whatever the fuel; divided by {scale:g} as loggers do"
            )
            self._change("lambda", scale=scale, unit="", reason=why)
        elif scale:
            self._change("lambda", unit="")
        self.columns["lambda"] = raw / scale if scale else raw * 1.0

    def _pressure(self, name: str, one: ColumnMap) -> None:
        unit, said = pressure_reading(one.unit)
        found = factor(unit, "pressure_difference")
        if found is None:
            rule, shown = "be a unit of a pressure", quoted(one.unit) if one.unit else "not told"
            self._ask(name, "unit", shown, rule)
            return
        values = self.raw[name] * found[0]
        reference, why = one.reference, "as the mapping says"
        speed = self.columns.get("engine_speed", np.full(values.size, np.nan))
        barometer = self.columns.get("barometer", np.full(values.size, self.barometer))
        if not reference:
            resting = speed < _STANDING
            known = float(np.nanmean(barometer)) if np.isfinite(barometer).any() else np.nan
            heading = " ".join(map(str, one.column))
            found_out = Readings(name, heading, said, values, resting, known)
            reference, why = reference_of(found_out)
        if not reference:
            hint = "the log does not tell"
            self._ask(name, "reference", "not told", 'be "absolute" or "gauge"', hint)
            return
        self._change(name, unit=unit, reference=reference, reason=f"{one.reason}; {why}")
        if reference == "absolute":
            self.columns[name] = values
        elif not np.isfinite(barometer).any():
            self._ask_barometer(name)
        else:
            self.columns[name] = barometer + (values if reference == "gauge" else -values)

    def _ask_barometer(self, name: str) -> None:
        where = f"{self.table.name}:{self.header}"
        hint = f'{name} was read on a gauge; such as ambient.barometer = "29.6 inHg"'
        asked = refusal(where, "ambient.barometer", "not told", "be given in the mapping", hint)
        if str(asked) not in map(str, self.questions):
            self.questions.append(asked)

    def _ask(self, name: str, key: str, shown: str, rule: str, hint: str = "") -> None:
        where = f"{self.table.name}:{self.header}"
        column = " + ".join(map(str, self.maps[name].column))
        tail = f"column {quoted(column)}; set it in the mapping"
        hint = f"{hint}; {tail}" if hint else tail
        self.questions.append(refusal(where, f"columns.{name}.{key}", shown, rule, hint))

    def _change(self, name: str, **changes: Any) -> ColumnMap:
        self.maps[name] = replace(self.maps[name], **changes)
        return self.maps[name]


def weather_of(given: Mapping[str, str]) -> dict[str, tuple[float, str]]:
    """Return the weather that a mapping gives [SI] with its texts."""
    return {
        name: (to_si(text, QUANTITIES[name].kind, where="mapping", field=f"ambient.{name}"), text)
        for name, text in given.items()
    }
