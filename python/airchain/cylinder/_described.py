"""What a crank-resolved engine is made of, for the core and in words."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import fields
from typing import Any, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..shown.fuel_names import fuel_words
from ..shown.tables import Shown, Table
from ..typed.place import Typed
from ..units.convert import formatted
from ._typed import thawed
from .camshaft import Cam
from .layout import Layout
from .measured_lift import MeasuredLift
from .parts import Cylinder

Remade = TypeVar("Remade")

ONE_CYLINDER = (
    "One cylinder with its own runner and primary stands for all. The pulses of the others in "
    "plenum and collector, and with them the firing order, are left out; every_cylinder has them, "
    "for an engine whose firing order is typed."
)


class Described(Shown):
    """The parts that a `CrankEngine` made of its arguments, and the engine as a table."""

    name: str
    camshaft: Any  # typed in any way, a `Cam` once made
    _cylinder: Cylinder

    def __reduce__(self) -> tuple[Any, ...]:
        return _remade, (type(self), thawed(self.arguments))

    @property
    def arguments(self) -> dict[str, Any]:
        """What it was made of, as it was typed, by the argument's name."""
        given = [one.name for one in fields(self) if one.init]  # type: ignore[arg-type]
        return {name: getattr(self, name) for name in given}

    @property
    def setup(self) -> _core.CycleSetup:
        """One cylinder as the core takes it."""
        return self._cylinder.setup

    @property
    def engine(self) -> _core.Engine:
        """Size and friction as the chain takes them."""
        return self._cylinder.size

    @property
    def injection(self) -> _core.Injection:
        """How the fuel is put in, as it was typed."""
        return self._cylinder.injection

    @property
    def clearances(self) -> Mapping[str, tuple[float, float]]:
        """Least piston-to-valve clearance [m] and its crank angle [rad], where it was checked."""
        return self._cylinder.clearances

    @property
    def layout(self) -> Layout | None:
        """Firing order, plenum and collectors; None where one cylinder stands for all."""
        return self._cylinder.layout

    def lift_limit(self, valve: str, angle: ArrayLike) -> NDArray[np.float64] | None:
        """Return the lift up to which a valve keeps its clearance to the piston.

        Parameters
        ----------
        valve : str
            ``"intake"`` or ``"exhaust"``.
        angle : array_like
            Crank angles after firing top centre [rad].

        Returns
        -------
        ndarray or None
            Valve lift of the same shape [m]; None where no ``piston_gap`` was given.
        """
        way = self._cylinder.ways[valve]
        return None if way is None else way.lift_limit(self.setup.crank, np.asarray(angle))

    @property
    def fuel_name(self) -> str:
        """Name of the fuel."""
        return self._cylinder.fuel_name

    @property
    def fingerprint(self) -> str:
        """SHA-256 of all that the results depend on."""
        whole: tuple[Any, ...] = (self.setup, self.engine, self._cylinder.cylinders)
        if self.layout is not None:
            whole = (*whole, tuple(self.layout))
        return hashlib.sha256(repr(whole).encode()).hexdigest()

    @property
    def verdict(self) -> str:
        """Size and fuel in a line."""
        crank, size = self.setup.crank, formatted(self.engine.displacement, "volume")
        return (
            f"{self.name}: {self._cylinder.cylinders} cylinders, {size}, "
            f"compression ratio {crank.compression_ratio:g}, {fuel_words(self.fuel_name)}"
        )

    @property
    def notes(self) -> list[str]:
        """What is left out."""
        return [ONE_CYLINDER]

    def _tables(self, system: str) -> list[Table]:
        setup = self.setup
        crank, mixture, cam = setup.crank, setup.mixture, self._cylinder.cam

        def length(value: float) -> str:
            return formatted(value, "length", system)

        rows = [
            ["cylinder", f"bore {length(crank.bore)}, stroke {length(crank.stroke)}, rod "
             f"{length(crank.rod_length)}"],
            ["redline", formatted(self.engine.speed_limit, "speed", system)],
            *([f"{side} lobe", _lobe(cam, side, system)] for side in ("intake", "exhaust")),
            ["installed", f"lobe separation {formatted(cam.lobe_separation, 'angle')}, intake "
             f"centreline {formatted(cam.intake_centreline, 'angle')}"],
            ["runner", _pipe(setup.intake, system)],
            ["primary", _pipe(setup.exhaust, system)],
            ["mixture", f"lambda {getattr(mixture, 'lambda'):g}, "
             f"{100.0 * mixture.evaporated_fraction:.0f} % of the fuel vapour, octane "
             f"{setup.octane:g}"],
        ]  # fmt: skip
        return [Table(["part", "as built"], ["", ""], rows)]


def _remade(cls: Callable[..., Remade], values: Mapping[str, Typed]) -> Remade:
    return cls(**values)


def _lobe(cam: Cam, side: str, system: str) -> str:
    lobe, lift = getattr(cam, side), formatted(cam.curve(side).highest, "length", system)
    low, high = cam.spans(side)["0.050"]
    way = "measured, " if isinstance(lobe, MeasuredLift) else ""
    return f"{way}{np.rad2deg(high - low):.1f} deg at 0.050 in, valve lift {lift}"


def _pipe(runner: _core.Runner, system: str) -> str:
    taper = runner.taper
    sizes = [formatted(d, "length", system) for d in (taper.diameter, taper.far_diameter)]
    return (
        f"{formatted(taper.length, 'length', system)} long, {sizes[0]} to {sizes[1]} at the valve, "
        f"wall {formatted(runner.wall_temperature, 'temperature', system)}"
    )
