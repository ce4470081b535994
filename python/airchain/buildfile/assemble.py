"""From the tables of a build file to the chain they describe."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Concatenate, ParamSpec, TypedDict, TypeVar

from .. import _core
from ..base.errors import InputError, Refusal, all_of, joined, quoted, refusal, suggestion, told_as
from ..cylinder.parts import Cylinder
from ..cylinder.surface import COARSE, CYCLES, error_words
from ..cylinder.surface_cache import cam_breathing, cycle_breathing
from ..typed.kept_parts import made_once
from ..typed.place import Typed, dotted
from ..typed.section import Section
from ..units.convert import to_si
from . import stations
from .bypass import bypass
from .compressor import compressor, rotor
from .drive import Level, drive
from .fuel_system import FuelSystem, fuel_system
from .keys import BUILD, COMPRESSOR, OF_COMPRESSOR, REPORT, SECTIONS, TRUST
from .lift_off import lift_off_setting
from .run_phases import run_phases
from .source import Source
from .vehicle import Vehicle, vehicle

Made = TypeVar("Made")
More = ParamSpec("More")

#: Rise of engine speed of a pull against time unless typed (common practice, no source).
PULL_RATE = to_si("500 rpm/s", "angular_acceleration", field="pull_rate")

#: Said in every result of a build that asks for a coarse breathing surface.
COARSE_CAUTION = (
    "The breathing stands on a coarse surface of the cycles. Its air and work are "
    f"{error_words('coarse')}. Take the line "
    'breathing = "coarse surface" out of [engine] before you trust a figure.'
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
    chain: _core.Chain
    links: tuple[_core.GearPair | _core.PulleyPair | _core.StepUp, ...]
    levels: Mapping[str, Level]
    reference_speed: float
    ice_tank: _core.IceTank | None
    pull_rate: float
    fuel_system: FuelSystem | None
    handover: Handover
    cylinder: Cylinder | None
    cautions: tuple[str, ...]
    breathes: str = ""
    level_name: str = ""
    trust: Mapping[str, float] = field(default_factory=dict)
    vehicle: Vehicle | None = None


def assemble(source: Source) -> Parts:
    """Build every station and the chain; all that is amiss is refused together, by line and key."""
    _check_sections(source)
    about = source.attempt(_about, source)
    stations_built: dict[str, Any] = {
        name: source.attempt(_made_of, source, (name,), getattr(stations, name))
        for name in ("ambient", "scoop", "throttle")
    }
    stations_built["bypass"] = source.attempt(_made_of, source, ("bypass",), bypass)
    for name in ("exhaust", "combustion"):  # the engine says what the cycle has already
        make = getattr(stations, name)
        stations_built[name] = source.attempt(_made_of, source, (name, "engine"), make)
    pair = (None, None)
    charge = source.attempt(_made_of, source, ("fuel",), stations.fuel)
    whose = "" if about is None else about["name"]
    engine = source.attempt(_made_of, source, ("engine",), stations.engine, charge, whose)
    for name in ("inlet", "discharge", "charge_duct"):
        stations_built[name] = source.attempt(_made_of, source, (name,), stations.duct, name)
    stations_built["cooler"], tank = source.attempt(
        _made_of, source, ("cooler",), stations.cooler, otherwise=pair
    )
    stations_built["compressor"], (built, levels) = None, _no_drive()
    if "compressor" in source.file.data:
        stations_built["compressor"], built, levels = _blower(source)
    of_fuel = ("fuel_system", "fuel")
    system = source.attempt(_made_of, source, of_fuel, fuel_system, charge)
    redline = None if engine is None else engine.size.speed_limit
    car = source.attempt(_made_of, source, ("vehicle",), vehicle, redline)
    report = source.attempt(stations.section, source, "report", REPORT)
    shop = source.attempt(_handover, report, otherwise=Handover())
    trust = source.attempt(_trust, source, otherwise={})
    if engine is not None and "lift_off" in source.file.data:
        source.attempt(lift_off_setting, source, engine.size.displacement)
    if engine is not None:
        source.attempt(run_phases, source, engine.size.speed_limit, car)
    if source.errors or charge is None or engine is None:
        raise all_of(source.errors)
    stations_built |= {"fuel": charge.fuel, "injection": charge.injection, "engine": engine.size}
    stations_built["breathing"], cautions = engine.breathing, tuple[str, ...]()
    if engine.cylinder is not None and engine.breathes == CYCLES:
        stations_built["breathing"] = cycle_breathing(engine.breathing_scale)
        stations_built["cylinder"] = engine.cylinder.setup
    elif engine.cylinder is not None:
        nodes = "coarse" if engine.breathes == COARSE else ""
        try:
            stations_built["breathing"], cautions = cam_breathing(
                engine.cylinder,
                engine.size.speed_limit,
                engine.breathing_scale,
                nodes,
                stations_built["combustion"],
            )
        except InputError as error:
            place = source.begins(("engine", "camshaft"))
            raise told_as(error, lambda one: one.replace(where=place)) from None
        if engine.breathes == COARSE:
            cautions = (*cautions, COARSE_CAUTION)
    stations_built["drive"] = built.drive
    try:
        chain = _core.Chain(**stations_built)
    except InputError as error:
        raise told_as(error, lambda one: _of_chain(source, one)) from None
    return Parts(
        **about,
        chain=chain,
        links=built.links,
        levels=levels,
        reference_speed=report.get("reference_speed", engine.size.speed_limit),
        ice_tank=tank,
        pull_rate=report.get("pull_rate", PULL_RATE),
        fuel_system=system,
        handover=shop,
        cylinder=engine.cylinder,
        cautions=cautions,
        trust=trust,
        vehicle=car,
        breathes=engine.breathes,
    )


#: Tables of what the core refuses only once all stations are together, by the core's word.
_PLACES = {
    "Compressor": ("compressor",),
    "Cooler": ("cooler",),
    "Breathing": ("engine", "volumetric_efficiency"),
}


def _of_chain(source: Source, refused: Refusal) -> Refusal:
    """What does not go together, as a refusal of the key that was typed where there is one."""
    path = (*_PLACES.get(refused.where, ()), refused.field)
    typed: Any = source.file.data
    for part in path:
        typed = typed.get(part) if isinstance(typed, Mapping) else None
    if typed is None:
        return refused.replace(where=joined(source.file.name, refused.where))
    return Refusal(
        where=source.where(path),
        field=dotted(path),
        value=quoted(typed),
        rule=refused.rule,
        hint=refused.hint,
    )


class _About(TypedDict):
    """What a build says of itself."""

    name: str
    notes: str
    invented: bool


def _about(source: Source) -> _About:
    typed = stations.section(source, "build", BUILD, optional=False)
    typed.need("name")
    return {
        "name": typed.text("name"),
        "notes": typed.text("notes"),
        "invented": typed.flag("invented"),
    }


def _trust(source: Source) -> dict[str, float]:
    """Standard deviations of factors on the build's own figures, where it tells them."""
    typed = stations.section(source, "trust", TRUST)
    widths = {name: typed.number(name) for name in TRUST if typed.has(name)}
    for name, width in widths.items():
        if not 0.0 < width <= 1.0:
            rule = "be above 0 and at most 1"
            typed.refuse(name, rule, "a standard deviation as a share, such as 0.05")
    return widths


def _handover(report: Section | None) -> Handover:
    if report is None:
        return Handover()  # it was refused
    return Handover(**{name: report.text(name).strip() for name in vars(Handover())})


def _blower(
    source: Source,
) -> tuple[_core.Compressor | None, Level, dict[str, Level]]:
    """The compressor, the drive as built, and the levels."""
    typed = source.attempt(
        Section, source, ("compressor",), COMPRESSOR, source.file.data["compressor"]
    )
    if typed is None:
        return None, *_no_drive()
    blower = source.attempt(
        made_once, source, "compressor", dict(typed.table), lambda: compressor(typed)
    )
    rotor_and_sense = source.attempt(
        lambda: (rotor(typed), typed.text("rotates")), otherwise=({}, "")
    )
    built, levels = source.attempt(
        _made_of, source, ("drive", "levels"), drive, *rotor_and_sense, otherwise=_no_drive()
    )
    return blower, built, levels


def _no_drive() -> tuple[Level, dict[str, Level]]:
    """The drive of an engine without a blower; it also stands in for one that was refused."""
    return Level((), _core.Drive()), {}


def _check_sections(source: Source) -> None:
    for name, table in source.file.data.items():
        source.attempt(_check_table, source, name, table)


def _check_table(source: Source, name: str, table: Typed) -> None:
    if name not in SECTIONS:
        hint = suggestion(name, list(SECTIONS)) or f"the tables are {', '.join(SECTIONS)}"
        shown = "{...}" if isinstance(table, dict) else quoted(table)
        raise refusal(source.where((name,)), name, shown, "be a table of a build file", hint)
    if name in OF_COMPRESSOR and "compressor" not in source.file.data:
        rule = "stand only beside a table [compressor]"
        hint = "without one the engine is naturally aspirated"
        raise refusal(source.where((name,)), name, "{...}", rule, hint)


def _made_of(
    source: Source, tables: tuple[str, ...], maker: Callable[Concatenate[Source, More], Made],
    *more: More.args, **named: More.kwargs,
) -> Made:  # fmt: skip
    """Return what a maker makes of tables of the document, and of what it is handed besides."""
    typed = [source.file.data.get(name) for name in tables]
    what = f"{maker.__name__} {more!r} {named!r}"
    return made_once(source, what, typed, lambda: maker(source, *more, **named))
