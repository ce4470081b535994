"""The axes of a sweep: what is typed into the build value by value, and what the core varies."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..chain.build import Build
from ..shown.columns import heading
from ..typed.place import Typed, TypedByName
from ..units.convert import KINDS
from .design import Design
from .lanes import SPEEDS, Axis, core_axis, is_lane, kind_of_path, listed, numbers, rebuilt, typed

Array = NDArray[np.float64]
#: A coordinate: its values, and what is said of them.
Coordinate = tuple[Any, dict[str, str]]


@dataclass(frozen=True)
class Outer:
    """An axis outside the core's grid.

    Attributes
    ----------
    coordinates : mapping
        Values along the axis and what is said of them, by name; its own among them.
    typed : sequence of mapping
        What each value types into the build, by path; empty where nothing is typed.
    fixed : mapping
        Numbers that the core sets at each value [SI], by its name for the axis.
    """

    coordinates: Mapping[str, Coordinate]
    typed: Sequence[TypedByName] = field(default_factory=list)
    fixed: Mapping[str, Array] = field(default_factory=dict)

    @property
    def size(self) -> int:
        """Number of values [dimensionless]."""
        values = next(iter(self.coordinates.values()))[0]
        return len(values)


@dataclass(frozen=True)
class Axes:
    """All axes, outer ones first, as they are solved and kept.

    Attributes
    ----------
    order : tuple of str
        Names as the user gave them.
    outer : mapping
        Outer axes by name.
    lanes : mapping
        Values of the core's axes by the user's name: SI, or rpm.
    core : mapping
        The same by the core's name, SI, behind the factors of a fit.
    said : mapping
        What is said of the lanes' coordinates.
    """

    order: tuple[str, ...]
    outer: Mapping[str, Outer]
    lanes: Mapping[str, Array]
    core: Mapping[str, Array]
    said: Mapping[str, dict[str, str]]

    @property
    def dims(self) -> tuple[str, ...]:
        """Names in the order of solving."""
        return (*self.outer, *self.lanes)

    @property
    def shape(self) -> tuple[int, ...]:
        """Number of values of each [dimensionless]."""
        return (*(o.size for o in self.outer.values()), *(v.size for v in self.lanes.values()))

    @property
    def points(self) -> int:
        """Number of points [dimensionless]."""
        points = 1
        for size in self.shape:
            points *= size  # exact, however many there are
        return points

    def coordinates(self) -> dict[str, tuple[str, Any, dict[str, str]]]:
        """Axis, values and words of every coordinate."""
        found: dict[str, tuple[str, Any, dict[str, str]]] = {}
        for name in self.order:
            if name in self.lanes:
                found[name] = (name, self.lanes[name], self.said[name])
                continue
            for path, (values, words) in self.outer[name].coordinates.items():
                found[path] = (name, values, words)
        return found


def axes_of(build: Build, given: Mapping[str, Axis | Design]) -> Axes:
    """Tell apart what the core varies and what is typed into the build.

    Parameters
    ----------
    build : Build
        The build.
    given : mapping
        Values by axis, as `sweep` takes them.

    Returns
    -------
    Axes
        The axes.

    Raises
    ------
    InputError
        There is none, none is engine speed, or a value is refused.
    """
    if not given:
        raise refusal("sweep", "axes", "{}", "name at least one input", 'such as {"rpm": [5000]}')
    plain = {n: v for n, v in given.items() if not isinstance(v, Design | Mapping)}
    found = {n: numbers(build, n, v) for n, v in plain.items() if is_lane(build, n)}
    drawn = {n: v.numbers(build) for n, v in given.items() if isinstance(v, Design)}
    sampled = {path: values for one in drawn.values() for path, values in one.items()}
    _check_once(given)
    alone = rebuilt(build, {**found, **sampled})
    outer: dict[str, Outer] = {}
    lanes: dict[str, Array] = {}
    for name, values in given.items():
        if isinstance(values, Design):
            outer[name] = _drawn(build, values, drawn[name], alone)
        elif isinstance(values, Mapping):
            outer[name] = _options(name, values)
        elif name in found and name not in alone:
            lanes[name] = found[name]
        else:
            outer[name] = _one_by_one(build, name, found.get(name), values)
    core = dict(core_axis(build, name, values) for name, values in lanes.items())
    axes = Axes(tuple(given), outer, lanes, core, {n: _said(build, n) for n in lanes})
    if "engine_speed" not in core and not any("engine_speed" in o.fixed for o in outer.values()):
        hint = 'such as "rpm": [3000, 4000, 5000]'
        raise refusal("sweep", "axes", quoted(list(given)), 'hold "rpm" or "engine_speed"', hint)
    return axes


def _check_once(given: Mapping[str, Axis | Design]) -> None:
    """Refuse two axes that move one input, of which one would be lost."""
    by_axis: dict[str, set[str]] = {}
    for name, values in given.items():
        if isinstance(values, Design):
            by_axis[name] = set(values.paths)
        elif isinstance(values, Mapping):
            options = [one for one in values.values() if isinstance(one, Mapping)]
            by_axis[name] = {str(path) for one in options for path in one}
        else:
            by_axis[name] = {name}
    moved: set[str] = set()
    for paths in by_axis.values():
        paths = {"rpm" if path in SPEEDS else path for path in paths}
        for path in sorted(paths & moved):
            raise refusal("sweep", "axes", quoted(path), "be moved by one axis only")
        moved |= paths


def _one_by_one(build: Build, name: str, found: Array | None, values: Axis) -> Outer:
    """An axis that is typed into the build; `found` are its numbers where it has such."""
    if found is not None:
        changes = [{name: typed(build, name, value)} for value in found]
        return Outer({name: (found, _said(build, name))}, changes)
    every = [v.item() if isinstance(v, np.generic) else v for v in listed(name, values)]
    plain = all(isinstance(v, str | float | int) for v in every)
    shown = every if plain else [str(v) for v in every]
    said = _called(name) if "." in name else {}
    return Outer({name: (np.array(shown), said)}, [{name: value} for value in every])


def _options(name: str, options: Mapping[str, Typed]) -> Outer:
    """An axis whose values are named, each with what it types into the build."""
    listed(name, list(options))
    typed_in: list[TypedByName] = []
    for label, changes in options.items():
        if not isinstance(label, str) or not isinstance(changes, Mapping):
            rule = "map each name to the paths it changes"
            hint = '{"pair A": {"drive.links.0.driving_teeth": 40}, "as it is": {}}'
            raise refusal("sweep", name, quoted({label: changes}), rule, f"such as {hint}")
        typed_in.append(changes)
    return Outer({name: (np.array(list(options)), {})}, typed_in)


def _drawn(build: Build, design: Design, values: Mapping[str, Array], alone: set[str]) -> Outer:
    """The axis of a design: its samples along one axis, with a coordinate for each input."""
    coordinates: dict[str, Coordinate] = {
        path: (column, (_said(build, path) if path in values else _called(path)) | said)
        for path, (column, said) in design.shown(build).items()
    }
    fixed = dict(core_axis(build, p, v) for p, v in values.items() if p not in alone)
    texts = {p: design.typed(build, p) for p in design.paths if p not in values}
    texts |= {p: [typed(build, p, one) for one in values[p]] for p in values if p in alone}
    changes = [dict(zip(texts, row, strict=True)) for row in zip(*texts.values(), strict=True)]
    return Outer(coordinates, changes, fixed)


def _said(build: Build, path: str) -> dict[str, str]:
    unit = "rpm" if path == "rpm" else KINDS[kind_of_path(build, path)].si_unit
    return {"units": unit or "1", **_called(path)}


def _called(path: str) -> dict[str, str]:
    return {"long_name": _words(path)}


def _words(path: str) -> str:
    station, _, name = path.rpartition(".")
    station = station.replace(".", " ")
    if path in SPEEDS:
        return "engine speed"
    return heading(name) if name.startswith(station) else f"{station} {heading(name)}".strip()


def changed(build: Build, values: TypedByName) -> Build:
    """Return the build at one combination of outer values."""
    if "level" in values:
        level = values["level"]
        if not isinstance(level, str) or level not in build.levels:
            known = [str(name) for name in build.levels]
            rule = f"be a level of the build: {', '.join(known) or 'it has none'}"
            raise refusal("sweep", "level", quoted(level), rule, suggestion(str(level), known))
        build = build.level(str(level))
    rest = {path: value for path, value in values.items() if path != "level"}
    return build.replace(rest) if rest else build
