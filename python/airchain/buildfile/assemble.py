"""From the tables of a build file to the chain they describe."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .. import _core
from ..base.errors import InputError, all_of, quoted, refusal, suggestion, under
from ..base.text_file import read_text
from ..cylinder.parts import Cylinder
from ..cylinder.surface_cache import cam_breathing
from ..typed.section import Section
from ..units.convert import to_si
from . import stations
from .compressor import compressor, map_path, rotor
from .drive import Level, drive
from .fuel_system import fuel_system
from .keys import BUILD, COMPRESSOR, OF_COMPRESSOR, REPORT, SECTIONS
from .source import Source

#: Rise of engine speed of a pull against time unless typed (common practice, no source).
PULL_RATE = to_si("500 rpm/s", "angular_acceleration", field="pull_rate")

#: Said in every result of a build that asks for a coarse breathing surface.
COARSE = (
    "The breathing stands on a coarse surface, some per cent off the cycles: take the line "
    'surface = "coarse" out of [engine] before you trust a figure.'
)


@dataclass(frozen=True)
class Handover:
    """Whose report it is, as typed; empty where nothing was.

    Attributes
    ----------
    customer, workshop : str
        For whom and by whom.
    date, reference : str
        When, and under which number or name.
    """

    customer: str = ""
    workshop: str = ""
    date: str = ""
    reference: str = ""


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
    fuel_system: Any
    handover: Handover
    cylinder: Cylinder | None
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
    charge = source.attempt(stations.fuel, source)
    engine = source.attempt(stations.engine, source, charge)
    for name in ("inlet", "discharge", "charge_duct"):
        made[name] = source.attempt(stations.duct, source, name)
    made["cooler"], tank = source.attempt(stations.cooler, source, otherwise=pair)
    made["compressor"], built, levels = None, Level((), _core.Drive()), dict[str, Level]()
    if "compressor" in source.file.data:
        made["compressor"], built, levels = _blower(source)
    system = source.attempt(fuel_system, source, charge)
    report = source.attempt(stations.section, source, "report", REPORT)
    whose = source.attempt(_handover, report, otherwise=Handover())
    if source.errors or charge is None or engine is None:
        raise all_of(source.errors)
    made |= {"fuel": charge.fuel, "injection": charge.injection, "engine": engine.size}
    made["breathing"], cautions = engine.breathing, tuple[str, ...]()
    if engine.cylinder is not None:
        made["breathing"], cautions = cam_breathing(
            engine.cylinder, engine.size.speed_limit, engine.breathing_scale, engine.surface
        )
        if engine.surface == "coarse":
            cautions = (*cautions, COARSE)
    made["drive"] = built.drive
    try:
        chain = _core.Chain(**made)
    except InputError as error:
        raise under(source.file.name, error) from None
    return Parts(
        **about,
        chain=chain,
        links=built.links,
        levels=levels,
        reference_speed=report.get("reference_speed", engine.size.speed_limit),
        ice_tank=tank,
        pull_rate=report.get("pull_rate", PULL_RATE),
        fuel_system=system,
        handover=whose,
        cylinder=engine.cylinder,
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


def _handover(report: Section | None) -> Handover:
    if report is None:
        return Handover()  # it was refused
    return Handover(**{name: report.text(name).strip() for name in vars(Handover())})


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
    """SHA-256 of all inputs, the map file among them; layout, comments and plans do not count."""
    typed = {name: table for name, table in source.file.data.items() if name != "plan"}
    text = json.dumps(typed, sort_keys=True, default=str)
    name = source.file.data.get("compressor", {}).get("map")
    if isinstance(name, str):
        text += read_text(map_path(source, name), "a compressor map in CSV")
    return hashlib.sha256(text.encode()).hexdigest()
