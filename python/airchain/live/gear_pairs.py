"""The gear pairs of a build's drive, each both ways round, as levels that a knob fits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from ..base.errors import InputError, quoted, refusal, suggestion
from ..chain.build import Build
from ..typed.place import Typed

__all__ = ["fitted", "pairs_of", "typed_pair"]

_TEETH = ("driving_teeth", "driven_teeth")
#: What a table of a pair holds that another way round does not keep.
_OWN = ("kind", "flipped", *_TEETH)


def pairs_of(build: Build) -> dict[str, Build]:
    """Return the build with each gear pair fitted, slowest drive first.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    dict of Build
        By the pair's name, such as ``"33/40 teeth"``: driving over driven gear. The pairs are those
        of the drive and of its levels, both ways round; whether bores and splines let a pair be
        turned round is not asked. Empty where the drive has no gear pair.
    """
    made = {}
    for name in _tables(build):
        try:
            made[name] = fitted(build, name)
        except InputError:
            continue  # does not go on the drive's shafts
    return dict(sorted(made.items(), key=lambda one: float(one[1].chain.drive.drive_ratio)))


def typed_pair(build: Build, name: str) -> dict[str, Typed]:
    """Return what a pair types into the build's file: a level of its own.

    Parameters
    ----------
    build : Build
        The build.
    name : str
        The pair's name.

    Returns
    -------
    dict
        Path and table.

    Raises
    ------
    InputError
        There is no such pair.
    """
    tables = _tables(build)
    if name not in tables:
        rule = f"be one of {', '.join(tables)}" if tables else "be left out: there is no gear pair"
        raise refusal("explore", "gear pair", quoted(name), rule, suggestion(name, list(tables)))
    return {f"levels.{name}.gears": tables[name]}


def fitted(build: Build, name: str) -> Build:
    """Return the build with one of its pairs fitted.

    Parameters
    ----------
    build : Build
        The build.
    name : str
        The pair's name.

    Returns
    -------
    Build
        The build, on a level of the pair's name.

    Raises
    ------
    InputError
        There is no such pair, or it does not go on the drive's shafts.
    """
    return build.replace(typed_pair(build, name)).level(name)


def _tables(build: Build) -> dict[str, dict[str, Typed]]:
    """Every pair's table by its name."""
    tables: dict[str, dict[str, Typed]] = {}
    for typed in _typed(build):
        pair = [typed.get(name) for name in _TEETH]
        if not all(isinstance(teeth, int) for teeth in pair):
            continue
        kept = {key: value for key, value in typed.items() if key not in _OWN}
        for driving, driven in (pair, pair[::-1]):
            table = {**dict(zip(_TEETH, (driving, driven), strict=True)), **kept}
            tables.setdefault(f"{driving}/{driven} teeth", table)
    return tables


def _typed(build: Build) -> Iterator[Mapping[str, Typed]]:
    """The tables of gear pairs: the drive's first, and those that levels put in its place."""
    drive = build.document.tables.get("drive", {})
    links = drive.get("links", []) if isinstance(drive, Mapping) else []
    gears = [one for one in links if isinstance(one, Mapping) and one.get("kind") == "gears"]
    if not gears:
        return
    yield gears[0]
    levels = build.document.tables.get("levels", {})
    for level in levels.values() if isinstance(levels, Mapping) else []:
        if isinstance(level, Mapping) and isinstance(level.get("gears"), Mapping):
            yield level["gears"]
