"""What a view must know of a session, as plain data: the contract between Python and the page."""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping
from functools import cache
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from ..base.safe_text import safe
from ..base.speeds import RPM
from ..chain.build import Build
from ..chain.level_looks import looks_by_name
from ..chain.plot_map import map_grid
from ..shown import statuses
from ..shown.columns import column, heading, in_display, label, shown
from ..shown.plot_style import COLOURS, MARKERS, STYLES
from ..units.convert import KINDS
from ..units.text import factor_of
from .choosing_knobs import measured_shares, seat_of
from .knobs import CYCLES, PAIR, SCALED_COOLER, SPEED, Knob, Option
from .packing import indices
from .session import Frame, Session, column_names

__all__ = ["Json", "encoded", "schema", "told_knock"]

Json = dict[str, "Json"] | list["Json"] | str | float | bool | None
_SYSTEMS = ("trade", "si")
#: Columns without a quantity to show.
_CODES = ("status", "flags")
#: What is drawn over engine speed, read at the held speed, and told as room to a limit.
CURVES = ("power", "torque", "boost", "volumetric_efficiency")
READ = (
    "power",
    "torque",
    "boost",
    "charge_temperature",
    "air_flow",
    "fuel_flow",
    "rotor_speed",
    "drive_power",
    "isentropic_efficiency",
    "surge_margin",
    "speed_margin",
)
LIMITS = {
    "surge_margin": "to surge",
    "choke_margin": "to choke",
    "speed_margin": "to the rotor's speed limit",
    "belt_margin": "to the belt's pull",
}
#: Stations along the air's way whose pressure and temperature stand in columns; the first is the
#: open air's, which a frame tells by itself.
STATIONS = {
    "ambient": "open air",
    "scoop": "scoop",
    "compressor_inlet": "compressor inlet",
    "compressor_outlet": "compressor outlet",
    "cooler_outlet": "cooler outlet",
    "throttle_inlet": "throttle inlet",
    "plenum": "plenum",
    "charge": "inlet valves",
}
#: Dashes as SVG draws them, in the order of `plot_style.STYLES`.
DASHES = ("", "7 3", "8 3 2 3", "2 3", "6 2 2 2 2 2", "10 3", "2 2")
assert len(DASHES) == len(STYLES)


def encoded(numbers: NDArray[np.float64]) -> str:
    """Return numbers as text: doubles, lowest byte first, in base64.

    Parameters
    ----------
    numbers : ndarray
        Any numbers [SI].

    Returns
    -------
    str
        The text.
    """
    return base64.b64encode(np.ascontiguousarray(numbers, dtype="<f8").tobytes()).decode("ascii")


def schema(session: Session, knock: bool = False) -> dict[str, Json]:
    """Return what a view must know before its first frame, to be written as JSON.

    Parameters
    ----------
    session : Session
        The session.
    knock : bool
        Whether what knocks on each level is told too: cycles are run for it.

    Returns
    -------
    dict
        Plain values; numbers are SI, `encoded` where they are many.
    """
    build = session.build
    begin, after = session.code_parts()
    told: dict[str, Json] = {
        "title": safe(build.name),
        "invented": build.invented,
        "cautions": [safe(text) for text in build.cautions],
        "columns": [_column(name) for name in column_names()],
        "statuses": [_status(name) for name in statuses.status_names()],
        "flags": [_flag(name, statuses.flag_bits()[name]) for name in _flag_names()],
        "curves": list(CURVES),
        "read": [n for n in READ if build.supercharged or n not in _OF_COMPRESSOR],
        "limits": dict(LIMITS) if build.supercharged else {},
        "stations": list(_stations(build)),
        "rpm": [float(speed) for speed in session.speeds],
        "knobs": [_knob(knob, build) for knob in session.knobs.values()],
        "levels": list(_levels(session)),
        "air_places": [indices()[f"ambient.{name}"] for name in ("pressure", "temperature")],
        "reference": framed(session.reference),
        "map": _map(build),
        "code": [begin, session.code_parts(by_cycles=True)[0], after],
        "knock": _knock(session, knock),
    }
    return told


def told_knock(session: Session, values: Mapping[str, str | float]) -> dict[str, Json]:
    """Return what knocks as plain values.

    Parameters
    ----------
    session : Session
        The session.
    values : mapping
        Typed values by the knobs' paths, each with its unit; plain numbers are dimensionless.

    Returns
    -------
    dict
        ``said``, sentences; ``knocks``, whether anything does by the estimate.
    """
    said, knocks = session.knock(values)
    return {"said": said, "knocks": knocks}


def _knock(session: Session, made: bool) -> dict[str, Json]:
    known = session.build.cylinder is not None
    told: dict[str, Json] = {"known": known, "made": {}}
    told["unknown"] = "" if known else session.knock({})[0]
    if known and made:
        knob = session.knobs.get("level")
        levels = [] if knob is None else [option.name for option in knob.options]
        told["made"] = {
            name: told_knock(session, {"level": name} if name else {})
            for name in dict.fromkeys(["", *levels])
        }
    return told


def _stations(build: Build) -> Iterator[Json]:
    for name, words in STATIONS.items():
        if build.supercharged or name in _ASPIRATED:
            yield [name, words]


_OF_COMPRESSOR = (
    "boost", "rotor_speed", "drive_power", "isentropic_efficiency", "surge_margin", "speed_margin",
)  # fmt: skip
_ASPIRATED = ("ambient", "scoop", "throttle_inlet", "plenum", "charge")


def framed(frame: Frame) -> dict[str, Json]:
    """Return a frame as plain values.

    Parameters
    ----------
    frame : Frame
        The frame.

    Returns
    -------
    dict
        Its numbers `encoded` [SI], the open air, whether cycles were run, and their pressures at
        the valves.
    """
    return {
        "numbers": encoded(frame.numbers),
        "air": [*frame.air],
        "by_cycles": frame.by_cycles,
        "ports": None if frame.ports is None else encoded(frame.ports),
    }


@cache
def _column(name: str) -> dict[str, Json]:
    if name in _CODES:
        return {"name": name}
    return {"name": name, "words": heading(name), "meaning": column(name).words, **_shown(name)}


def _shown(name: str) -> dict[str, Json]:
    """Label of a column's unit, what takes an SI value to it, and decimals, in each system."""
    units: dict[str, Json] = {}
    for system in _SYSTEMS:
        offset = float(in_display(name, 0.0, system))
        factor = float(in_display(name, 1.0, system)) - offset
        decimals = len(shown(name, 1.0, system).partition(".")[2])
        units[system] = [label(name, system), factor, offset, decimals]
    return units


def _status(name: str) -> Json:
    return [statuses.words(name), statuses.verb(name, 1), statuses.verb(name, 2)]


def _flag_names() -> list[str]:
    """Limits first, in the order in which verdicts tell them."""
    limits = list(statuses.DANGEROUS)
    return [*limits, *(name for name in statuses.flag_bits() if name not in limits)]


def _flag(name: str, bit: int) -> dict[str, Json]:
    return {
        "name": name,
        "bit": bit,
        "words": statuses.caution(name),
        "limits": statuses.DANGEROUS.get(name, ""),
    }


def _knob(knob: Knob, build: Build) -> dict[str, Json]:
    told: dict[str, Json] = {
        "path": knob.path,
        "words": knob.words,
        "value": knob.value,
        "how": knob.how,
    }
    if not knob.kind:
        told["options"] = [_option(option) for option in knob.options]
        told["stops"] = knob.path == PAIR
        return told
    ends = [end if isfinite(end) else None for end in (knob.low, knob.high, knob.first, knob.last)]
    if knob.path == SCALED_COOLER:
        told["shares"] = [*measured_shares(build)]
    if seat := seat_of(build, knob.path):
        told["along"] = {**seat}
    sets: dict[str, Json] = {str(place): factor for place, factor in knob.sets.items()}
    told |= {"ends": list(ends), "sets": sets, "rule": knob.rule, "units": _typed_units(knob)}
    return told


def _option(option: Option) -> Json:
    numbers: dict[str, Json] = {str(place): value for place, value in option.numbers.items()}
    return [option.name, numbers, option.code, option.words or option.name]


def _typed_units(knob: Knob) -> dict[str, Json]:
    """Unit, scale, offset and decimals of what is typed: SI = (number + offset) scale."""
    row = KINDS[knob.kind]
    systems = zip(
        _SYSTEMS, (row.trade, row.metric), (row.trade_decimals, row.metric_decimals), strict=True
    )
    units: dict[str, Json] = {}
    for system, unit, decimals in systems:
        factor = factor_of(unit, knob.kind)
        units[system] = [unit, float(factor.scale), float(factor.offset), decimals]
    return units


def _levels(session: Session) -> Iterator[dict[str, Json]]:
    """Every level with its look and its frame; without levels the build as it is."""
    names = list(session.build.levels) or [""]
    for name, place in zip(names, looks_by_name(names, session.build), strict=True):
        look: dict[str, Json] = {
            "colour": COLOURS[place % len(COLOURS)],
            "dash": DASHES[place % len(DASHES)],
            "marker": MARKERS[place % len(MARKERS)],
            "strong": place == 0,
        }
        frame = session.frame({"level": name}) if name else session.reference
        yield {"name": name, "words": safe(name) or "as it is", "look": look, **framed(frame)}


_LEFT = {
    "surge": "surge line",
    "estimated": "surge line (an estimate)",
    "last_point": "left end of the map (surge not known)",
}


def _map(build: Build) -> Json:
    """Speed lines, both ends and efficiency of the compressor's map, as the chain uses it."""
    compressor = build.chain.compressor
    if compressor is None:
        return None
    between = 2
    speed, flow, ratio, efficiency = map_grid(compressor, between, 17)
    data = compressor.map.data
    right = "choke" if data.right_end == "choke" else "right end of the map (choke not known)"
    return {
        "places": int(flow.shape[1]),
        "lines": [float(one) / RPM for one in speed[::between]],
        "between": between,
        "flow": encoded(flow),
        "ratio": encoded(ratio),
        "efficiency": encoded(efficiency),
        "left": _LEFT[data.left_end],
        "right": right,
    }


def locks(session: Session) -> dict[str, str]:
    """Return why sliders do not move in a page without a kernel.

    Parameters
    ----------
    session : Session
        The session.

    Returns
    -------
    dict
        The reason by the knob's path; none for those that move.
    """
    cycles = "These change the cylinder's cycles, which need a notebook: airchain.live.explore."
    other = "These move more than one number, which needs a notebook: airchain.live.explore."
    return {
        knob.path: cycles if knob.how == CYCLES else other
        for knob in session.knobs.values()
        if knob.how != "page" and knob.path != SPEED
    }
