"""How a crank-resolved cylinder fills: the surface that the chain breathes by, made and kept."""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from .. import _core
from ..base.errors import InputError
from ..base.kept import ByIdentity
from ..base.progress import Progress, telling
from ..base.text_file import write_text
from . import surface
from .parts import Cylinder
from .surface import AXES, NODES, VALUES, Nodes, plan, surface_from_cycles

__all__ = ["Filling", "cache_folder", "cam_breathing", "surface_of"]

_FORMAT = 3


@dataclass(frozen=True, eq=False)
class Filling:
    """A surface and what is to be said of it.

    Attributes
    ----------
    surface : BreathingSurface
        What the chain takes.
    cautions : tuple of str
        What its user should know, such as nodes that did not settle.
    fingerprint : str
        SHA-256 of everything that it was made of, the compiled core included.
    """

    surface: _core.BreathingSurface
    cautions: tuple[str, ...]
    fingerprint: str


def cam_breathing(
    cylinder: Cylinder, redline: float, scale: float = 1.0, fineness: str = ""
) -> tuple[_core.Breathing, tuple[str, ...]]:
    """Return the breathing of a cylinder with cams, and its cautions.

    Parameters
    ----------
    cylinder : Cylinder
        The cylinder.
    redline : float
        Highest crank speed [rad/s].
    scale : float
        Factor on the volumetric efficiency that the chain takes, dimensionless.
    fineness : str
        ``"fine"`` or ``"coarse"``, as in `surface_of`.

    Returns
    -------
    tuple
        The `Breathing` and its cautions.

    Raises
    ------
    InputError
        A node of the surface has no answer.
    """
    filling = surface_of(cylinder.setup, redline, fineness)
    breathing = _core.Breathing(surface=filling.surface, scale=scale, temperature_exponent=0.0)
    return breathing, filling.cautions


def cycle_breathing(scale: float = 1.0) -> _core.Breathing:
    """Return the breathing of a chain whose cylinder's cycle is run at every point.

    Parameters
    ----------
    scale : float
        Factor on the volumetric efficiency of the cycles, dimensionless.

    Returns
    -------
    Breathing
        One without table and surface.
    """
    return _core.Breathing(scale=scale, temperature_exponent=0.0)


_made: dict[str, Filling] = {}


def surface_of(
    setup: _core.CycleSetup, redline: float, fineness: str = "", progress: Progress | None = None
) -> Filling:
    """Return how a cylinder fills up to a redline; what was made before is not made again.

    The surface stands on crank-resolved cycles over speed (a quarter of redline to 6 % above),
    plenum over exhaust pressure (0.6 to 3.3) and charge temperature (260 to 400 K) at an exhaust
    pressure of 105 kPa, on fewer at 90 and 150 kPa for what exhaust pressure changes (75 to
    190 kPa), with gas of 1050 K behind the primary and the burn's own phasing. It is kept in
    `cache_folder`. A new one tells on standard error how far it is, unless `progress` is given.

    Parameters
    ----------
    setup : CycleSetup
        The cylinder.
    redline : float
        Highest crank speed [rad/s].
    fineness : str
        ``"fine"``, within 0.5 % of the cycle between its nodes, or ``"coarse"``, in a fifth of the
        time and up to 2.6 % off; fine without it.
    progress : callable, optional
        Called with the numbers of nodes done and in all while a new surface is made.

    Returns
    -------
    Filling
        The surface.

    Raises
    ------
    InputError
        A node has no answer.
    """
    nodes = NODES[fineness or surface.USUAL]
    key = _fingerprint(setup, redline, nodes)
    if key not in _made:
        kept = _read(key)
        if kept is None:
            with telling("breathing surface of a new engine", "cycles") as tell:
                surface_and_cautions = surface_from_cycles(setup, redline, nodes, progress or tell)
            kept = Filling(*surface_and_cautions, key)
            _write(kept)
        _made[key] = kept
    return _made[key]


def cache_folder() -> Path:
    """Return the folder that surfaces are kept in.

    Returns
    -------
    pathlib.Path
        ``$AIRCHAIN_CACHE`` where that is set, else ``airchain`` in the user's folder for caches.
        Everything in it may be deleted; it is made again.
    """
    if chosen := os.environ.get("AIRCHAIN_CACHE"):
        return Path(chosen)
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "airchain"


@cache
def _core_digest() -> str:
    return hashlib.sha256(Path(_core.__file__).read_bytes()).hexdigest()


#: Cylinders are long to write out, and asked for again at every change of a build.
_setups = ByIdentity[_core.CycleSetup, str](repr)


def _fingerprint(setup: _core.CycleSetup, redline: float, nodes: Nodes) -> str:
    text = repr((_FORMAT, _core_digest(), plan(nodes), redline, _setups.get(setup)))
    return hashlib.sha256(text.encode()).hexdigest()


def _file(key: str) -> Path:
    return cache_folder() / f"surface-{key[:32]}.json"


def _write(filling: Filling) -> None:
    """Keep a surface; a folder that cannot be written only costs the time to make it again."""
    content = {name: getattr(filling.surface, name).tolist() for name in (*AXES, *VALUES)}
    body = json.dumps({"cautions": filling.cautions, **content})
    digest = hashlib.sha256(body.encode()).hexdigest()
    try:
        cache_folder().mkdir(parents=True, exist_ok=True)
        write_text(_file(filling.fingerprint), f"{filling.fingerprint}\n{digest}\n{body}\n")
    except (OSError, InputError, RuntimeError):  # the last where there is no home
        return


def _read(key: str) -> Filling | None:
    """Return a kept surface, or None where there is none or not a whole one."""
    try:
        fingerprint, digest, body = _file(key).read_text(encoding="utf-8").split("\n")[:3]
        if fingerprint != key or hashlib.sha256(body.encode()).hexdigest() != digest:
            return None
        content = json.loads(body)
        parts = [np.array(content[name]) for name in (*AXES, *VALUES)]
        return Filling(_core.BreathingSurface(*parts), tuple(content["cautions"]), key)
    except (OSError, ValueError, KeyError, TypeError, RuntimeError):
        return None
