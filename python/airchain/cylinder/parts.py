"""One cylinder with its cams, ports and pipes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from .. import _core
from ..base.errors import refusal
from .camshaft import Cam
from .clearance import Clearance
from .layout import Layout


@dataclass(frozen=True, eq=False)
class Cylinder:
    """An engine's cylinder, made of its tables by `assembly.assembled`.

    Attributes
    ----------
    setup : CycleSetup
        What the crank-resolved cycle needs.
    size : Engine
        Size and friction of the whole engine, as the chain takes them.
    cylinders : int
        How many the engine has, dimensionless.
    cam : Cam
        The camshaft.
    ways : mapping
        Free way of each valve to the piston, None where it was not typed.
    clearances : mapping
        Least piston-to-valve clearance [m] and its crank angle [rad], where it was checked.
    fuel_name : str
        What the fuel is called.
    injection : Injection
        How it is put in, as it was typed; `setup` holds as much vapour as the air takes.
    typed : mapping
        What it was made of, as it was typed, with the camshaft made: `CrankEngine` takes it.
    layout : Layout or None
        Firing order, plenum and collectors; None where one cylinder stands for all.
    spread : bool
        Whether the worst cylinder is to be told, where the layout can.
    coarse : bool
        Whether few and coarse whole engines tell it, as beside a coarse surface.
    whose : str
        Name of the build, for messages; empty where there is none.
    """

    setup: _core.CycleSetup
    size: _core.Engine
    cylinders: int
    cam: Cam
    ways: Mapping[str, Clearance | None]
    clearances: Mapping[str, tuple[float, float]]
    fuel_name: str
    injection: _core.Injection
    typed: Mapping[str, Any]
    layout: Layout | None = None
    spread: bool = True
    coarse: bool = False
    whose: str = ""


class HasCylinder(Protocol):
    """What is asked of a build by this room."""

    @property
    def title(self) -> str:
        """Name and drive step."""

    @property
    def chain(self) -> _core.Chain:
        """The stations."""

    @property
    def cylinder(self) -> Cylinder | None:
        """The cylinder whose cams make the breathing; None where that is typed."""


def cylinder_of(build: HasCylinder) -> Cylinder:
    """Return the cylinder whose cams, ports and pipes make a build's breathing.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    Cylinder
        The cylinder.

    Raises
    ------
    InputError
        The build's volumetric efficiency is typed.
    """
    if build.cylinder is None:
        rule = "have a table [engine.camshaft]"
        hint = (
            "volumetric efficiency is typed here, so nothing is known of the cylinder: give "
            'camshaft, ports and pipes, and replace "engine.volumetric_efficiency" by None'
        )
        raise refusal(build.title, "engine", "typed breathing", rule, hint)
    return build.cylinder
