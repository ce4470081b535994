"""Counts where the package's types say nothing: `Any` and `object` of functions, and exceptions.

Run it to see every place: ``python tests/lib/loose_types.py``.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

from house_rooms import nodes_of

PACKAGE = Path(__file__).resolve().parents[2] / "python" / "airchain"
#: How many places there may be.
MOST = 80
#: Why a file's types say nothing somewhere.
REASONS = {
    "base/errors.py": "a refusal shows whatever was given",
    "base/text_file.py": "what a writer returns is not looked at",
    "buildfile/document.py": "tables as the standard reader of TOML gives them",
    "buildfile/map_reader.py": "a value as the standard reader of TOML gives it",
    "buildfile/toml_text.py": "what TOML has no form of is refused, not left to a type",
    "calibration/engine.py": "fields of several stations, handed to the core by name",
    "calibration/files.py": "a tree for the standard writer of JSON",
    "chain/build_state.py": "equality takes whatever stands on its other side",
    "chain/factors.py": "fields of several stations, handed to the core by name",
    "chain/timed_pull.py": "the core takes None where its stub names the tank alone",
    "cli/log_options.py": "settings as the standard reader of TOML gives them",
    "cylinder/_arguments.py": "a path leads to a value of any kind",
    "cylinder/_described.py": "arguments of every kind, and those that pickle asks for",
    "cylinder/_solving.py": "speeds bare or with a unit, one or a row",
    "cylinder/_typed.py": "nested values of any kind, frozen and thawed",
    "cylinder/assembly.py": "parts of the core, handed to it by name",
    "cylinder/camshaft.py": "arguments of every kind",
    "cylinder/crank_engine.py": "arguments of every kind, handed on by name",
    "cylinder/points.py": "columns of numbers, statuses or words",
    "fit/fit_file.py": "a value as the standard reader of TOML gives it",
    "measured/derive.py": "membership takes any value; what pickle asks for",
    "measured/log/mapping.py": "what pickle asks for",
    "measured/plots.py": "options of a line, handed to the drawing package by name",
    "measured/readings.py": "equality and membership take any value; what pickle asks for",
    "shown/plot_style.py": "options of a line, and axes, one or many, of the drawing package",
    "sweeps/axes.py": "values of numbers, texts or names along an axis",
    "sweeps/cluster.py": "a client of the package for clusters, which says no types",
    "sweeps/described.py": "attributes as the package for datasets takes them",
    "sweeps/store.py": "attributes as JSON has them",
    "sweeps/sweeping.py": "a client of the package for clusters, which says no types",
    "typed/keys.py": "rows of a core class: names, units and ranges",
    "typed/place.py": "whatever the maker takes",
    "typed/section.py": "whatever the maker takes, handed to the core by name",
    "units/convert.py": "whatever was typed: what is no quantity is refused by name",
}


def places(package: Path = PACKAGE) -> list[str]:
    """Arguments and returns typed `Any` or `object`, casts, and lines that mypy is to ignore."""
    found: list[str] = []
    for path in sorted(package.rglob("*.py")):
        text, name = path.read_text(), path.relative_to(package).as_posix()
        for node in nodes_of(text):
            found += [f"{name}:{node.lineno}: {what}" for what in _loose(node)]  # type: ignore[attr-defined]
        for number, line in enumerate(text.splitlines(), 1):
            if "type: ignore" in line:
                found.append(f"{name}:{number}: type: ignore")
    return found


def _loose(node: ast.AST) -> Iterator[str]:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
        given = node.args
        every = [*given.posonlyargs, *given.args, *given.kwonlyargs, given.vararg, given.kwarg]
        for one in every:
            if one is not None and _says_nothing(one.annotation):
                yield f"{node.name}({one.arg})"
        if _says_nothing(node.returns):
            yield f"{node.name} returns"
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "cast":
        yield "cast"


def _says_nothing(annotation: ast.expr | None) -> bool:
    if annotation is None:
        return False
    names = (n.id for n in ast.walk(annotation) if isinstance(n, ast.Name))
    return any(name in ("Any", "object") for name in names)


if __name__ == "__main__":
    every_place = places()
    print("\n".join([*every_place, f"{len(every_place)} places"]))
