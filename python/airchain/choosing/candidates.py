"""Compressors to choose from: each a [compressor] table as a build file has it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from typing import Any

from ..base.errors import quoted, refusal
from ..chain.build import Build
from ..sketching.sketched import Sketch
from ..units.convert import to_si

__all__ = ["Candidate", "family"]

#: Trims are good within 10 % of flow or so (common practice, no source).
_TRIM = (0.85, 1.15)


@dataclass(frozen=True)
class Candidate:
    """A compressor that can be had.

    Attributes
    ----------
    name : str
        What it is called.
    table : mapping
        A ``[compressor]`` table as in a build file: with ``map`` and a ``diameter_ratio``, or with
        a ``stage``; its ``rotor_speed_limit`` must be told.
    step_ups : tuple of float
        Step-ups that it can be had with [dimensionless]; empty for that of the build.
    """

    name: str
    table: Mapping[str, Any] = field(repr=False)
    step_ups: tuple[float, ...] = ()

    @classmethod
    def of(cls, name: str, source: Build | Sketch, step_ups: Sequence[float] = ()) -> Candidate:
        """Return the compressor of a build or of a sketch made from a name plate.

        Parameters
        ----------
        name : str
            What it is called.
        source : Build or Sketch
            Whose compressor it is.
        step_ups : sequence of float, optional
            Step-ups that it can be had with [dimensionless].

        Returns
        -------
        Candidate
            The candidate.

        Raises
        ------
        InputError
            There is no compressor.
        """
        build = source.build if isinstance(source, Sketch) else source
        table = build.document.tables.get("compressor")
        if not isinstance(table, Mapping):
            raise refusal(name, "compressor", "missing", "be one of a build with a compressor")
        return cls(name, deepcopy(dict(table)), tuple(step_ups))

    @property
    def predicted(self) -> bool:
        """Whether its map follows from dimensions, not from a measurement."""
        return "stage" in self.table


def family(base: Candidate, diameters: Sequence[float] = (1.0,),
           trims: Sequence[float] = (1.0,)) -> list[Candidate]:  # fmt: skip
    """Return geometrically similar compressors of one.

    Flow ~ D^2 trim, speed ~ 1/D, at equal pressure ratio and efficiency (similarity).

    Parameters
    ----------
    base : Candidate
        The one they are similar to.
    diameters : sequence of float
        Every length over the base's [dimensionless], 0.5 to 2.
    trims : sequence of float
        Flow besides, by inducer or blade height [dimensionless], 0.85 to 1.15.

    Returns
    -------
    list of Candidate
        One a diameter and trim, smallest first.

    Raises
    ------
    InputError
        A diameter or trim lies outside its range.

    Notes
    -----
    Left out: Reynolds number and relative clearance, so a smaller one is somewhat less efficient;
    what a trim does to pressure ratio and efficiency.
    """
    for name, values, (low, high) in (
        ("diameters", diameters, (0.5, 2.0)),
        ("trims", trims, _TRIM),
    ):
        for value in values:
            if not low <= value <= high:
                raise refusal("family", name, quoted(value), f"be between {low:g} and {high:g}")
    return [_scaled(base, d, t) for d in sorted(diameters) for t in sorted(trims)]


def _scaled(base: Candidate, diameter: float, trim: float) -> Candidate:
    table = deepcopy(dict(base.table))
    table["diameter_ratio"] = float(table.get("diameter_ratio", 1.0)) * diameter
    table["flow_scale"] = float(table.get("flow_scale", 1.0)) * trim
    limit = table.get("rotor_speed_limit")
    if limit is not None:
        speed = to_si(limit, "speed", where=base.name, field="rotor_speed_limit") / diameter
        table["rotor_speed_limit"] = f"{speed!r} rad/s"
    if "inertia" in table:
        inertia = to_si(table["inertia"], "moment_of_inertia", where=base.name, field="inertia")
        table["inertia"] = f"{inertia * diameter**5!r} kg m^2"
    name = f"{base.name} x{diameter:g}" + (f", trim {trim:g}" if trim != 1.0 else "")
    return Candidate(name, table, base.step_ups)
