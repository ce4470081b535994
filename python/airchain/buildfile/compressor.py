"""The compressor of a build file: a map from a file, or one predicted from dimensions."""

from __future__ import annotations

from pathlib import Path

from .. import _core
from ..base.errors import InputError, Refusal, joined, told_as
from ..base.kept import Kept
from ..base.text_file import read_text
from ..typed.place import Place
from ..typed.section import Section
from .keys import DIFFUSER, IMPELLER, STAGE, VANES, VOLUTE
from .map_file import MapFile, parse_map

#: Maps by what they were made of: most changes of a build leave its compressor as it was.
_maps: Kept[_core.CompressorMap] = Kept(64)


def compressor(typed: Section) -> _core.Compressor:
    """Return the compressor of its table, [compressor]."""
    if typed.one_of("map", "stage", needed=True) == "map":
        path = map_path(typed.source, typed.text("map"))
        performance = measured_map(path, _ratio(typed))
    else:
        performance = _predicted(typed)
    built: _core.Compressor = typed.make(
        _core.Compressor, map=performance, **typed.fields(_core.Compressor)
    )
    return built


def rotor(typed: Section) -> dict[str, float]:
    """Fields of the drive that are properties of the compressor."""
    return typed.fields(_core.Drive)


def map_path(source: Place, name: str) -> Path:
    """A map file's path, relative to the build file."""
    return source.folder / name


def _ratio(typed: Section) -> float:
    typed.positive("diameter_ratio")
    return typed.get("diameter_ratio", 1.0)


def measured_map(path: Path, diameter_ratio: float = 1.0) -> _core.CompressorMap:
    """The core's map from a map file, scaled by similarity where a ratio says so."""
    text = read_text(path, "a compressor map in CSV")

    def read_map() -> _core.CompressorMap:
        read = parse_map(text, str(path))
        try:
            plain = _core.CompressorMap(map_data(read))
            if diameter_ratio == 1.0:
                return plain
            return _core.CompressorMap(_core.scaled(map_data(read), diameter_ratio))
        except InputError as error:
            raise told_as(error, lambda one: _located(path, read, one)) from None

    return _maps.get((text, str(path), diameter_ratio), read_map)


def map_data(read: MapFile) -> _core.MapData:
    """A map file's content as the core takes it."""
    lines = [
        _core.SpeedLine(
            speed=line.speed,
            flow=list(line.flow),
            pressure_ratio=list(line.pressure_ratio),
            efficiency=list(line.efficiency),
        )
        for line in read.lines
    ]
    reference = _core.ReferenceState(
        temperature=read.reference_temperature, pressure=read.reference_pressure
    )
    return _core.MapData(
        name=read.name,
        reference=reference,
        lines=lines,
        left_end=read.left_end,
        right_end=read.right_end,
        tip_diameter=read.tip_diameter or 0.0,
        speed_limit=read.speed_limit or 0.0,
    )


def _located(path: Path, read: MapFile, refused: Refusal) -> Refusal:
    """A refusal of the map, with ``file:line`` of the point or speed line that it counts."""
    line, point = refused.indices.get("speed line", 0), refused.indices.get("point", 1)
    where = str(path)
    if 1 <= line <= len(read.lines):
        rows = read.lines[line - 1].rows
        where = f"{path}:{rows[min(point, len(rows)) - 1]}"
    return refused.replace(where=joined(where, refused.where))


def _predicted(compressor: Section) -> _core.CompressorMap:
    """A map by the mean-line method, of the stage in the compressor's table."""
    ratio, typed = _ratio(compressor), compressor.sub("stage", STAGE)
    typed.need("design_speed", "impeller", "diffuser")
    makers = {"impeller": _impeller, "diffuser": _diffuser, "volute": _volute}
    given = [name for name in makers if typed.has(name)]
    pieces = typed.source.every(lambda name: makers[name](typed), [(name,) for name in given])
    stage = typed.make(_core.Stage, **dict(zip(given, pieces, strict=True)))
    counts = {name: int(typed.number(name)) for name in ("points_per_line",) if typed.has(name)}
    design = typed.number("design_speed")
    lines = int(typed.get("lines", 9))
    speeds = typed.make(_core.predicted_speeds, design, lines)

    def predict() -> _core.CompressorMap:
        data = typed.make(_core.predict_map, stage, speeds, **counts)
        scaled = compressor.make(_core.scaled, data, ratio) if ratio != 1.0 else data
        predicted: _core.CompressorMap = compressor.make(_core.CompressorMap, scaled)
        return predicted

    return _maps.get((repr(stage), tuple(speeds), *counts.values(), ratio), predict)


def _diffuser(stage: Section) -> _core.Diffuser:
    typed = stage.sub("diffuser", DIFFUSER)
    space: dict[str, float | _core.Vanes] = {**typed.fields(_core.Diffuser)}
    if typed.has("vanes"):
        vanes = typed.sub("vanes", VANES)
        space["vanes"] = vanes.make(_core.Vanes, **vanes.fields(_core.Vanes))
    return typed.make(_core.Diffuser, **space)


def _volute(stage: Section) -> _core.Volute:
    typed = stage.sub("volute", VOLUTE)
    return typed.make(_core.Volute, **typed.fields(_core.Volute))


def _impeller(stage: Section) -> _core.Impeller:
    """The impeller; a throat that was not measured follows from blade angles and thickness."""
    typed = stage.sub("impeller", IMPELLER)
    values = typed.fields(_core.Impeller)
    if "inducer_throat_area" in values:
        return typed.make(_core.Impeller, **values)
    unknown = 1e-3  # not read by the estimate
    impeller = typed.make(_core.Impeller, inducer_throat_area=unknown, **values)
    area = typed.make(_core.estimated_inducer_throat_area, impeller)
    return typed.make(impeller.replace, inducer_throat_area=area)
