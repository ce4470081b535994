"""Rules of the Python package: its rooms stand on floors, and imports go downwards only."""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

PACKAGE = "python/airchain"
#: The compiled core lies below every room.
CORE = "_core"
#: Names that the standard library gives a leading underscore and means to be used.
MEANT = {"_replace", "_asdict", "_fields", "_field_defaults", "_make"}


class Import(NamedTuple):
    """One imported name: the file and line, the module it comes from, and how it is imported."""

    file: Path
    line: int
    module: tuple[str, ...]
    name: str
    for_types: bool


def floors(root: Path) -> dict[str, int]:
    """Floor of every room, from the table under 'Rooms of the package' in DEVELOPERS.md."""
    text = (root / "DEVELOPERS.md").read_text()
    _, _, section = text.partition("# Rooms of the package\n")
    rows = re.findall(r"^\|\s*(\d+)\s*\|([^|\n]*)\|", section.split("\n#")[0], re.MULTILINE)
    return {room: int(floor) for floor, rooms in rows for room in re.findall(r"`(\w+)`", rooms)}


def modules(root: Path) -> dict[tuple[str, ...], Path]:
    """File of every module, by its dotted name inside the package."""
    package = root / PACKAGE
    names = {}
    for file in sorted(package.rglob("*.py")):
        parts = file.relative_to(package).with_suffix("").parts
        names[parts[:-1] if parts[-1] == "__init__" else parts] = file
    return names


@cache
def nodes_of(text: str) -> tuple[ast.AST, ...]:
    """All nodes of a source text, parsed once for every rule that asks."""
    return tuple(ast.walk(ast.parse(text)))


def _type_only(nodes: tuple[ast.AST, ...]) -> set[int]:
    """Identities of the nodes that only a type checker sees."""
    guarded = [n for n in nodes if isinstance(n, ast.If) and "TYPE_CHECKING" in ast.dump(n.test)]
    return {id(inner) for n in guarded for part in n.body for inner in ast.walk(part)}


def imports(root: Path) -> Iterator[Import]:
    """Every import of the package from itself, those inside functions among them."""
    known = modules(root)
    for module, file in known.items():
        nodes = nodes_of(file.read_text())
        for_types = _type_only(nodes)
        package = module if file.name == "__init__.py" else module[:-1]
        for node in nodes:
            if isinstance(node, ast.Import):
                for alias in node.names:
                    if alias.name.split(".")[0] == "airchain":
                        target = tuple(alias.name.split(".")[1:])
                        yield Import(file, node.lineno, target, "", id(node) in for_types)
            if not isinstance(node, ast.ImportFrom):
                continue
            if node.level:
                base = package[: len(package) - node.level + 1]
            elif (node.module or "").split(".")[0] == "airchain":
                base = ()
            else:
                continue
            parts = tuple((node.module or "").split(".")) if node.module else ()
            target = base + (parts if node.level else parts[1:])
            for alias in node.names:
                whole = (*target, alias.name)
                if whole in known or alias.name == CORE:
                    yield Import(file, node.lineno, whole, "", id(node) in for_types)
                else:
                    yield Import(file, node.lineno, target, alias.name, id(node) in for_types)


def _room(root: Path, file: Path) -> str:
    inside = file.relative_to(root / PACKAGE).parts
    return inside[0] if len(inside) > 1 else ""


def wrong_imports(root: Path) -> list[str]:
    """Imports that do not go to the same room or to a lower floor."""
    floor = floors(root)
    complaints = []
    for one in imports(root):
        own, target = _room(root, one.file), one.module[0] if one.module else ""
        if own in ("", target) or target == CORE or not (one.module or one.name != "__version__"):
            continue
        if own not in floor or target not in floor:
            why = f"`{target if own in floor else own}` is no room in the table of DEVELOPERS.md"
        elif floor[target] < floor[own]:
            continue
        else:
            why = f"`{own}` is on floor {floor[own]}, `{target}` on floor {floor[target]}"
        place = one.file.relative_to(root)
        complaints.append(f"{place}:{one.line}: imports {'.'.join(one.module)}; {why}")
    return complaints


def circles(root: Path) -> list[str]:
    """Groups of files that import each other when they run, each told by its members."""
    known = modules(root)
    edges: dict[Path, set[Path]] = {file: set() for file in known.values()}
    for one in imports(root):
        target = known.get(one.module)
        if target is not None and not one.for_types and target != one.file:
            edges[one.file].add(target)

    def reached(start: Path) -> set[Path]:
        seen: set[Path] = set()
        waiting = list(edges[start])
        while waiting:
            file = waiting.pop()
            if file not in seen:
                seen.add(file)
                waiting += edges[file]
        return seen

    reach = {file: reached(file) for file in edges}
    groups = {
        frozenset(o for o in reach[file] if file in reach[o])
        for file in edges
        if file in reach[file]
    }
    return sorted(" <-> ".join(sorted(str(f.relative_to(root)) for f in g)) for g in groups)


def private_reaches(root: Path) -> list[str]:
    """Private names of another room that are imported, and private attributes of other files."""
    complaints = []
    for one in imports(root):
        target = one.module[0] if one.module else ""
        parts = [p for p in (*one.module, one.name) if p.startswith("_") and p != CORE]
        if target != _room(root, one.file) and parts and not parts[0].startswith("__"):
            complaints.append(f"{one.file.relative_to(root)}:{one.line}: takes {parts[0]}")
    for file in modules(root).values():
        nodes = nodes_of(file.read_text())
        own = _defined(nodes)
        for node in nodes:
            if not isinstance(node, ast.Attribute) or not node.attr.startswith("_"):
                continue
            theirs = node.attr not in own and not node.attr.startswith("__")
            if theirs and node.attr not in MEANT and not _of_self(node):
                complaints.append(
                    f"{file.relative_to(root)}:{node.lineno}: reaches for {node.attr}"
                )
    return complaints


def _of_self(node: ast.Attribute) -> bool:
    return node.attr == CORE or (
        isinstance(node.value, ast.Name) and node.value.id in ("self", "cls")
    )


def _defined(nodes: tuple[ast.AST, ...]) -> set[str]:
    """Names that a file defines itself: functions, class members, fields and variables."""
    names = set()
    for node in nodes:
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            names.add(node.name)
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            names.add(node.id)
        elif isinstance(node, ast.Attribute) and isinstance(node.ctx, ast.Store):
            names.add(node.attr)
    return names


def top_floor(root: Path) -> list[str]:
    """What stands at the top of the package and is neither a room nor one of the few files."""
    wanted = {"__init__.py", "__init__.pyi", "__main__.py", "_core.pyi", "py.typed"}
    here = {
        p.name for p in (root / PACKAGE).iterdir() if not p.name.startswith(("_core.c", "__py"))
    }
    return sorted(here - wanted - set(floors(root)))
