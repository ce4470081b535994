"""Rules of the source tree, each a function from a project's top directory to its complaints."""

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

CODE = ("cpp", "python", "tests", "examples", "demo")
TEXT = {".cpp", ".hpp", ".py", ".pyi", ".md", ".toml", ".csv", ".txt", ".sh", ".json", ".html", ""}

# Of the core only `sweep` may use these: the core also compiles where there are no threads and
# no files, and with standard libraries that lack the last three.
BARRED = (
    "thread|mutex|future|condition_variable|stop_token|fstream|iostream|filesystem|Python.h"
    "|pybind11/.*|format|bit|source_location"
)


def files(root: Path, suffixes: tuple[str, ...], *folders: str) -> list[Path]:
    """Source files below the folders, in order."""
    found = [f for folder in folders for f in (root / folder).rglob("*") if f.suffix in suffixes]

    def ours(file: Path) -> bool:
        parts = file.relative_to(root).parts
        made = any(p.startswith(".") or p == "__pycache__" for p in parts)
        return file.is_file() and not made and parts[:2] != ("demo", "out")

    return sorted(f for f in found if ours(f))


def floors(root: Path) -> dict[str, int]:
    """Floor of every room, from the rows `| floor | rooms |` of the table in DEVELOPERS.md."""
    text = (root / "DEVELOPERS.md").read_text()
    core = text.partition("# Rooms of the package\n")[0]
    rows = re.findall(r"^\|\s*(\d+)\s*\|([^|\n]*)\|", core, re.MULTILINE)
    return {room: int(floor) for floor, rooms in rows for room in re.findall(r"`(\w+)`", rooms)}


def room_of(root: Path, file: Path) -> str:
    """Room that a file of the core belongs to."""
    inside = file.relative_to(root / "cpp").parts
    return inside[2] if inside[0] == "include" else inside[1]


def includes(file: Path) -> list[tuple[int, str]]:
    """Line number and target of every include."""
    lines = file.read_text().splitlines()
    found = [(n, re.match(r'\s*#\s*include\s*[<"]([^>"]+)[>"]', s)) for n, s in enumerate(lines, 1)]
    return [(n, match[1]) for n, match in found if match]


def core_includes(root: Path) -> Iterator[tuple[Path, int, str]]:
    """Every include of the core: file, line and target."""
    for file in files(root, (".hpp", ".cpp"), "cpp/include", "cpp/src"):
        for line, target in includes(file):
            yield file, line, target


def wrong_includes(root: Path) -> list[str]:
    """Includes of the core that do not go to the same room or to a lower floor."""
    floor = floors(root)
    complaints = []
    for file, line, target in core_includes(root):
        own, parts = room_of(root, file), target.split("/")
        if parts[0] != "airchain":
            continue
        if len(parts) < 3 or parts[1] not in floor or own not in floor:
            why = "a room is not in the table of DEVELOPERS.md"
        elif parts[1] == own or floor[parts[1]] < floor[own]:
            continue
        else:
            why = f"`{own}` is on floor {floor[own]}, `{parts[1]}` on floor {floor[parts[1]]}"
        complaints.append(f"{file.relative_to(root)}:{line}: includes {target}; {why}")
    return complaints


def barred_includes(root: Path) -> list[str]:
    """Headers that the core must do without, `sweep` apart."""
    return [
        f"{file.relative_to(root)}:{line}: includes <{target}>"
        for file, line, target in core_includes(root)
        if re.fullmatch(BARRED, target) and room_of(root, file) != "sweep"
    ]


def unmatched_rooms(root: Path) -> list[str]:
    """Rooms that lack tests, and folders or binding files that name no room."""

    def rooms(folder: str) -> set[str]:
        return {f.name for f in (root / folder).glob("*") if f.is_dir() and any(f.iterdir())}

    known, headers = set(floors(root)), rooms("cpp/include/airchain")
    return [
        *(f"cpp/include/airchain/{r}: not in the table of DEVELOPERS.md" for r in headers - known),
        *(f"cpp/src/{r}: has no headers of that name" for r in rooms("cpp/src") - headers),
        *(f"{r}: has no tests in tests/cpp/{r}" for r in headers - rooms("tests/cpp")),
        *(f"tests/cpp/{r}: names no room" for r in rooms("tests/cpp") - headers - {"support"}),
        *(
            f"cpp/bindings/{f.name}: names no room"
            for f in sorted((root / "cpp/bindings").glob("*.cpp"))
            if not (_binds_a_room(f, headers) or _is_a_tool(f))
        ),
    ]


def _binds_a_room(file: Path, rooms: set[str]) -> bool:
    """Whether a file is bind_<room>.cpp or bind_<room>_<concept>.cpp."""
    return any(re.fullmatch(rf"bind_{room}(_\w+)?", file.stem) for room in rooms)


def _is_a_tool(file: Path) -> bool:
    """Whether a binding file is the module itself, or a tool with a header and nothing bound."""
    binds = re.search(r"^void bind_|\bmodule_&", file.read_text(), re.MULTILINE)
    return file.stem == "module" or not (file.stem.startswith("bind_") or binds)


def long_files(root: Path, limit: int = 400) -> list[str]:
    """Source files of more lines than the limit."""
    sizes = {
        f: len(f.read_text().splitlines()) for f in files(root, (".cpp", ".hpp", ".py"), *CODE)
    }
    return [f"{f.relative_to(root)}: {n} lines" for f, n in sizes.items() if n > limit]


def long_binding_files(root: Path, limit: int = 120) -> list[str]:
    """Files of the bindings of more lines than the limit: each binds one concept."""
    sizes = {
        f: len(f.read_text().splitlines()) for f in files(root, (".cpp", ".hpp"), "cpp/bindings")
    }
    return [f"{f.relative_to(root)}: {n} lines" for f, n in sizes.items() if n > limit]


def code_lines(file: Path) -> list[tuple[int, str]]:
    """Lines that say something: no blanks, comments, imports or lone brackets."""
    lines = [(n, s.strip()) for n, s in enumerate(file.read_text().splitlines(), 1)]
    idle = re.compile(r"(//|#|\"\"\"|import |from |using |namespace )|\W*$")
    return [(n, s) for n, s in lines if not idle.match(s)]


def repeated_code(root: Path, length: int = 10) -> list[str]:
    """Places where as many lines of code in a row as `length` stand elsewhere word for word."""
    first: dict[tuple[str, ...], tuple[Path, int]] = {}
    pairs: dict[tuple[Path, Path], str] = {}
    for file in files(root, (".cpp", ".hpp", ".py"), "cpp", "python", "tests/lib"):
        lines = code_lines(file)
        for start in range(len(lines) - length + 1):
            block = tuple(text for _, text in lines[start : start + length])
            other, line = first.setdefault(block, (file, lines[start][0]))
            apart = other != file or lines[start][0] >= line + length
            if apart and (file, other) not in pairs:
                here = f"{file.relative_to(root)}:{lines[start][0]}"
                pairs[file, other] = f"{here}: stands also at {other.relative_to(root)}:{line}"
    return list(pairs.values())


def machine_paths(root: Path) -> list[str]:
    """Paths of someone's machine, and unfinished work, in files meant for everybody."""
    pattern = re.compile(r"(?<![\w.])/(?:home|root|work|Users)/\w|\b(?:TODO|FIXME|XXX)\b")
    places = [f for f in files(root, tuple(TEXT), *CODE) if not f.name.startswith("house")]
    places += [f for f in root.glob("*") if f.is_file()]
    complaints = []
    for file in places:
        for n, line in enumerate(file.read_text(errors="replace").splitlines(), 1):
            if pattern.search(line):
                complaints.append(f"{file.relative_to(root)}:{n}: {line.strip()}")
    return complaints


def top_level(root: Path) -> list[str]:
    """Names at the top that the layout does not have, or that it has and the tree lacks."""
    wanted = {"CMakeLists.txt", "pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE"}
    wanted |= set(CODE)
    run = ["git", "-C", str(root), "ls-files", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(run, capture_output=True, text=True, check=True).stdout.splitlines()
    here = {p.split("/")[0] for p in listed if not p.startswith(".")}
    return [f"{n}: not in the layout" for n in sorted(here - wanted)] + [
        f"{n}: missing" for n in sorted(wanted - here)
    ]


def shared_code(symbols: dict[Path, str]) -> list[str]:
    """Mergeable functions in outputs of `nm --demangle` whose names lack their file's tag.

    The linker keeps one copy of such a function for the whole program. Were it the copy from an
    object file compiled for newer processors, older ones would stop at the first call.
    """
    return [
        f"{file}: {name}"
        for file, listing in symbols.items()
        for name in re.findall(r"^[0-9a-f]+ W (.*)$", listing, re.MULTILINE)
        if instruction_set_of(file) not in name.lower()
    ]


def instruction_set_of(file: Path) -> str:
    """Tag that an object file's name tells."""
    return "avx512" if "avx512" in file.name else "avx2"


def symbols(objects: list[Path]) -> dict[Path, str]:
    """Symbols of every object file."""
    return {
        file: subprocess.run(
            ["nm", "--demangle", str(file)], capture_output=True, text=True, check=True
        ).stdout
        for file in objects
    }


def kernel_objects(root: Path) -> list[Path]:
    """Object files of the AVX2 and AVX-512 kernels that tests/run built."""
    kept = [root / "build" / name for name in ("dev", "tested", "release", "wheel")]
    return [f for folder in kept for f in folder.rglob("*kernel_avx*.cpp.o")]
