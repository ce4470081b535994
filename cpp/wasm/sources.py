"""The sources of the chain for pages, and a fingerprint of what they say.

Run it to print the fingerprint: ``python cpp/wasm/sources.py``.
"""

from __future__ import annotations

import hashlib
import re
import sys
from pathlib import Path

CPP = Path(__file__).resolve().parents[1]
#: What is compiled: all of these rooms, and of further rooms the files named.
_ROOMS = ("ambient", "base", "cylinder", "duct", "gas", "numerics")
_FILES = (
    "chain/chain.cpp",
    "chain/solve.cpp",
    "compressor/map.cpp",
    "compressor/map_check.cpp",
    "compressor/map_data.cpp",
    "compressor/map_grid.cpp",
    "cooler/cooler.cpp",
    "cycle/mixture.cpp",
    "cycle/setup.cpp",
    "fuel/fuel.cpp",
    "pipe/shape.cpp",
)
_COMMENT = re.compile(r"//[^\n]*|/\*.*?\*/", re.DOTALL)
_INCLUDE = re.compile(r'^\s*#\s*include\s*"(airchain/[^"]+)"', re.MULTILINE)


def compiled() -> list[Path]:
    """Return the files that the compiler is given, in order."""
    rooms = [file for room in _ROOMS for file in sorted((CPP / "src" / room).glob("*.cpp"))]
    return [CPP / "wasm/chain.cpp", *rooms, *(CPP / "src" / name for name in _FILES)]


def fingerprint() -> str:
    """Return SHA-256 of the compiled files and all that they include, comments left out."""
    waiting, read = compiled(), dict[Path, str]()
    while waiting:
        file = waiting.pop()
        if file not in read:
            text = file.read_text(encoding="utf-8")
            waiting += [CPP / "include" / name for name in _INCLUDE.findall(text)]
            read[file] = " ".join(_COMMENT.sub("", text).split())
    digest = hashlib.sha256()
    for file in sorted(read):
        digest.update(f"{file.relative_to(CPP).as_posix()}\n{read[file]}\n".encode())
    return digest.hexdigest()


if __name__ == "__main__":
    sys.stdout.write(f"{fingerprint()}\n")
