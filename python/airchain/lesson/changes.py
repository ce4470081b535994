"""Eight changes of a build, and what each does to boost, temperature, power and knock."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import degrees, isfinite, radians

from ..base.errors import InputError
from ..chain.build import Build
from ..chain.changes import Weather
from ..live.choosing_knobs import changed
from ..units.convert import formatted, to_si
from .point import Point

#: What may be said of each quantity: words for more, for less, and for no change.
WORDS = {
    "boost": ("up", "down", "same"),
    "temperature": ("up", "down", "same"),
    "power": ("up", "down", "same"),
    "knock": ("nearer", "further", "same"),
}
#: Quantity kind of each, and below what a change counts as none [SI; power a share].
KIND = {"boost": "pressure_difference", "temperature": "temperature", "power": "power",
        "knock": "angle"}  # fmt: skip
SMALL = {"boost": 1000.0, "temperature": 1.2, "power": 0.005, "knock": radians(1.0)}
#: About that size either word counts.
_EITHER = 0.7, 1.4


@dataclass(frozen=True)
class Change:
    """One change.

    Attributes
    ----------
    name : str
        What it is called.
    words : str
        What is changed, in a sentence.
    build : Build
        The build with it.
    why : str
        The physics.
    """

    name: str
    words: str
    build: Build
    why: str


@dataclass(frozen=True)
class Move:
    """What became of one quantity.

    Attributes
    ----------
    name : str
        The quantity.
    before, after : str
        Its values as text.
    right : tuple of str
        The words that count as right; empty where it cannot be told.
    """

    name: str
    before: str
    after: str
    right: tuple[str, ...]


def moves_of(before: Point, after: Point) -> tuple[Move, ...]:
    """Return what a change does.

    Parameters
    ----------
    before, after : Point
        The point without and with the change.

    Returns
    -------
    tuple of Move
        One for each of `WORDS`.
    """
    names = {"boost": "boost", "temperature": "charge_temperature", "power": "power"}
    found = []
    for name, column in names.items():
        old, new = before[column], after[column]
        size = SMALL[name] * (old if name == "power" else 1.0)
        words = _words(name, new - old, size)
        texts = [
            formatted(v, KIND[name], before.system) if isfinite(v) else "–" for v in (old, new)
        ]
        found.append(Move(name, texts[0], texts[1], words))
    return (*found, _knock(before, after))


def _words(name: str, difference: float, size: float) -> tuple[str, ...]:
    more, less, same = WORDS[name]
    if not isfinite(difference):
        return ()
    side, share = (more if difference > 0.0 else less), abs(difference) / size
    if share < _EITHER[0]:
        return (same,)
    return (side,) if share > _EITHER[1] else (side, same)


def _knock(before: Point, after: Point) -> Move:
    knock = [point.table.pull.knock for point in (before, after)]
    old, new = (float(one.margin[0]) for one in knock)
    bounds = [bool(one.bound[0]) for one in knock]
    texts = [f"{one.text(0)} deg".replace("known deg", "known") for one in knock]
    if not all(map(isfinite, (old, new))):
        return Move("knock", texts[0], texts[1], ())
    # A bound is the least that a margin may be, so it tells on one side only.
    told = not any(bounds) or (bounds[0] and not bounds[1] and new < old) or (
        bounds[1] and not bounds[0] and new > old
    )  # fmt: skip
    words = _words("knock", old - new, SMALL["knock"]) if told else ()
    return Move("knock", texts[0], texts[1], words)


def warning_of(after: Point) -> str:
    """Return what is to be said of knock after a change.

    Parameters
    ----------
    after : Point
        The point with the change.

    Returns
    -------
    str
        What a pull says where it knocks or may knock; else empty.
    """
    knock = after.table.pull.knock
    if knock.knocks.any() or knock.may_knock.any():
        return " ".join([knock.verdict, *knock.notes(after.table.pull.matched)])
    return ""


def changes_of(build: Build, system: str) -> dict[str, Change]:
    """Return the changes that a build allows, by name.

    Parameters
    ----------
    build : Build
        The build.
    system : str
        ``"trade"`` or ``"si"``.

    Returns
    -------
    dict
        The changes in the order of the lesson; those of parts that it lacks are left out.
    """
    found = {}
    for name, make in MAKERS.items():
        try:
            change = make(name, build, system)
        except InputError:
            # Such as a compression ratio at the end of its range: nothing to ask then.
            continue
        if change is not None:
            found[name] = change
    return found


def _degrees_more(system: str) -> tuple[float, str]:
    """A rise in temperature [K] in round degrees."""
    return (30.0 / 1.8, "30 degF") if system == "trade" else (15.0, "15 K")


def _faster(name: str, build: Build, system: str) -> Change | None:
    if not build.supercharged:
        return None
    ratio = 1.06 * float(build.chain.drive.drive_ratio)
    return Change(
        name, "The impeller is driven 6 % faster.", build.with_drive_ratio(ratio),
        "The head of a blower grows with the square of its speed, so pressure and heat grow faster "
        "than speed. More air makes more power, but the drive takes its share and hot, dense "
        "charge "
        "stands nearer to knock; past some speed little is gained at the crank.",
    )  # fmt: skip


def _coolant(name: str, build: Build, system: str) -> Change | None:
    cooler = build.chain.cooler
    if (
        cooler is None
        or build.ice_tank is not None
        or "cooler.coolant_temperature" not in build.inputs
    ):
        return None
    more, text = _degrees_more(system)
    warm = f"{float(cooler.coolant_temperature) + more!r} K"
    return Change(
        name, f"The cooler's water is {text} warmer.",
        build.replace({"cooler.coolant_temperature": warm}),
        "The air comes the same share of the way to warmer water, so the charge is hotter and "
        "thinner. The engine then swallows less of what the blower delivers, and boost does not "
        "fall; it rises a little. More boost, less power: the gauge does not show the air.",
    )  # fmt: skip


def _filter(name: str, build: Build, system: str) -> Change | None:
    parts = build.document.tables.get("inlet", {}).get("parts")
    if not parts:
        return None
    drop, flow = ("12 inH2O", "90 lb/min") if system == "trade" else ("3 kPa", "0.68 kg/s")
    part = {"drop": drop, "at_flow": flow}
    return Change(
        name, f"The filter is clogged: {drop} more are lost at {flow}.",
        build.replace({"inlet.parts": [*parts, part]}),
        "The blower multiplies what it is given. A psi or kPa lost before it is lost about twice "
        "behind it at a pressure ratio of two; less air means less power, and a thinner charge is "
        "further from knock.",
    )  # fmt: skip


def _higher(name: str, build: Build, system: str) -> Change | None:
    pressure = float(build.chain.ambient.pressure)
    rise = "4,000 ft" if system == "trade" else "1,200 m"
    return Change(
        name, f"The car is taken {rise} higher, on a day as warm: the air has 14 % less pressure.",
        build.changed(Weather(pressure=0.86 * pressure)),
        "The pressure ratio stays much the same, and a ratio times less air is less of everything: "
        "boost falls by more than the air around does, and power with it. What was lost outside "
        "is not made up by the blower.",
    )  # fmt: skip


def _hotter(name: str, build: Build, system: str) -> Change | None:
    more, text = _degrees_more(system)
    temperature = float(build.chain.ambient.temperature) + more
    return Change(
        name, f"The day is {text} hotter, with the same barometer and water as before.",
        build.changed(Weather(temperature=temperature)),
        "Hot air is harder to compress: at the same rotor speed the pressure ratio falls. It is "
        "thinner too, so power falls twice. Hotter charge favours knock and less pressure works "
        "against it, and the two may nearly cancel.",
    )  # fmt: skip


def _compression(name: str, build: Build, system: str) -> Change | None:
    ratio = float(build.chain.engine.compression_ratio) + 1.0
    return Change(
        name, f"Other pistons raise the compression ratio to {ratio:g}.",
        build.replace({"engine.compression_ratio": ratio}),
        "The engine swallows as much as before, so boost and charge stay. Each bit of fuel gives "
        "more work, because it expands further. But the last of the charge is squeezed and heated "
        "more: power is paid for with room to knock.",
    )  # fmt: skip


def _spark(name: str, build: Build, system: str) -> Change | None:
    if build.cylinder is None:
        return None
    phasing = degrees(float(build.chain.combustion.phasing)) + 6.0
    return Change(
        name, "The spark is 6 degrees later.",
        build.replace({"combustion.phasing": f"{phasing!r} deg"}),
        "Late burning wastes part of the stroke, and leaves through the exhaust as heat. It "
        "changes "
        "nothing of what the engine breathes. The last of the charge burns when the piston is "
        "lower, so knock goes further away: spark is the quickest cure, and it costs power.",
    )  # fmt: skip


def _cam(name: str, build: Build, system: str) -> Change | None:
    path = "engine.camshaft.intake.duration"
    if path not in build.inputs:
        return None
    longer = degrees(to_si(build.text(path), "angle", field=path)) + 15.0
    return Change(
        name, "The intake cam is 15 degrees longer.",
        changed(build, {path: f"{longer!r} deg"}),
        "The blower moves the air it can at its speed. Where a cam lets the engine swallow more of "
        "it, less is left over, and boost falls while power rises; at low speed a late closing "
        "pushes charge back. Boost is what the engine refuses.",
    )  # fmt: skip


_Maker = Callable[[str, Build, str], Change | None]
MAKERS: dict[str, _Maker] = {
    "faster drive": _faster,
    "warmer water": _coolant,
    "clogged filter": _filter,
    "higher place": _higher,
    "hotter day": _hotter,
    "more compression": _compression,
    "later spark": _spark,
    "longer cam": _cam,
}
