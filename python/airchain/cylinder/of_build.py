"""A crank-resolved engine of the tables that a build file gives it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from ..base.errors import refusal
from ._typed import fields_of
from .camshaft import MeasuredLift

__all__ = ["arguments", "cylinder_of"]

_ENGINE = ("bore", "stroke", "rod_length", "compression_ratio", "cylinders", "redline")


def cylinder_of(build: Any) -> Any:
    """Return the cylinder whose cams, ports and pipes make a build's breathing.

    Parameters
    ----------
    build : Build
        The build.

    Returns
    -------
    Cylinder
        Setup of the cycle, lifts and their places.

    Raises
    ------
    InputError
        The build's volumetric efficiency is typed.
    """
    if build.cylinder is None:
        rule = "have a table [engine.camshaft]"
        hint = "volumetric efficiency is typed here, so nothing is known of the cylinder"
        raise refusal(build.title, "engine", "typed breathing", rule, hint)
    return build.cylinder


def arguments(build: Any) -> dict[str, Any]:
    """Return what a `CrankEngine` is made of.

    Parameters
    ----------
    build : Build
        A build with a table ``[engine.camshaft]``.

    Returns
    -------
    dict
        Arguments as they were typed.

    Raises
    ------
    InputError
        The build's volumetric efficiency is typed.
    """
    cylinder, chain = cylinder_of(build), build.chain
    typed = build.source.file.data["engine"]
    injection = chain.injection
    found = {name: typed[name] for name in _ENGINE}
    found["cam"] = _cam(typed["camshaft"], Path(build.source.file.name).parent)
    found |= {"intake": typed["intake_port"], "exhaust": typed["exhaust_port"]}
    for name, side in (("runner", cylinder.setup.intake), ("primary", cylinder.setup.exhaust)):
        walls = {n: getattr(side, n) for n in fields_of(side)}
        found[name] = {**typed[name], **walls}
    found |= {name: typed.get(name, {}) for name in ("burn", "heat_loss")}
    size = {n: getattr(chain.engine, n) for n in fields_of(chain.engine)}
    found["friction"] = {n: v for n, v in size.items() if n.startswith("friction_")}
    found["fuel"] = {
        "name": build.inputs.get("fuel.name", "own figures"),
        "figures": chain.fuel,
        "lambda": getattr(injection, "lambda"),
        "evaporated_fraction": injection.evaporated_fraction,
        "vapour": cylinder.setup.mixture.vapour,
    }
    return {"name": build.title, **found}


def _cam(typed: Mapping[str, Any], folder: Path) -> dict[str, Any]:
    """The camshaft's table; lifts in files are read."""
    found = dict(typed)
    for name in ("intake", "exhaust"):
        lobe = dict(typed[name])
        if "lift_file" in lobe:
            found[name] = MeasuredLift.read(folder / lobe.pop("lift_file"), **lobe)
    return found
