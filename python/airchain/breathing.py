"""How a crank-resolved cylinder fills: the surface that the chain breathes by, made and kept."""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from . import _core
from ._errors import InputError, refusal
from ._textfile import write_text

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from ._schema_engine import Cylinder

__all__ = ["Filling", "cache_folder", "cam_breathing", "surface_of"]

_FORMAT = 1
#: Plenum over exhaust pressure of the nodes; closest where the flow of the overlap turns about.
_RATIOS = (0.6, 0.8, 0.92, 1.02, 1.15, 1.4, 1.8, 2.2, 2.7)
#: Charge temperatures of the nodes [K].
_TEMPERATURES = (260.0, 295.0, 330.0, 365.0, 400.0)
#: Exhaust pressure [Pa] of all nodes: absolute pressure moves the filling by under 0.4 % between
#: 80 and 130 kPa, and ratios set the rest.
_EXHAUST = 105e3
#: Lowest and highest speed over redline.
_SPEEDS = (0.25, 1.06)
#: Change from cycle to cycle at which a node counts as settled.
_SETTLED = 2e-4


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

    surface: Any
    cautions: tuple[str, ...]
    fingerprint: str


def cam_breathing(cylinder: Cylinder, redline: float) -> tuple[Any, tuple[str, ...]]:
    """Return the breathing of a cylinder with cams, and its cautions.

    Parameters
    ----------
    cylinder : Cylinder
        The cylinder.
    redline : float
        Highest crank speed [rad/s].

    Returns
    -------
    tuple
        The `Breathing` and its cautions.

    Raises
    ------
    InputError
        A node of the surface has no answer.
    """
    made = surface_of(cylinder.setup, redline)
    breathing = _core.Breathing(
        surface=made.surface, scale=cylinder.scale, temperature_exponent=0.0
    )
    return breathing, made.cautions


_made: dict[str, Filling] = {}


def surface_of(setup: Any, redline: float, progress: Any = None) -> Filling:
    """Return how a cylinder fills up to a redline; what was made before is not made again.

    The surface stands on crank-resolved cycles over speed (a quarter of redline to 6 % above),
    plenum over exhaust pressure (0.6 to 2.7) and charge temperature (260 to 400 K), all run at one
    exhaust pressure, 105 kPa, and the burn's own phasing. It is kept in `cache_folder`.

    Parameters
    ----------
    setup : CycleSetup
        The cylinder.
    redline : float
        Highest crank speed [rad/s].
    progress : callable, optional
        Called with the number of nodes done while a new surface is made.

    Returns
    -------
    Filling
        The surface.

    Raises
    ------
    InputError
        A node has no answer.
    """
    key = _fingerprint(setup, redline)
    if key not in _made:
        kept = _read(key)
        if kept is None:
            kept = _run(setup, redline, key, progress)
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


def _speeds(redline: float) -> NDArray[np.float64]:
    """Node speeds [rad/s]: close where standing waves of many orders crowd, at low speed."""
    first, last = (share * redline for share in _SPEEDS)
    speeds = [first]
    while speeds[-1] < last:
        step = min(0.055 * first * (speeds[-1] / first) ** 1.5, 0.0275 * last)
        # The last interval is shared out rather than left as a sliver.
        speeds.append(last if speeds[-1] + 1.5 * step > last else speeds[-1] + step)
    return np.array(speeds)


def _run(setup: Any, redline: float, key: str, progress: Any) -> Filling:
    speed, ratio, temperature = _speeds(redline), np.array(_RATIOS), np.array(_TEMPERATURES)
    grid = np.meshgrid(speed, ratio, temperature, indexing="ij")
    shape = grid[0].shape
    points = {
        "speed": grid[0].ravel(),
        "plenum_pressure": _EXHAUST * grid[1].ravel(),
        "exhaust_pressure": _EXHAUST,
        "plenum_temperature": grid[2].ravel(),
        "half_burned": setup.burn.half_burned,
    }
    # Lines run over temperature, whose neighbours are alike.
    controls = _core.CycleControls(tolerance=_SETTLED)
    found = _core.run_cycles(setup, points, controls, progress=progress, line=temperature.size)
    lost = np.flatnonzero(~np.isfinite(found["volumetric_efficiency"]))
    if lost.size:  # waves too steep for the longest time steps
        again = {k: v[lost] if isinstance(v, np.ndarray) else v for k, v in points.items()}
        careful = _core.CycleControls(tolerance=_SETTLED, courant=0.45)
        for name, values in _core.run_cycles(setup, again, careful).items():
            found[name][lost] = values
        lost = lost[~np.isfinite(found["volumetric_efficiency"][lost])]
    if lost.size:
        rpm = points["speed"][lost[0]] * 30.0 / np.pi
        rule = "have an answer at every node"
        hint = "check cams, ports and pipes for absurd dimensions"
        raise refusal("Surface", "cycle", f"none at {rpm:,.0f} rpm", rule, hint)
    wild = np.flatnonzero(found["status"] != 0)
    surface = _core.BreathingSurface(
        speed,
        ratio,
        temperature,
        found["volumetric_efficiency"].reshape(shape),
        (1.0 - np.maximum(found["scavenging_loss"], 0.0)).reshape(shape),
        (found["pmep"] / points["plenum_pressure"]).reshape(shape),
    )
    cautions: tuple[str, ...] = ()
    if wild.size:
        rpm = np.unique(np.round(points["speed"][wild] * 30.0 / np.pi, -1))
        cautions = (
            f"{wild.size} of {found['status'].size} nodes of the breathing surface did not settle "
            f"({rpm[0]:,.0f} to {rpm[-1]:,.0f} rpm): their last cycle was taken",
        )
    return Filling(surface, cautions, key)


@cache
def _core_digest() -> str:
    return hashlib.sha256(Path(_core.__file__).read_bytes()).hexdigest()


def _fingerprint(setup: Any, redline: float) -> str:
    axes = (_RATIOS, _TEMPERATURES, _EXHAUST, _SPEEDS, _SETTLED, redline)
    text = repr((_FORMAT, _core_digest(), axes, repr(setup)))
    return hashlib.sha256(text.encode()).hexdigest()


def _file(key: str) -> Path:
    return cache_folder() / f"surface-{key[:32]}.json"


_AXES = ("engine_speed", "pressure_ratio", "temperature")
_VALUES = ("volumetric_efficiency", "trapping", "pumping")


def _write(made: Filling) -> None:
    """Keep a surface; a folder that cannot be written only costs the time to make it again."""
    content = {name: getattr(made.surface, name).tolist() for name in (*_AXES, *_VALUES)}
    body = json.dumps({"cautions": made.cautions, **content})
    digest = hashlib.sha256(body.encode()).hexdigest()
    try:
        cache_folder().mkdir(parents=True, exist_ok=True)
        write_text(_file(made.fingerprint), f"{made.fingerprint}\n{digest}\n{body}\n")
    except (OSError, InputError):
        return


def _read(key: str) -> Filling | None:
    """Return a kept surface, or None where there is none or not a whole one."""
    try:
        fingerprint, digest, body = _file(key).read_text(encoding="utf-8").split("\n")[:3]
        if fingerprint != key or hashlib.sha256(body.encode()).hexdigest() != digest:
            return None
        content = json.loads(body)
        parts = [np.array(content[name]) for name in (*_AXES, *_VALUES)]
        return Filling(_core.BreathingSurface(*parts), tuple(content["cautions"]), key)
    except (OSError, ValueError, KeyError, TypeError):
        return None
