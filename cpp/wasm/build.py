"""Compiles the chain to WebAssembly for pages, with Debian's package emscripten.

``python cpp/wasm/build.py [FOLDER]`` writes chain.wasm, and chain.json with the fingerprint of the
sources that it was made of, to python/airchain/live or to the folder given. Half a minute.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from sources import CPP, compiled, fingerprint

_EXPORTS = ("columns", "message", "chain", "solve", "station_pressure")
#: As cpp/CMakeLists.txt has them; a page has no threads, and room matters more than speed.
_OPTIONS = (
    "-std=c++20", "-Os", "-DNDEBUG", "-fwasm-exceptions", "-ffp-contract=off", "-fno-math-errno",
    "-fno-trapping-math", "--no-entry", "-sSTANDALONE_WASM", "-sALLOW_MEMORY_GROWTH=1",
)  # fmt: skip


def eigen() -> Path:
    """Return the folder of Eigen's headers: the Python package's or the system's."""
    places = [Path(p) / "cmeel.prefix/include/eigen3" for p in sys.path]
    places += [Path("/usr/include/eigen3")]
    for place in places:
        if (place / "Eigen/Dense").is_file():
            return place
    sys.exit("Eigen is not installed; pip install cmeel-eigen brings it")


def build(folder: Path) -> None:
    """Compile into a folder."""
    names = [f"_airchain_{name}" for name in _EXPORTS]
    command = [
        "em++", *_OPTIONS, f"-I{CPP / 'include'}", "-isystem", str(eigen()),
        *map(str, compiled()), f"-sEXPORTED_FUNCTIONS={','.join([*names, '_malloc', '_free'])}",
        "-o", str(folder / "chain.wasm"),
    ]  # fmt: skip
    # Debian's compiler finds its JavaScript packages there.
    environment = {**os.environ, "NODE_PATH": "/usr/share/nodejs"}
    try:
        subprocess.run(command, check=True, env=environment)
    except FileNotFoundError:
        sys.exit("em++ is not installed; apt-get install emscripten brings it")
    (folder / "chain.wasm").chmod(0o644)
    facts = {"made_of": fingerprint(), "bytes": (folder / "chain.wasm").stat().st_size}
    (folder / "chain.json").write_text(json.dumps(facts, indent=1) + "\n")


if __name__ == "__main__":
    build(Path(sys.argv[1]) if sys.argv[1:] else CPP.parent / "python/airchain/live")
