"""The chosen columns of a log in SI, each with the unit and footing it was read on."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Unpack

import numpy as np
from numpy.typing import NDArray

from ...base.errors import InputError, quoted, refusal
from ...units.convert import KINDS, to_si
from ...units.text import pressure_reading
from ..finding import Finding
from ..quantities import QUANTITIES
from .answering import set_it
from .cells import Numbers
from .choose import Choice
from .column_map import ColumnChanges, ColumnMap
from .footing import GASOLINE_SCALE, unit_by_size
from .headings import Heading
from .limits import middle, usual
from .load import Load, load_of
from .mapping import LogMapping
from .output_units import check_output
from .pressure_units import check_pressures
from .pressures import Readings, reference_of
from .probes import FEWEST_CYLINDERS, OF_A_CYLINDER, mean_of_probes
from .sentinels import sentinels
from .table import Table
from .unit_factor import factor
from .usual import check_flows, check_levels, check_rotor

Column = NDArray[np.float64]
_STANDING = 5.0  # rad/s: below it the engine is at rest
_RATIO_WORDS = ("afr", "a/f", "air fuel", "air/fuel")
#: A stoichiometric ratio that a heading tells, such as of gasoline or of alcohol.
_STOICHIOMETRIC = re.compile(
    r"(?:(?:stoich|scale)\D*?(?<![\d.])(1[0-7]|[6-9])(?:[.,](\d{1,3}))?"
    r"|(?:afr|a/f|gas|petrol|fuel ratio).*?(?<![\d.])(1[0-7]|[6-9])[.,](\d{1,3}))(?![\d.%])"
)
_RATIO_UNITS = ("", "afr", "a/f", "air/fuel", "ratio", "1", "lam", "la", "l", "kg/kg", "g/g", "1/1")
_NEXT_TO = {
    "plenum_pressure": "compressor_outlet_pressure",
    "compressor_outlet_pressure": "plenum_pressure",
}


@dataclass
class Converter:
    """Turns the numbers of a table into SI, guessing what neither mapping nor log say."""

    table: Table
    choice: Choice
    given: LogMapping
    header: int
    barometers: Column
    maps: dict[str, ColumnMap] = field(default_factory=dict)
    raw: dict[str, Column] = field(default_factory=dict)
    columns: dict[str, Column] = field(default_factory=dict)
    load: Load = field(default_factory=lambda: Load(*(np.zeros(0, dtype=bool),) * 3))
    questions: list[InputError] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    probes: dict[str, list[Column]] = field(default_factory=dict)

    def run(self) -> None:
        """Convert every chosen column; what cannot be told becomes a question."""
        self._find_load()
        for name, indices in self.choice.columns.items():
            self._read(name, indices)
        self._find_load()
        check_output(self)
        for name in sorted(self.maps, key=self._order):
            self._to_si(name)
            self.raw[name] = np.zeros(0) if name not in ("torque", "power") else self.raw[name]
        self.columns = {n: self.columns[n] for n in QUANTITIES if n in self.columns}
        check_levels(self)
        check_pressures(self)
        check_flows(self)
        check_rotor(self)

    def by_cylinder(self) -> dict[str, Column]:
        """Return what several probes of a quantity read [SI]: probes by rows of the log."""
        read = {}
        for name, raw in self.probes.items():
            one, values = self.maps[name], np.array(raw)
            scale = factor(one.unit, QUANTITIES[name].kind) if one.unit else (1.0, 0.0)
            if name in self.columns and scale is not None:
                ratio = float(one.scale) if one.scale else 1.0
                read[name] = (values + scale[1]) * scale[0] / ratio
        return read

    @property
    def where(self) -> str:
        """Line of the headings, which questions begin with."""
        return f"{self.table.name}:{max(self.header, 1)}"

    def _order(self, name: str) -> int:
        """Speed and barometer come first, and a pressure that says its footing before the rest."""
        if name in ("engine_speed", "barometer"):
            return 0
        one = self.maps[name]
        footing = one.reference or pressure_reading(one.unit)[1]
        return 1 if footing else 2

    @property
    def loaded(self) -> NDArray[np.bool_]:
        """Rows under load."""
        return self.load.loaded

    def _find_load(self) -> None:
        """Find the rows under load, by the log's own numbers of torque, power or speed."""
        size = len(self.table.lines)
        speed = self._first("engine_speed", size)
        torque = self._first("torque", size)
        torque = self._first("power", size) if np.isnan(torque).all() else torque
        self.load = load_of(torque, speed, self._first("time", size))

    def _first(self, name: str, size: int) -> Column:
        if name in self.raw:
            return self.raw[name]
        if name not in self.choice.columns:
            return np.full(size, np.nan)
        values = self.table.numbers[self.choice.columns[name][0]].values
        return np.where(values > 1e9, np.nan, values)

    def _read(self, name: str, indices: tuple[int, ...]) -> None:
        """Take the numbers of a column, and the unit as far as anything says it."""
        headings = [self.choice.headings[i] for i in indices]
        read = [self._numbers(h) for h in headings]
        values = [self._without_sentinels(name, one.values) for one in read]
        raw = values[0]
        if len(values) > 1:
            if len(values) >= FEWEST_CYLINDERS and name in OF_A_CYLINDER:
                self.probes[name] = [one.copy() for one in values]
            raw, dead = mean_of_probes(name, values, self.loaded)
            for number, one in enumerate(values):
                gone = np.isnan(one) & np.isfinite(raw)
                if gone.any() and number not in {n for n, _ in dead}:
                    words = f"{quoted(headings[number].text)} is missing in {gone.sum()} rows, "
                    words += "where the mean is of the others"
                    lines = tuple(self.table.lines[gone].tolist())
                    self.findings.append(Finding(QUANTITIES[name].words, words, lines))
            for number, why in dead:
                words = f"{quoted(headings[number].text)} {why}; it was left out of the mean"
                self.findings.append(Finding(QUANTITIES[name].words, words))
        if np.isnan(raw).all():
            self._empty(name, headings[0], raw)
            return
        given = self.given.columns.get(name, ColumnMap())
        unit, reason = given.unit or headings[0].unit or read[0].unit, self.choice.reasons[name]
        if given.unit:
            reason = "as the mapping says"
        elif name == "time" and read[0].clocks:
            unit, reason = "s", f"{reason}; its cells are clock times"
        elif not unit:
            unit, why = unit_by_size(name, raw)
            reason = why or reason
        self.raw[name] = raw
        other = headings[0].other_unit
        if other and not given.unit and not _same_unit(name, unit, other):
            where = f"columns.{name}.unit"
            shown = f"{quoted(other)} in the heading, {quoted(unit)} below it"
            how = set_it(where, shown)
            hint = f"column {quoted(headings[0].text)}; {how}"
            self.questions.append(refusal(self.where, where, shown, "be one of the two", hint))
        self.maps[name] = ColumnMap(
            tuple(self._called(h) for h in headings), unit, given.reference, given.scale,
            given.density, given.rounding, reason,
        )  # fmt: skip

    def _empty(self, name: str, heading: Heading, raw: Column) -> None:
        if name == "engine_speed":
            where = f"{self.table.name}:{self.table.lines[0]}"
            shown = f"{len(raw)} missing readings"
            raise refusal(where, f"column {quoted(heading.text)}", shown, "hold a speed")
        words = f"{quoted(heading.text)} holds no reading; it was left out"
        self.findings.append(Finding(QUANTITIES[name].words, words))

    def _without_sentinels(self, name: str, values: Column) -> Column:
        """Return the readings without numbers that mean no reading, which are listed."""
        for number, rows in sentinels(values).items():
            words = f"{number:g} stands for no reading in {rows.sum()} rows; taken as missing"
            lines = tuple(self.table.lines[rows].tolist())
            self.findings.append(Finding(QUANTITIES[name].words, words, lines))
            values = np.where(rows, np.nan, values)
        return values

    def _called(self, heading: Heading) -> str | int:
        """Return a column's heading, or its number where the heading does not tell it."""
        alone = sum(h.text == heading.text for h in self.choice.headings) == 1
        return heading.text if heading.text and alone else heading.index + 1

    def _numbers(self, heading: Heading) -> Numbers:
        read = self.table.numbers[heading.index]
        if read.bad >= 0:
            hint = f"if it stands for no reading, set missing = [{quoted(read.cell)}]"
            if read.unit or read.why.startswith("have"):
                hint = ""
            name = f"column {heading.index + 1} {quoted(heading.text)}"
            where = f"{self.table.name}:{read.bad}"
            self.questions.append(refusal(where, name, quoted(read.cell), read.why, hint))
        return read

    def _to_si(self, name: str) -> None:
        one, kind = self.maps[name], QUANTITIES[name].kind
        if name == "lambda":
            self._lambda(one)
        elif kind == "pressure":
            self._pressure(name, one)
        elif any(f"columns.{name}.unit =" in str(question) for question in self.questions):
            return
        elif not one.unit and KINDS[kind].si_unit:
            if name == "time":
                words = "its unit is not told; set columns.time.unit in the mapping to have it"
                self.findings.append(Finding("time", f"{words}; it was left out"))
                del self.maps[name]
                return
            such = " or ".join(map(quoted, dict.fromkeys((KINDS[kind].trade, KINDS[kind].metric))))
            self.ask(name, "unit", "not told", f"be {KINDS[kind].words}'s unit, such as {such}")
        else:
            self._plain(name, one, kind)

    def _plain(self, name: str, one: ColumnMap, kind: str) -> None:
        if kind == "barometer":
            one = self.change(name, unit=pressure_reading(one.unit)[0])
            kind = "pressure_difference"  # a barometer is absolute whatever its unit is called
        scale = factor(one.unit, kind)
        if scale is None and name == "fuel_flow" and factor(one.unit, "liquid_flow"):
            scale = self._by_volume(one)
            if scale is None:
                return
        if scale is None:
            hint = "a volume does not tell its mass of air" if name == "air_flow" else ""
            rule = f"be a unit of {KINDS[kind].words}, such as {quoted(KINDS[kind].metric)}"
            self.ask(name, "unit", quoted(one.unit), rule, hint)
            return
        # In place: a large log should not stand in memory twice.
        values = self.raw[name]
        values += scale[1]
        values *= scale[0]
        self.columns[name] = values

    def _by_volume(self, one: ColumnMap) -> tuple[float, float] | None:
        if not one.density:
            hint = 'such as "0.75 kg/L", for the log gives fuel by volume'
            self.ask("fuel_flow", "density", "not told", "be the fuel's density", hint)
            return None
        density = to_si(one.density, "density", where="mapping", field="columns.fuel_flow.density")
        return (factor(one.unit, "liquid_flow") or (np.nan, 0.0))[0] * density, 0.0

    def _lambda(self, one: ColumnMap) -> None:
        raw, text = self.raw["lambda"], str(one.column[0]).lower().replace("_", " ")
        level = middle("lambda", raw, self.loaded)
        ratio = any(w in f"{text} {one.unit.lower()}" for w in _RATIO_WORDS) or level > 3.0
        scale = one.scale
        told = _STOICHIOMETRIC.search(f"{text} {one.unit.lower()}")
        ratio_told = float(f"{told[1] or told[3]}.{told[2] or told[4] or 0}") if told else np.nan
        if not scale and usual("lambda", level / ratio_told) and told:
            scale = ratio_told
            why = f"divided by {scale:g}, the stoichiometric ratio that its heading tells"
            self.change("lambda", scale=scale, unit="", reason=f"{one.reason}; {why}")
        elif not scale and one.unit.lower().strip(".: ") not in _RATIO_UNITS:
            heading = quoted(" + ".join(map(str, one.column)))
            hint = f"{quoted(one.unit)} is no unit of lambda; set ignore = [{heading}], or "
            hint += "scale = 1 where it is lambda all the same"
            self.ask("lambda", "scale", "not told", "be 1, or the stoichiometric ratio", hint)
            return
        if ratio and not scale and level < 1.7 and not self.given.columns.get("lambda"):
            hint = f"{level:g} under load is lambda, not a ratio of air to fuel; scale = 1 says so"
            self.ask("lambda", "scale", "not told", "be 1, or the stoichiometric ratio", hint)
            return
        named = any(w in f"{text} {one.unit.lower()}" for w in _RATIO_WORDS)
        if ratio and not scale and not named and "lambda" in text:
            hint = f"{level:g} under load is a ratio of air to fuel, not lambda; such as 14.7"
            self.ask("lambda", "scale", "not told", "be the stoichiometric ratio", hint)
            return
        if ratio and not scale:
            if not 10.2 < level < 16.5:
                hint = f"{level:g} under load is on no gasoline scale; lambda is the "
                hint += "reading over the stoichiometric ratio the logger was set to, such as 14.7"
                self.ask("lambda", "scale", "not told", "be that stoichiometric ratio", hint)
                return
            scale = GASOLINE_SCALE
            why = (
                f"{level:g} under load is an air-fuel ratio on the gasoline scale, "
                f"whatever the fuel; divided by {scale:g} as loggers do"
            )
            self.change("lambda", scale=scale, unit="", reason=why)
        elif scale:
            self.change("lambda", unit="")
        self.columns["lambda"] = raw / scale if scale else raw * 1.0

    def _pressure(self, name: str, one: ColumnMap) -> None:
        unit, said = pressure_reading(one.unit)
        scale = factor(unit, "pressure_difference")
        if scale is None:
            rule = 'be a unit of a pressure, such as "psi" or "kPa"'
            shown = quoted(one.unit) if one.unit else "not told"
            self.ask(name, "unit", shown, rule)
            return
        values = self.raw[name] * scale[0]
        reference, why = one.reference, "as the mapping says"
        if not reference and name in self.choice.absolute:
            reference, why = "absolute", "so it is absolute"
        missing = np.full(values.size, np.nan)
        speed = self.columns.get("engine_speed", missing)
        barometer = self.columns.get("barometer", self.barometers)
        known = float(np.nanmedian(barometer)) if np.isfinite(barometer).any() else np.nan
        if not reference:
            heading = " ".join(map(str, one.column))
            near = self.columns.get(_NEXT_TO.get(name, ""), missing)
            readings = Readings(
                name, heading, said, values, self.load, speed < _STANDING, known, near
            )
            reference, why, against = reference_of(readings)
            if against:
                self._ask_reference(name, reference, against)
                return
        if not reference:
            self._ask_reference(name, "", "the log does not tell")
            return
        self.change(name, unit=unit, reference=reference, reason=f"{one.reason}; {why}")
        if reference == "absolute":
            self.columns[name] = values
        elif not np.isfinite(barometer).all() and "barometer" not in self.columns:
            self._ask_barometer(name)
        else:
            self.columns[name] = barometer + (values if reference == "gauge" else -values)

    def _ask_reference(self, name: str, said: str, hint: str) -> None:
        shown = f"{said} by its name" if said else "not told"
        self.ask(name, "reference", shown, 'be "absolute" or "gauge"', hint)

    def _ask_barometer(self, name: str) -> None:
        typed = 'ambient.barometer = "29.6 inHg"'
        hint = (
            f"{name} was read on a gauge; such as {typed}, or --set '{typed.replace(' = ', '=')}'"
        )
        asked = refusal(
            self.where, "ambient.barometer", "not told", "be given in the mapping", hint
        )
        if str(asked) not in map(str, self.questions):
            self.questions.append(asked)

    def ask(self, name: str, key: str, shown: str, rule: str, hint: str = "") -> None:
        """Add a question about a key of a quantity's column."""
        column = " + ".join(map(str, self.maps[name].column))
        field = f"columns.{name}.{key}"
        tail = f"column {quoted(column)}; {set_it(field, rule)}"
        hint = f"{hint}; {tail}" if hint else tail
        self.questions.append(refusal(self.where, field, shown, rule, hint))

    def change(self, name: str, **changes: Unpack[ColumnChanges]) -> ColumnMap:
        """Change what is said of a quantity's column."""
        self.maps[name] = replace(self.maps[name], **changes)
        return self.maps[name]


def _same_unit(name: str, one: str, other: str) -> bool:
    kind = QUANTITIES[name].kind
    if kind in ("pressure", "barometer"):
        said = {pressure_reading(unit)[1] for unit in (one, other)} - {""}
        units = [pressure_reading(unit)[0] for unit in (one, other)]
        kind = "pressure_difference"
        return len(said) < 2 and factor(units[0], kind) == factor(units[1], kind)
    return factor(one, kind) == factor(other, kind)


def weather_of(given: Mapping[str, str]) -> dict[str, tuple[float, str]]:
    """Return the weather that a mapping gives [SI] with its texts."""
    return {
        name: (to_si(text, QUANTITIES[name].kind, where="mapping", field=f"ambient.{name}"), text)
        for name, text in given.items()
    }
