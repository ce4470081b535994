"""What a unit text means: trade spellings, gauge against absolute, and pint for the rest."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import TYPE_CHECKING

from ..base.errors import quoted, suggestion
from .tables import ABSOLUTE_KINDS, FACTORS, KINDS, SPELLINGS, SPELLINGS_BY_DIMENSION, Factor, Kind

if TYPE_CHECKING:
    import pint

_PRESSURE_READING = re.compile(
    r"(psi|bar|mbar|Pa|hPa|kPa|MPa|atm|inHg|mmHg|inH2O|kgf/cm\^2)"
    r"\s*\(?(?:(absolute|abs|a)|(gauge|gage|g|boost|relative|rel|vacuum|vac)|(differential|diff|d))\)?",
    re.IGNORECASE,
)
# What remains of a unit text after these are taken out makes it no unit: pint would evaluate any
# arithmetic it finds, such as a tower of powers.
_UNIT_PIECES = re.compile(r"[A-Za-z_%µμΩ][A-Za-z0-9_%]*(?:\^\(?-?[1-9]\)?)?|\b1(?= ?/)|[ */()]")
_LONGEST_UNIT = 60


class UnitRefusedError(Exception):
    """A unit cannot serve a kind; carries the rule and the hint of the refusal to come."""

    def __init__(self, rule: str, hint: str = "") -> None:
        super().__init__(rule)
        self.rule = rule
        self.hint = hint


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[float]:
    """Return the package's pint registry: pint's own units and those of ``units_trade.txt``."""
    from importlib.resources import as_file, files

    import pint

    pint_registry: pint.UnitRegistry[float] = pint.UnitRegistry(on_redefinition="ignore")
    with as_file(files(__package__) / "units_trade.txt") as path:
        pint_registry.load_definitions(path)
    return pint_registry


def _normalise(unit: str) -> str:
    """Return `unit` with typographic and trade variants of the same writing made one."""
    text = unit.strip()
    for old, new in (
        ("²", "^2"),
        ("³", "^3"),
        ("**", "^"),
        ("·", " "),
        ("⋅", " "),
        ("°", "deg"),
        ("Δ", "delta_"),
        (" per ", "/"),
    ):
        text = text.replace(old, new)
    text = re.sub(r"(?<=[A-Za-z])-(?=[A-Za-z])", " ", text)  # lb-ft
    text = re.sub(r"\.(?=\s|/|$)", "", text)  # cu. in.
    text = re.sub(r"\s*([/*^])\s*", r"\1", re.sub(r"\s+", " ", text)).strip()
    text = re.sub(
        r"\b(deg|delta) (?=\w)", lambda m: f"{m[1]}{'_' if m[1] == 'delta' else ''}", text
    )
    return re.sub(r"(?<=[A-Za-z])([234])(?![A-Za-z0-9_])", r"^\1", text)  # in3


@lru_cache(maxsize=1)
def _any_case() -> dict[str, str]:
    """Return lower-case spellings that stay clear: RPM is rpm, but mPa and MPa differ."""
    clear = [*FACTORS, *SPELLINGS]
    return {
        name.lower(): name
        for name in clear
        if len(name) > 1 and name[0] not in "mM" and name not in ("PS", "Nm")
    }


def _spelling(text: str, dimension: str = "") -> str:
    """Return the name in `FACTORS` for `text`, or `text` itself."""
    if text not in FACTORS and text not in SPELLINGS:
        text = _any_case().get(text.lower(), text)
    text = SPELLINGS.get(text, text)
    return SPELLINGS_BY_DIMENSION.get(dimension, {}).get(text, text)


@lru_cache(maxsize=512)
def known_unit(unit: str) -> bool:
    """Return whether `unit` is a common one, told without pint; an empty text is none."""
    text = _normalise(unit)
    by_kind = {name for row in SPELLINGS_BY_DIMENSION.values() for name in row}
    return bool(
        text
        and (_spelling(text) in FACTORS or text in by_kind or _PRESSURE_READING.fullmatch(text))
    )


@lru_cache(maxsize=512)
def pressure_reading(unit: str) -> tuple[str, str]:
    """Return the bare unit of a pressure, and absolute, gauge, vacuum or nothing, as it says."""
    text = _spelling(_normalise(unit), "pressure")
    reading = _PRESSURE_READING.fullmatch(text)
    if reading is None:
        return text, ""
    bare, absolute, gauge, _ = reading.groups()
    word = "absolute" if absolute else "gauge" if gauge else ""
    if gauge and gauge.lower().startswith("vac"):
        word = "vacuum"
    return _spelling(bare, "pressure"), word


@lru_cache(maxsize=512)
def factor_of(unit: str, kind: str) -> Factor:
    """Return the factor that takes `unit` to the SI unit of `kind`."""
    row = KINDS[kind]
    text = _spelling(_normalise(unit), row.dimension)
    if row.dimension == "pressure":
        text = _pressure_unit(text, kind)
    if row.dimension == "temperature" and text.startswith("delta_"):
        if kind == "temperature":
            raise UnitRefusedError("", "this is the unit of a difference")
        text = _spelling(text.removeprefix("delta_"), row.dimension)
    factor = FACTORS.get(text)
    if factor is None:
        scale, offset, base = _pint_factor(text, row)
        if base != _base_unit(row.si_unit):
            hint = "write rpm; 1 Hz would be 60 rpm" if base == "1 / second" else ""
            raise UnitRefusedError("", hint if row.dimension == "rotation" else "")
        factor = Factor(row.dimension, scale, offset)
    if factor.dimension != row.dimension:
        raise UnitRefusedError("")
    return factor._replace(offset=0.0) if kind == "temperature_difference" else factor


@lru_cache(maxsize=512)
def factor_of_any_kind(unit: str) -> Factor:
    """Return the factor from `unit` to SI, whatever it measures."""
    text = _spelling(_normalise(unit))
    reading = _PRESSURE_READING.fullmatch(text)
    if reading:
        text = _pressure_unit(text, "pressure")
    if text in FACTORS:
        return FACTORS[text]
    scale, offset, _ = _pint_factor(text, None)
    return Factor("", scale, offset)


@lru_cache(maxsize=512)
def same_dimension(unit: str, other: str) -> bool:
    """Return whether two units measure the same; False for what pint knows no dimension of."""
    ureg = registry()
    # Pint's parser lets errors of many kinds through on text that is no unit, "%" among them.
    try:
        one, two = (ureg.get_dimensionality(_normalise(text)) for text in (unit, other))
    except Exception:
        return False
    return bool(one == two)


def _pressure_unit(text: str, kind: str) -> str:
    """Return the bare unit of a pressure after checking absolute against gauge."""
    reading = _PRESSURE_READING.fullmatch(text)
    absolute, gauge, difference = reading.groups()[1:] if reading else (None, None, None)
    if kind in ABSOLUTE_KINDS:
        if gauge or difference:
            raise UnitRefusedError(
                "be an absolute pressure",
                "this is a gauge reading: add the barometer and write psia, kPa or inHg",
            )
        if text == "psi":
            raise UnitRefusedError(
                "say that it is absolute",
                "write psia; if it was read on a gauge, add the barometer first",
            )
    elif absolute:
        raise UnitRefusedError("", "psia, bara and the like are absolute")
    return _spelling(reading[1], "pressure") if reading else text


def _pint_factor(text: str, row: Kind | None) -> tuple[float, float, str]:
    """Return scale, offset and SI base unit of `text` as pint reads it."""
    if len(text) > _LONGEST_UNIT or not text or _UNIT_PIECES.sub("", text):
        raise _unknown(text, row)
    ureg = registry()
    # Pint's parser lets tokenizer and type errors through on text that is no unit.
    try:
        unit = ureg.parse_units(text)
        zero, one, two = (ureg.Quantity(x, unit).to_base_units() for x in (0.0, 1.0, 2.0))
    except Exception as error:
        names = getattr(error, "unit_names", text)
        raise _unknown(names if isinstance(names, str) else next(iter(names)), row) from None
    scale = one.magnitude - zero.magnitude
    if not abs(two.magnitude - one.magnitude - scale) <= 1e-9 * abs(scale):
        raise UnitRefusedError("", "logarithmic units are not taken")
    return scale, zero.magnitude / scale, str(one.units)


@lru_cache(maxsize=64)
def _base_unit(si_unit: str) -> str:
    """Return pint's name of the coherent base unit; unlike its dimension, it keeps the radian."""
    return str(registry().Quantity(1.0, si_unit).to_base_units().units)


def _unknown(name: str, row: Kind | None) -> UnitRefusedError:
    same = [u for u in [*FACTORS, *SPELLINGS] if row and _dimension_of(u) == row.dimension]
    near = suggestion(name, same) or suggestion(name, [*FACTORS, *SPELLINGS])
    hint = f"unknown unit {quoted(name)}" + (f", {near}" if near else "")
    return UnitRefusedError("" if row else "be a unit", hint)


def _dimension_of(unit: str) -> str:
    factor = FACTORS.get(SPELLINGS.get(unit, unit))
    return factor.dimension if factor else ""
