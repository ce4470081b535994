"""The sliders of a live view: what each types into the build, and within which range."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import inf

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..buildfile.keys import TABLES_OF_NUMBERS
from ..chain.build import Build
from ..cylinder.keys import CAMSHAFT, LOBE, PIPE
from ..typed.keys import HasFields, Key, Keys
from ..units.convert import KINDS, to_si
from ..units.text import factor_of

__all__ = [
    "CYCLES",
    "KERNEL",
    "PAGE",
    "PAIR",
    "RATIO",
    "SCALED_COOLER",
    "SPEED",
    "Knob",
    "Option",
    "ranged",
    "usual_paths",
]

#: Where a knob's answer comes from: the page itself, the kernel, or cycles that the kernel runs.
PAGE, KERNEL, CYCLES = "page", "kernel", "cycles"
#: Knobs that are no key of the file: engine speed, drive ratio and gear pair, the measured cooler.
SPEED, RATIO, PAIR = "rpm", "drive.ratio", "drive.pair"
SCALED_COOLER = "cooler.measured.effectiveness"


@dataclass(frozen=True)
class Option:
    """One choice of a knob.

    Attributes
    ----------
    name : str
        What is typed.
    numbers : mapping
        Numbers of the chain that it sets, by their place in `packing.indices` [SI].
    code : str
        What it adds to the line of Python that makes it; empty where its knob tells.
    words : str
        What is shown; the name where it is empty.
    """

    name: str
    numbers: Mapping[int, float] = field(default_factory=dict)
    code: str = ""
    words: str = ""


@dataclass(frozen=True)
class Knob:
    """One slider, or one choice.

    Attributes
    ----------
    path : str
        Its dotted path in the build file, or `SPEED`, `RATIO`, ``"level"``.
    words : str
        What it is called.
    kind : str
        Its quantity kind; empty for a choice.
    value : float or str
        Where it stands in the build [SI], or the choice.
    low, high : float
        What is allowed [SI].
    first, last : float
        Ends of the slider [SI], within what is allowed.
    fills : str
        The core's name of the field that it fills; empty where it fills none.
    sets : mapping
        Numbers of the chain that it sets: place in `packing.indices` and factor on its value,
        both dimensionless.
    options : tuple of Option
        The choices.
    how : str
        Where the answer comes from: `PAGE`, `KERNEL` or `CYCLES`.
    rule : str
        ``"station_pressure"`` where altimeter and altitude together make the pressure.
    """

    path: str
    words: str
    kind: str
    value: float | str
    low: float = -inf
    high: float = inf
    first: float = 0.0
    last: float = 1.0
    fills: str = ""
    sets: Mapping[int, float] = field(default_factory=dict)
    options: tuple[Option, ...] = ()
    how: str = PAGE
    rule: str = ""

    def typed(self, value: float, system: str = "trade") -> str | float:
        """Return a value as the build file takes it.

        Parameters
        ----------
        value : float
            The value [SI].
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        str or float
            With its unit, such as ``"95.0 degF"``; a bare number where it is dimensionless.
        """
        row = KINDS[self.kind]
        unit = row.trade if system == "trade" else row.metric
        if not unit:
            return value
        factor = factor_of(unit, self.kind)
        return f"{value / factor.scale - factor.offset!r} {unit}"


#: Tables of the file that are no tables of numbers at its top.
_INNER: Mapping[str, Keys] = {
    "engine.camshaft": CAMSHAFT,
    "engine.camshaft.intake": LOBE,
    "engine.camshaft.exhaust": LOBE,
    "engine.runner": PIPE,
    "engine.primary": PIPE,
}
#: Classes of the core whose fields a table fills, where one does.
_CLASSES: Mapping[str, tuple[HasFields, ...]] = {
    "ambient": (_core.Ambient,),
    "scoop": (_core.Scoop,),
    "inlet": (_core.Duct,),
    "discharge": (_core.Duct,),
    "charge_duct": (_core.Duct,),
    "compressor": (_core.Compressor, _core.Drive),
    "cooler": (_core.Cooler, _core.IceTank),
    "throttle": (_core.Throttle,),
    "fuel": (_core.Injection, _core.Fuel),
    "engine": (_core.Engine, _core.Crank),
    "combustion": (_core.Combustion,),
    "exhaust": (_core.Exhaust,),
    "bypass": (_core.Bypass,),
    "engine.camshaft": (_core.Camshaft,),
    "engine.camshaft.intake": (_core.Lobe,),
    "engine.camshaft.exhaust": (_core.Lobe,),
    "engine.runner": (_core.Pipe,),
    "engine.primary": (_core.Pipe,),
}
#: Ranges of keys that are no field of the core: `station_pressure` tells them.
_OTHER_RANGES = {
    "ambient.altitude": ("-500 m", "6000 m"),
    "ambient.altimeter": ("40 kPa", "110 kPa"),
}
#: Ends of sliders, what a builder meets (common practice, no source).
_ENDS: Mapping[str, tuple[str | float, str | float]] = {
    "ambient.temperature": ("20 degF", "115 degF"),
    "ambient.humidity": (0.0, 1.0),
    "ambient.altitude": ("0 ft", "9000 ft"),
    "ambient.altimeter": ("28.5 inHg", "31 inHg"),
    "ambient.pressure": ("22 inHg", "31 inHg"),
    "cooler.effectiveness": (0.3, 1.0),
    "cooler.coolant_temperature": ("35 degF", "200 degF"),
    "fuel.lambda": (0.7, 1.1),
    "engine.compression_ratio": (6.0, 13.0),
    "engine.camshaft.intake.duration": ("200 deg", "290 deg"),
    "engine.camshaft.exhaust.duration": ("200 deg", "290 deg"),
    "engine.camshaft.lobe_separation": ("100 deg", "122 deg"),
    "engine.camshaft.intake_centreline": ("96 deg", "122 deg"),
    "engine.runner.length": ("6 in", "24 in"),
}


def ranged(build: Build, path: str) -> Knob:
    """Return the knob of a number that the build's file types, its range that of its field.

    Parameters
    ----------
    build : Build
        The build.
    path : str
        Dotted path in the build file.

    Returns
    -------
    Knob
        The knob, standing where the file has it; what it sets is not yet told.

    Raises
    ------
    InputError
        Nothing was typed there, or no number that a slider could move.
    """
    table, _, name = path.rpartition(".")
    key = {**TABLES_OF_NUMBERS, **_INNER}.get(table, {}).get(name)
    if key is None or key.kind not in KINDS:
        rule = "be the path of a number with a range, such as cooler.effectiveness"
        raise refusal("explore", "knob", quoted(path), rule, suggestion(path, list(build.inputs)))
    value = to_si(_typed(build, path), key.kind, where="explore", field=path, unit=key.unit)
    low, high, words = _field(path, key)
    first, last = _ends(path, key, value, low, high)
    return Knob(path, words, key.kind, value, low, high, first, last, fills=key.field)


def _typed(build: Build, path: str) -> str | float:
    text = build.text(path)
    try:
        return float(text)
    except ValueError:
        return text


def _field(path: str, key: Key) -> tuple[float, float, str]:
    """Lowest and highest value [SI], and what the knob is called."""
    table, _, name = path.rpartition(".")
    spoken = " ".join([*table.split(".")[-1:], *name.split("_")]).replace("_", " ")
    if path in _OTHER_RANGES:
        low, high = (to_si(end, key.kind, field=path) for end in _OTHER_RANGES[path])
        return low, high, spoken
    for station in _CLASSES.get(table, ()):
        for field_name, _, low, high, *_ in station.fields():
            if field_name == key.field:
                return low / key.factor, high / key.factor, spoken
    return -inf, inf, spoken


def _ends(path: str, key: Key, value: float, low: float, high: float) -> tuple[float, float]:
    """Ends of a slider: the usual ones, else half to one and a half times the value."""
    if path in _ENDS:
        first, last = (to_si(end, key.kind, field=path) for end in _ENDS[path])
    else:
        first, last = sorted((0.5 * value, 1.5 * value)) if value else (0.0, 1.0)
    # The build's own value lies on the slider too.
    return max(min(first, value), low), min(max(last, value), high)


def usual_paths(build: Build) -> Iterator[str]:
    """Yield the paths that a builder turns, of those that the build types.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    iterator of str
        Dotted paths in the build file.
    """
    yield from (path for path in _ENDS if path in build.inputs)
