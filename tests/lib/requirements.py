"""Print what pyproject.toml requires to build and run airchain with the extras named."""

import re
import sys
import tomllib
from pathlib import Path


def requirements(pyproject: dict, extras: list[str]) -> list[str]:
    """Build and run-time requirements, extras that name other extras resolved."""
    project = pyproject["project"]
    found = [*pyproject["build-system"]["requires"], *project["dependencies"]]
    waiting, done = list(extras), set()
    while waiting:
        extra = waiting.pop()
        if extra in done:
            continue
        done.add(extra)
        for requirement in project["optional-dependencies"][extra]:
            own = re.fullmatch(r"airchain\[(.*)\]", requirement)
            if own:
                waiting += own[1].split(",")
            else:
                found.append(requirement)
    return found


if __name__ == "__main__":
    root = Path(__file__).resolve().parents[2]
    with open(root / "pyproject.toml", "rb") as file:
        print("\n".join(requirements(tomllib.load(file), sys.argv[1:])))
