"""From the tables of a build file to the chain they describe."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from . import _core
from . import _schema_stations as stations
from ._errors import InputError, quoted, refusal, suggestion
from ._schema import BUILD, OF_COMPRESSOR, REPORT, SECTIONS
from ._schema_compressor import compressor, map_path, rotor
from ._schema_drive import Level, drive
from ._schema_section import Source
from ._textfile import read_text


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
    fingerprint: str


def assemble(source: Source) -> Parts:
    """Build every station and the chain; the first thing amiss is refused by line and key."""
    _check_sections(source)
    about = stations.section(source, "build", BUILD, optional=False)
    about.need("name")
    made: dict[str, Any] = {
        "ambient": stations.ambient(source),
        "scoop": stations.scoop(source),
        "throttle": stations.throttle(source),
        "combustion": stations.combustion(source),
        "exhaust": stations.exhaust(source),
        "bypass": stations.bypass(source),
    }
    made["engine"], made["breathing"] = stations.engine(source)
    made["fuel"], made["injection"] = stations.fuel(source)
    for name in ("inlet", "discharge", "charge_duct"):
        made[name] = stations.duct(source, name)
    made["cooler"], tank = stations.cooler(source)
    made["compressor"], typed = compressor(source)
    built, levels = Level((), _core.Drive()), dict[str, Level]()
    if typed is not None:
        built, levels = drive(source, rotor(typed), typed.text("rotates"))
    made["drive"] = built.drive
    report = stations.section(source, "report", REPORT)
    try:
        chain = _core.Chain(**made)
    except InputError as error:
        raise InputError(f"{source.file.name}: {error}") from None
    return Parts(
        name=about.text("name"),
        notes=about.text("notes"),
        invented=about.flag("invented"),
        chain=chain,
        links=built.links,
        levels=levels,
        reference_speed=report.get("reference_speed", made["engine"].speed_limit),
        ice_tank=tank,
        fingerprint=_fingerprint(source),
    )


def _check_sections(source: Source) -> None:
    for name, table in source.file.data.items():
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
