"""How a crank-resolved cylinder fills: the surface that the chain breathes by, made and kept."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass

import numpy as np

from .. import _core
from ..base import cache as kept_files
from ..base.kept import ByIdentity
from ..base.progress import Progress, announced
from . import surface
from .parts import Cylinder
from .surface import (
    AXES,
    BURNED,
    NODES,
    VALUES,
    Begun,
    Burning,
    Nodes,
    cycles_of,
    plan,
    surface_from_cycles,
)

__all__ = ["Filling", "cam_breathing", "cycle_breathing", "surface_of"]

_FORMAT = 6


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
    cylinder: Cylinder,
    redline: float,
    scale: float = 1.0,
    nodes: str = "",
    combustion: _core.Combustion | None = None,
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
    nodes : str
        ``"fine"`` or ``"coarse"``, as in `surface_of`.
    combustion : Combustion, optional
        What phases the burn by plenum pressure; the cylinder's own phasing without it.

    Returns
    -------
    tuple
        The `Breathing` and its cautions.

    Raises
    ------
    InputError
        A node of the surface has no answer.
    """
    filling = surface_of(
        cylinder.setup, redline, nodes, combustion=combustion, whose=cylinder.whose
    )
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
    setup: _core.CycleSetup,
    redline: float,
    nodes: str = "",
    progress: Progress | None = None,
    combustion: _core.Combustion | None = None,
    whose: str = "",
) -> Filling:
    """Return how a cylinder fills up to a redline; what was made before is not made again.

    The surface stands on crank-resolved cycles over speed (a quarter of redline to 6 % above),
    plenum over exhaust pressure (0.6 to 3.3) and charge temperature (260 to 400 K) at an exhaust
    pressure of 105 kPa, on fewer at 90 and 150 kPa for what exhaust pressure changes (75 to
    190 kPa), phased as at full throttle. It is kept in the folder of `airchain.base.cache`. A new
    one is announced on standard error and tells how far it is, unless `progress` is given. Work
    that is interrupted goes on where it was the next time.

    Parameters
    ----------
    setup : CycleSetup
        The cylinder.
    redline : float
        Highest crank speed [rad/s].
    nodes : str
        ``"fine"`` or ``"coarse"``, in a fifth of the time and less exact
        (`airchain.cylinder.surface.ERRORS`); fine without it.
    progress : callable, optional
        Called with the numbers of nodes done and in all while a new surface is made.
    combustion : Combustion, optional
        What phases the burn by plenum pressure; the cylinder's own phasing without it.
    whose : str
        Name of the engine, for messages.

    Returns
    -------
    Filling
        The surface.

    Raises
    ------
    InputError
        A node has no answer, or the limit of the folder is no number.
    """
    wanted, burning = NODES[nodes or surface.USUAL], Burning(setup, combustion)
    key = _fingerprint(burning, redline, wanted)
    if key not in _made:
        kept_files.limit()  # refused before the work, not after it
        kept = _read(key)
        if kept is None:
            kept = Filling(*_new(burning, redline, wanted, key, progress, whose), key)
            _write(kept)
        _made[key] = kept
    return _made[key]


def _new(
    burning: Burning,
    redline: float,
    nodes: Nodes,
    key: str,
    progress: Progress | None,
    whose: str,
) -> tuple[_core.BreathingSurface, tuple[str, ...]]:
    """Make a surface, and tell so."""
    with _begun(key) as begun:
        if progress is not None:
            return surface_from_cycles(burning, redline, nodes, begun, progress)
        count = cycles_of(burning, redline, nodes)
        what = f"breathing surface of {whose}" if whose else "breathing surface"
        words = f"A {what} is made first, from {count:,} cycles; it is then kept."
        with announced(words, what, "cycles") as tell:
            return surface_from_cycles(burning, redline, nodes, begun, tell)


@contextmanager
def _begun(key: str) -> Iterator[Begun]:
    """What an earlier making came to before it was interrupted; kept again if this one is."""
    name = f"begun-{key[:32]}.json"
    begun: Begun = {}
    with suppress(ValueError):  # none where it is not a whole one
        begun.update(json.loads(kept_files.read_sealed(name, key) or "{}"))
    before = len(begun)
    try:
        yield begun
    except BaseException:
        if len(begun) > before:
            kept_files.write_sealed(name, key, json.dumps(begun))
        raise
    if before:
        kept_files.forget(name)


#: Cylinders are long to write out, and asked for again at every change of a build.
_setups = ByIdentity[_core.CycleSetup, str](repr)


def _fingerprint(burning: Burning, redline: float, nodes: Nodes) -> str:
    made_of = (plan(nodes), redline, burning.phasing, _setups.get(burning.setup))
    text = repr((_FORMAT, kept_files.core_digest(), *made_of))
    return hashlib.sha256(text.encode()).hexdigest()


def _write(filling: Filling) -> None:
    """Keep a surface; a folder that cannot be written only costs the time to make it again."""
    content = {name: getattr(filling.surface, name).tolist() for name in (*AXES, *VALUES)}
    burned = filling.surface.burned
    content["burned"] = {name: getattr(burned, name).tolist() for name in BURNED}
    body = json.dumps({"cautions": filling.cautions, **content})
    kept_files.write_sealed(_name(filling.fingerprint), filling.fingerprint, body)


def _name(key: str) -> str:
    return f"surface-{key[:32]}.json"


def _read(key: str) -> Filling | None:
    """Return a kept surface, or None where there is none or not a whole one."""
    try:
        body = kept_files.read_sealed(_name(key), key)
        if body is None:
            return None
        content = json.loads(body)
        speed, ratio, temperature, exhaust = (np.array(content[name]) for name in AXES)
        filling, trapping, pumping, effect = (np.array(content[name]) for name in VALUES)
        burned = _core.BurnedSurface(*[np.array(content["burned"][name]) for name in BURNED])
        made = _core.BreathingSurface(
            speed, ratio, temperature, exhaust, filling, trapping, pumping, effect, burned
        )
        return Filling(made, tuple(content["cautions"]), key)
    except (ValueError, KeyError, TypeError):
        return None
