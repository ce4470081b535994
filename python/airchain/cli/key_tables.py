"""What may stand in a build file, table by table: unit, range, default and meaning of every key."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf, isinf
from typing import NamedTuple, Protocol

from .. import _core
from ..base.errors import quoted, refusal, suggestion
from ..buildfile import fuel_system as fuelling
from ..buildfile import keys as built
from ..buildfile import run_phases as running
from ..buildfile import vehicle as driven
from ..cylinder import keys as cylinder
from ..plan import keys as planned
from ..plan.limits import QUANTITIES as LIMITED
from ..shown.tables import Shown, Table
from ..typed.keys import TABLE, Key, Keys, choice
from ..units.convert import KINDS, display
from .key_meanings import meaning

__all__ = ["KEY_TABLES", "KeyTables", "key_tables"]

_PLAIN = {
    "text": "text",
    "flag": "true or false",
    "count": "whole number",
    "table": "table",
    "tables": "list of tables",
}


class Station(Protocol):
    """A class of the core that tells its fields."""

    @staticmethod
    def fields() -> list[tuple[str, str, float, float, str]]:
        """Name, SI unit, lowest and highest value, and meaning of every number."""
        ...


class KeyTable(NamedTuple):
    """One table of a file: its name, its keys, and the classes of the core that they fill."""

    name: str
    keys: Keys
    stations: tuple[type[Station], ...] = ()


_LINKS = {"gears": _core.GearPair, "step_up": _core.StepUp, "pulleys": _core.PulleyPair}
#: Every table in the order that the air meets what it describes.
KEY_TABLES: tuple[KeyTable, ...] = (
    KeyTable("build", built.BUILD),
    KeyTable("ambient", built.AMBIENT, (_core.Ambient,)),
    KeyTable("scoop", built.SCOOP, (_core.Scoop,)),
    KeyTable("inlet", built.DUCT, (_core.Duct,)),
    KeyTable("compressor", built.COMPRESSOR, (_core.Compressor, _core.Drive)),
    KeyTable("compressor.stage", built.STAGE),
    KeyTable("compressor.stage.impeller", built.IMPELLER, (_core.Impeller,)),
    KeyTable("compressor.stage.diffuser", built.DIFFUSER, (_core.Diffuser,)),
    KeyTable("compressor.stage.diffuser.vanes", built.VANES, (_core.Vanes,)),
    KeyTable("compressor.stage.volute", built.VOLUTE, (_core.Volute,)),
    KeyTable("drive", built.DRIVE),
    *(
        KeyTable(f"drive.links.{n}", {"kind": choice(n), **keys}, (_LINKS[n],))
        for n, keys in built.LINKS.items()
    ),
    KeyTable("levels", built.LEVEL),
    KeyTable("discharge", built.DUCT, (_core.Duct,)),
    KeyTable("cooler", built.COOLER, (_core.Cooler, _core.IceTank)),
    KeyTable("cooler.measured", built.MEASURED_COOLER),
    KeyTable("charge_duct", built.DUCT, (_core.Duct,)),
    KeyTable("throttle", built.THROTTLE, (_core.Throttle,)),
    KeyTable("fuel", cylinder.FUEL, (_core.Fuel, _core.Injection)),
    KeyTable("engine", built.ENGINE, (_core.Engine, _core.Crank)),
    KeyTable("engine.volumetric_efficiency", built.BREATHING, (_core.Breathing,)),
    KeyTable("engine.camshaft", cylinder.CAMSHAFT, (_core.Camshaft,)),
    KeyTable("engine.camshaft.intake", cylinder.LOBE, (_core.Lobe,)),
    KeyTable("engine.camshaft.exhaust", cylinder.LOBE, (_core.Lobe,)),
    KeyTable("engine.intake_port", cylinder.PORT, (_core.FlowBench,)),
    KeyTable("engine.exhaust_port", cylinder.PORT, (_core.FlowBench,)),
    KeyTable("engine.runner", cylinder.PIPE, (_core.Pipe,)),
    KeyTable("engine.primary", cylinder.PIPE, (_core.Pipe,)),
    KeyTable("engine.plenum", cylinder.PLENUM, (_core.EngineRoom, _core.Pipe)),
    KeyTable("engine.plenum.throttle", cylinder.THROTTLE, (_core.Throttle,)),
    KeyTable("engine.collectors", cylinder.COLLECTORS, (_core.EngineRoom, _core.Pipe)),
    KeyTable("engine.collectors.secondaries", cylinder.SECONDARIES, (_core.EngineRoom, _core.Pipe)),
    KeyTable("engine.burn", cylinder.BURN, (_core.Burn,)),
    KeyTable("engine.heat_loss", cylinder.HEAT_LOSS, (_core.HeatLoss,)),
    KeyTable("combustion", built.COMBUSTION, (_core.Combustion,)),
    KeyTable("exhaust", built.EXHAUST, (_core.Exhaust,)),
    KeyTable("bypass", built.BYPASS, (_core.Bypass, _core.ReliefValve)),
    KeyTable("lift_off", built.LIFT_OFF, (_core.LiftOff,)),
    KeyTable("fuel_system", fuelling.FUEL_SYSTEM, (_core.Supply,)),
    KeyTable("fuel_system.injectors", fuelling.INJECTORS, (_core.Injector, _core.Supply)),
    KeyTable("fuel_system.injectors.dead_time", fuelling.DEAD_TIME),
    KeyTable("fuel_system.regulator", fuelling.REGULATOR, (_core.Supply,)),
    KeyTable("fuel_system.pumps", fuelling.PUMPS, (_core.Supply,)),
    KeyTable("fuel_system.pumps.curves", fuelling.PUMP_CURVE),
    KeyTable("fuel_system.supply_line", fuelling.LINE, (_core.Line,)),
    KeyTable("fuel_system.return_line", fuelling.LINE, (_core.Line,)),
    KeyTable("fuel_system.tank", fuelling.TANK),
    KeyTable("vehicle", driven.VEHICLE, (driven.Vehicle,)),
    KeyTable("vehicle.surfaces", driven.SURFACES),
    KeyTable("report", built.REPORT),
    KeyTable("trust", built.TRUST),
    KeyTable("run", running.RUN),
    KeyTable("run.phases", running.PHASE),
    KeyTable("plan", planned.PLAN),
    KeyTable("plan.weather", planned.DAY, (_core.Ambient,)),
    KeyTable("plan.levels", {**planned.LEVEL, "tolerance": planned.AIMS["power"]}),
    KeyTable("plan.shafts", planned.SHAFTS),
    KeyTable("plan.gears", planned.GEARS, (_core.GearPair, _core.GearTeeth)),
    KeyTable("plan.teeth", planned.TEETH, (_core.GearTeeth,)),
    KeyTable("plan.pulleys", planned.PULLEY),
    KeyTable("plan.belt", planned.BELT, (_core.PulleyPair,)),
    KeyTable("plan.limits", dict.fromkeys(LIMITED, TABLE)),
    KeyTable("plan.cylinders", planned.CYLINDERS),
    KeyTable("plan.head", planned.HEAD, (_core.HeadJoint,)),
    KeyTable("plan.throttle_shut", planned.THROTTLE_SHUT),
    KeyTable("plan.cost", planned.COST),
)


class KeyTables(Shown):
    """The keys of some tables of a build file.

    Attributes
    ----------
    chosen : tuple of KeyTable
        The tables.
    """

    chosen: tuple[KeyTable, ...]

    def __init__(self, chosen: tuple[KeyTable, ...]) -> None:
        self.chosen = chosen

    @property
    def verdict(self) -> str:
        """How many tables and keys there are."""
        keys = sum(len(table.keys) for table in self.chosen)
        one = len(self.chosen) == 1
        return f"{keys} keys in {len(self.chosen)} table{'' if one else 's'} of a build file."

    @property
    def notes(self) -> list[str]:
        """How a value is typed."""
        return [
            'A number with a unit is typed as text, such as "427 in^3"; any unit of the same kind '
            "will do.",
            "A default stands where the key is left out; where none is shown, the key is asked "
            "for, or follows from others.",
        ]

    def _tables(self, system: str) -> list[Table]:
        return [
            Table(
                ["key", "unit", "from", "to", "default", "meaning"],
                [""] * 6,
                [_row(name, key, table, system) for name, key in table.keys.items()],
                f"[{table.name}]",
                flush=(0, 1, 5),
            )
            for table in self.chosen
        ]


def key_tables(name: str | None = None) -> KeyTables:
    """Return the keys of a table and of those inside it, or of every table of a build file.

    Parameters
    ----------
    name : str, optional
        Name of the table, such as ``"engine.camshaft"``.

    Returns
    -------
    KeyTables
        The keys.

    Raises
    ------
    InputError
        A build file has no such table.
    """
    if name is None:
        return KeyTables(KEY_TABLES)
    wanted = name.strip("[] ")
    chosen = tuple(t for t in KEY_TABLES if t.name == wanted or t.name.startswith(f"{wanted}."))
    if not chosen:
        names = [table.name for table in KEY_TABLES]
        hint = suggestion(wanted, names) or f"one of {', '.join(built.SECTIONS)}"
        raise refusal("keys", "table", quoted(name), "be a table of a build file", hint)
    return KeyTables(chosen)


def _row(name: str, key: Key, table: KeyTable, system: str) -> list[str]:
    low, high, words, default = _field(key, table.stations)
    if key.kind == "count" and low == -inf:
        low, high = float(key.least), float(key.most)
    unit = _unit(key, system)
    bounds = [_shown(value, key, system) for value in (low, high)]
    standard = "" if default is None else _shown(default, key, system)
    return [name, unit, *bounds, standard, _meaning(name, key, table.name, words)]


def _field(key: Key, stations: tuple[type[Station], ...]) -> tuple[float, float, str, float | None]:
    """Lowest and highest value [SI], meaning and default of the field that a key fills."""
    for station in stations:
        for name, _, low, high, words in station.fields():
            if name == key.field:
                return low, high, words, dict(_defaults(station)).get(name)
    return -inf, inf, "", None


def _defaults(station: type[Station]) -> Iterator[tuple[str, float]]:
    """Numbers that stand where a field is left out, as the class's own text lists them."""
    for line in (station.__doc__ or "").splitlines():
        name, _, kind = line.partition(" : ")
        _, default, value = kind.partition(", default ")
        if default:
            try:
                yield name.strip(), float(value)
            except ValueError:
                continue


def _unit(key: Key, system: str) -> str:
    if key.kind.startswith("si:"):
        return key.kind.removeprefix("si:")
    if key.kind not in KINDS:
        return _PLAIN.get(key.kind, "")
    kind = KINDS[key.kind]
    return key.unit or (kind.trade if system == "trade" else kind.metric)


def _shown(value: float, key: Key, system: str) -> str:
    """A bound or default in the unit that is shown."""
    if isinf(value):
        return ""
    typed = value / key.factor
    if key.kind in KINDS:
        typed = float(display(typed, key.kind, system)[0])
    return f"{typed:.4g}" if abs(typed) < 1e4 else f"{typed:,.0f}"


def _meaning(name: str, key: Key, table: str, words: str) -> str:
    """What a key means: in its own words, else in those of the core's field that it fills."""
    if name.endswith("_diameter") and key.field.endswith("_radius"):
        words = words.replace("radius", "diameter")
    own = meaning(table, name) or words
    choices = [f'"{choice}"' for choice in key.choices]
    told = not choices or all(choice in own for choice in choices)
    own = own or "what it is"
    return own if told else f"{own}: one of {', '.join(choices)}"
