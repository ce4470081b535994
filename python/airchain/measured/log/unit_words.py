"""How loggers spell units, in several languages, as the units that they mean (no source)."""

from __future__ import annotations

import re
from functools import lru_cache

from ...units.text import known_unit
from .clocks import is_clock_unit

# In a log these are no nanometres, and a capital at the start of a millibar is no million.
_SPELLED = {
    "nm": "Nm", "ps": "PS", "mBar": "mbar", "mBAR": "mbar", "MBAR": "mbar", "NM": "Nm",
    "hPA": "hPa", "KPA": "kPa", "KPa": "kPa", "N-m": "Nm", "N-M": "Nm", "n-m": "Nm",
    "kpa": "kPa", "MPA": "MPa",
    "tr/min": "rpm", "t/min": "rpm", "giri/min": "rpm", "omw/min": "rpm", "varv/min": "rpm",
    "obr/min": "rpm", "ot/min": "rpm", "U/min": "rpm", "u/min": "rpm", "rev/min": "rpm",
    "CV": "PS", "cv": "PS", "ch": "PS", "pk": "PS", "hk": "PS", "KM": "PS", "pferdestarke": "PS",
    "m.kg": "kgf m", "mkg": "kgf m", "kgm": "kgf m", "kg.m": "kgf m", "kgfm": "kgf m",
    "kg m": "kgf m", "kgf.m": "kgf m", "kpm": "kgf m", "kgf-m": "kgf m", "kg-m": "kgf m",
    "kgf m": "kgf m", "m kg": "kgf m", "MS": "ms", "Ms": "ms",
}  # fmt: skip
_ANY_CASE = {
    "sec": "s", "secs": "s", "second": "s", "seconds": "s", "sek": "s", "deg f": "degF",
    "deg c": "degC", "deg. f": "degF", "deg. c": "degC", "degf": "degF", "degc": "degC",
    "degrees f": "degF", "degrees c": "degC", "celsius": "degC", "fahrenheit": "degF",
    "grad c": "degC", "grad": "degC", "msec": "ms", "rpms": "rpm", "1/min": "rpm", "min-1": "rpm",
    "horsepower": "hp", "bhp": "hp", "ft lb": "lb ft", "ft-lb": "lb ft", "ft.lb": "lb ft",
    "ft lbs": "lb ft", "ft-lbs": "lb ft", "lbs ft": "lb ft", "lbs-ft": "lb ft",
    "lbf.ft": "lb ft", "lb.ft": "lb ft", "ft.lbs": "lb ft", "ftlbs": "lb ft", "n.m": "N m",
    "ft/lbs": "lb ft", "ft/lb": "lb ft", "lbs/ft": "lb ft", "lb/ft": "lb ft",
    "ft. lbs": "lb ft", "ft. lb": "lb ft", "lb. ft": "lb ft", "mkp": "kgf m",
    "\u2109": "degF", "\u2103": "degC", "\u00ba c": "degC", "\u00bac": "degC",
    "\u00ba f": "degF", "\u00baf": "degF", "oc": "degC", "grad celsius": "degC", "upm": "rpm",
    "pk": "PS", "s": "s", "kg/cm2": "kgf/cm^2", "kg/cm\u00b2": "kgf/cm^2", "kp/cm2": "kgf/cm^2",
    "/min": "rpm", "kgf/cm2": "kgf/cm^2", "kgf/cm²": "kgf/cm^2", "kgf/cm^2": "kgf/cm^2",
    "kg/cm^2": "kgf/cm^2", "кгс/см²": "kgf/cm^2", "min\u207b\u00b9": "rpm",
    "min\u2212\u00b9": "rpm", "min^-1": "rpm",
    "1 min": "rpm", "rpm/min": "rpm", "revs/min": "rpm", "rev per min": "rpm", "r.p.m": "rpm",
    "revolutions per minute": "rpm", "umdr/min": "rpm", "tpm": "rpm", "ford/min": "rpm",
    "d/dk": "rpm", "dev/dak": "rpm", "rpm.": "rpm", "varv per minut": "rpm", "o/min": "rpm",
    "tours/min": "rpm", "trs/min": "rpm", "rot/min": "rpm", "r/m": "rpm", "omdr/min": "rpm",
    "1/minute": "rpm", "ot./min": "rpm", "obr./min": "rpm", "об/мин": "rpm",
    "мин-1": "rpm", "1/мин": "rpm", "转/分": "rpm", "н·м": "N m", "н*м": "N m", "нм": "N m",
    "н м": "N m", "кгс·м": "kgf m", "кгс*м": "kgf m", "кгс м": "kgf m", "квт": "kW", "л.с": "PS",
    "лс": "PS", "кпа": "kPa", "бар": "bar", "мбар": "mbar", "гпа": "hPa", "мм рт. ст": "mmHg",
    "мм рт.ст": "mmHg", "мм рт ст": "mmHg", "°с": "degC", "с": "s", "сек": "s", "мс": "ms",
    "кг/ч": "kg/h", "г/с": "g/s", "л/ч": "L/h", "кг/с": "kg/s", "кгс/см2": "kgf/cm^2",
    "ニュートンメートル": "N m", "秒": "s", "馬力": "PS", "千瓦": "kW",
    "lé": "PS", "kpaa": "kPa abs", "kpag": "kPa gauge", "kpa a": "kPa abs",
    "kpa g": "kPa gauge", "kpa_abs": "kPa abs", "hpaa": "hPa abs", "mbara": "mbar abs",
    "mbarg": "mbar gauge", "inhga": "inHg abs", "inhgabs": "inHg abs", "inhgg": "inHg gauge",
    "in.hg": "inHg", "in. hg": "inHg", "inches hg": "inHg", "in-hg": "inHg", "\"hg": "inHg",
    "mm hg": "mmHg", "mm-hg": "mmHg", "torr": "mmHg", "kpaabs": "kPa abs", "barabs": "bar abs",
    "kpagauge": "kPa gauge", "psi(a)": "psia", "psi(g)": "psig", "degs c": "degC",
    "degs f": "degF", "deg.c": "degC", "deg.f": "degF", "degcelsius": "degC",
    "gps": "g/s", "g/sec": "g/s", "gm/s": "g/s", "gr/s": "g/s", "gms/sec": "g/s",
    "lb/m": "lb/min", "lbs/m": "lb/min", "lbm/min": "lb/min", "lbm/hr": "lb/h",
    "lbm/h": "lb/h", "lbs/h": "lb/h", "lbs/hour": "lb/h", "lb/hour": "lb/h", "kg/std": "kg/h",
    "kg/u": "kg/h", "kg/ora": "kg/h", "kg/hour": "kg/h", "kgph": "kg/h", "kg per h": "kg/h",
    "l/hr": "L/h", "lph": "L/h", "ltr/h": "L/h", "lit/h": "L/h", "l/std": "L/h",
    "ccm/min": "cm^3/min", "foot pounds": "lb ft", "foot-pounds": "lb ft", "pound feet": "lb ft",
    "pound-feet": "lb ft", "ft lbf": "lb ft", "ft-lbf": "lb ft", "lbf-ft": "lb ft",
    "lbf·ft": "lb ft", "lb·ft": "lb ft", "lb'": "lb ft", "newton metre": "N m",
    "newton meter": "N m", "newton metres": "N m", "newton meters": "N m", "newtonmeter": "N m",
    "m.dan": "daN m", "dan.m": "daN m", "danm": "daN m", "dan m": "daN m", "mdan": "daN m",
    "kilowatt": "kW", "kilowatts": "kW", "cv din": "PS", "metric hp": "PS", "hp(m)": "PS",
    "psi abs": "psia", "percent": "%", "pct": "%", "prozent": "%", "per cent": "%",
}  # fmt: skip
_MEANT = frozenset({*_SPELLED.values(), *_ANY_CASE.values()})
_FOOTING = re.compile(r"(.+?)[ (_,]+(abs|absolute|rel|gauge|[ag])\)?$")
#: What turns so many times a minute, whatever a language calls it; not what flows.
_A_MINUTE = re.compile(
    r"(?:1|[^\W\d_]{1,6}\.?) ?/ ?(?:mi?n|perc|dk|dak|мин|minut[eao]?|minuto)\.?$", re.I
)
_FLOWS = re.compile(
    r"(?i)(?:kg|g|mg|lbs?|lbm|l|ltr|lit|liter|litre|m|cc|ccm|ml|gal|ft|cf|scf|nl|k|c|f|kj|j|psi|bar"
    r"|kpa|deg|кг|г|л|мл|t)\W"
)
_MANGLED = re.compile("[\u00c2\u00c3\u00e2\u00ce\u00d0\u00d1]")


def unmangled(text: str) -> str:
    """Return a text whose UTF-8 was once read as another encoding, as it was meant."""
    if not _MANGLED.search(text):
        return text
    for encoding in ("windows-1252", "latin-1"):
        try:
            return text.encode(encoding).decode("utf-8")
        except UnicodeError:
            continue
    return text


@lru_cache(maxsize=2048)
def meaning_of(unit: str) -> str:
    """Return a unit's text, empty for signs that mean a plain number."""
    unit = unmangled(unit)
    if unit.lower() in ("-", "--", "1", "lambda", "λ", "none", "n/a"):
        return ""
    if is_clock_unit(unit):
        return "s"
    plain = unit if known_unit(unit) else unit.replace("_", " ")
    footing = _FOOTING.match(plain)
    if footing and not known_unit(plain):
        plain = f"{meaning_of(footing[1])} {footing[2]}"
    if not known_unit(plain):
        plain = re.sub(r"(?<=[^\W\d])[·⋅*×](?=[^\W\d])", " ", plain)
    if _A_MINUTE.match(plain) and not _FLOWS.match(plain):
        return "rpm"
    return _SPELLED.get(plain) or _ANY_CASE.get(plain.lower().strip(". "), plain)


def is_unit(unit: str) -> bool:
    """Return whether a text, as `meaning_of` gives it, is a unit that logs have."""
    return bool(unit) and (known_unit(unit) or unit in _MEANT)
