"""From the tables of a build file to the chain they describe."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from . import _core
from . import _schema_stations as stations
from ._errors import InputError, all_of, quoted, refusal, suggestion
from ._schema import BUILD, COMPRESSOR, OF_COMPRESSOR, REPORT, SECTIONS
from ._schema_compressor import compressor, map_path, rotor
from ._schema_drive import Level, drive
from ._schema_section import Section, Source
from ._textfile import read_text
from .breathing import cam_breathing
from .units import to_si

#: Rise of engine speed of a pull against time unless typed (common practice, no source).
PULL_RATE = to_si("500 rpm/s", "angular_acceleration", field="pull_rate")


@dataclass(frozen=True)
class Parts:
    """What a build file describes."""

    name: str
    notes: str
    invented: bool
    chain: Any
    links: tuple[Any, ...]
    levels: Mapping[str, Level]
    reference_speed: float
    ice_tank: Any
    pull_rate: float
    cylinder: Any
    cautions: tuple[str, ...]
    fingerprint: str


def assemble(source: Source) -> Parts:
    """Build every station and the chain; all that is amiss is refused together, by line and key."""
    _check_sections(source)
    about = source.attempt(_about, source)
    made: dict[str, Any] = {
        name: source.attempt(getattr(stations, name), source)
        for name in ("ambient", "scoop", "throttle", "combustion", "exhaust", "bypass")
    }
    pair = (None, None)
    made["fuel"], made["injection"] = source.attempt(stations.fuel, source, otherwise=pair)
    burnt = made["fuel"], made["injection"]
    nothing = (None, None, None)
    made["engine"], made["breathing"], cylinder = source.attempt(
        stations.engine, source, *burnt, otherwise=nothing
    )
    for name in ("inlet", "discharge", "charge_duct"):
        made[name] = source.attempt(stations.duct, source, name)
    made["cooler"], tank = source.attempt(stations.cooler, source, otherwise=pair)
    made["compressor"], built, levels = None, Level((), _core.Drive()), dict[str, Level]()
    if "compressor" in source.file.data:
        made["compressor"], built, levels = _blower(source)
    report = source.attempt(stations.section, source, "report", REPORT)
    if source.errors:
        raise all_of(source.errors)
    cautions: tuple[str, ...] = ()
    if cylinder is not None:
        made["breathing"], cautions = cam_breathing(cylinder, made["engine"].speed_limit)
    made["drive"] = built.drive
    try:
        chain = _core.Chain(**made)
    except InputError as error:
        raise InputError(f"{source.file.name}: {error}") from None
    return Parts(
        **about,
        chain=chain,
        links=built.links,
        levels=levels,
        reference_speed=report.get("reference_speed", made["engine"].speed_limit),
        ice_tank=tank,
        pull_rate=report.get("pull_rate", PULL_RATE),
        cylinder=cylinder,
        cautions=cautions,
        fingerprint=_fingerprint(source),
    )


def _about(source: Source) -> dict[str, Any]:
    typed = stations.section(source, "build", BUILD, optional=False)
    typed.need("name")
    return {
        "name": typed.text("name"),
        "notes": typed.text("notes"),
        "invented": typed.flag("invented"),
    }


def _blower(source: Source) -> tuple[Any, Any, Any]:
    """The compressor, the drive as built, and the levels."""
    typed = source.attempt(
        Section, source, ("compressor",), COMPRESSOR, source.file.data["compressor"]
    )
    if typed is None:
        return None, None, None
    made = source.attempt(compressor, typed)
    told = source.attempt(lambda: (rotor(typed), typed.text("rotates")), otherwise=({}, ""))
    built, levels = source.attempt(drive, source, *told, otherwise=(None, None))
    return made, built, levels


def _check_sections(source: Source) -> None:
    for name, table in source.file.data.items():
        source.attempt(_check_table, source, name, table)


def _check_table(source: Source, name: str, table: Any) -> None:
    if name not in SECTIONS:
        hint = suggestion(name, list(SECTIONS)) or f"the tables are {', '.join(SECTIONS)}"
        shown = "{...}" if isinstance(table, dict) else quoted(table)
        raise refusal(source.where((name,)), name, shown, "be a table of a build file", hint)
    if name in OF_COMPRESSOR and "compressor" not in source.file.data:
        rule = "stand only beside a table [compressor]"
        hint = "without one the engine is naturally aspirated"
        raise refusal(source.where((name,)), name, "{...}", rule, hint)


def _fingerprint(source: Source) -> str:
    """SHA-256 of all inputs, the map file among them; layout and comments do not count."""
    text = json.dumps(source.file.data, sort_keys=True, default=str)
    name = source.file.data.get("compressor", {}).get("map")
    if isinstance(name, str):
        text += read_text(map_path(source, name), "a compressor map in CSV")
    return hashlib.sha256(text.encode()).hexdigest()
