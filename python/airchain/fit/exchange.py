"""Exchanging what differs between two chains, factor by factor."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations
from math import factorial

import numpy as np

from .. import _core
from ..base.errors import refusal
from ..base.speeds import RPM

#: What is exchanged together, in the order the air meets it: words, and station or its fields.
_FACTORS: dict[str, tuple[str, ...]] = {
    "weather": ("ambient", "scoop"),
    "inlet loss": ("inlet",),
    "compressor": ("compressor",),
    "drive speed": ("drive.drive_ratio", "drive.step_up"),
    "drive losses": ("drive.efficiency", "drive.drag_torque", "drive.inertia", "drive.belts"),
    "charge ducts": ("discharge", "charge_duct", "throttle", "bypass"),
    "cooler temperature": (
        "cooler.effectiveness", "cooler.coolant_temperature", "cooler.coolant_rise",
        "cooler.shape", "cooler.ambient_cooled",
    ),
    "cooler loss": ("cooler.loss_coefficient", "cooler.area"),
    "fuel and mixture": ("fuel", "injection"),
    "volumetric efficiency": ("breathing",),
    "displacement and friction": ("engine",),
    "phasing": ("combustion.phasing", "combustion.best_phasing", "combustion.phasing_retard"),
    "indicated efficiency": (
        "combustion.quality", "combustion.work_scale", "combustion.coolant_share",
    ),
    "exhaust back pressure": ("exhaust",),
}  # fmt: skip
_MOST = 12


@dataclass(frozen=True)
class Exchange:
    """What exchanging factors of chain `a` for those of chain `b` does to a column [SI].

    `shares` are Shapley values, `alone` what each factor does by itself, `pairs` what two do beyond
    each alone.
    """

    first: float
    second: float
    shares: dict[str, float]
    alone: dict[str, float]
    pairs: dict[tuple[str, str], float]

    @classmethod
    def of(cls, a: _core.Chain, b: _core.Chain, rpm: float, column: str) -> Exchange:
        """Return it at an engine speed [rpm]."""
        differing = [name for name, paths in _FACTORS.items() if _differ(a, b, paths)]
        if len(differing) > _MOST:
            rule = f"differ in at most {_MOST} of {len(_FACTORS)} factors"
            raise refusal("explain", "second", f"{len(differing)} factors", rule)
        worth: dict[frozenset[str], float] = {}

        def value(chosen: frozenset[str]) -> float:
            if chosen not in worth:
                worth[chosen] = _solved(_mixed(a, b, chosen), rpm, [column], chosen)[0]
            return worth[chosen]

        none = frozenset[str]()
        alone = {name: value(frozenset({name})) - value(none) for name in differing}
        pairs = {
            (x, y): value(frozenset({x, y})) - value(none) - alone[x] - alone[y]
            for x, y in combinations(differing, 2)
        }
        shares = _shapley(differing, value)
        return cls(value(none), value(frozenset(differing)), shares, alone, pairs)


def _shapley(names: list[str], value: Callable[[frozenset[str]], float]) -> dict[str, float]:
    n = len(names)
    shares = {}
    for name in names:
        others = [o for o in names if o != name]
        total = 0.0
        for size in range(n):
            weight = factorial(size) * factorial(n - size - 1) / factorial(n)
            for some in combinations(others, size):
                total += weight * (value(frozenset({*some, name})) - value(frozenset(some)))
        shares[name] = total
    return shares


def _differ(a: _core.Chain, b: _core.Chain, paths: tuple[str, ...]) -> bool:
    for path in paths:
        station, _, field = path.partition(".")
        one, other = getattr(a, station), getattr(b, station)
        if field:
            one, other = (getattr(x, field) if x is not None else None for x in (one, other))
        if one != other:
            return True
    return False


def _mixed(a: _core.Chain, b: _core.Chain, chosen: frozenset[str]) -> _core.Chain:
    """Return chain `a` with the chosen factors of chain `b`."""
    stations = {}
    for name in chosen:
        for path in _FACTORS[name]:
            station, _, field = path.partition(".")
            other = getattr(b, station)
            if not field:
                stations[station] = other
            elif other is not None:
                part = stations.get(station, getattr(a, station))
                stations[station] = part.replace(**{field: getattr(other, field)})
    return a.replace(**stations) if stations else a


def _solved(
    chain: _core.Chain, rpm: float, columns: list[str], chosen: frozenset[str]
) -> list[float]:
    solved = _core.solve(chain, {"engine_speed": np.array([rpm * RPM])}, columns, threads=1)
    values = [float(solved[name][0]) for name in columns]
    if not np.all(np.isfinite(values)):
        what = ", ".join(sorted(chosen)) or "neither"
        rule = "have an answer with every mix of the two builds"
        raise refusal("explain", "rpm", f"{rpm} rpm", rule, f"none with {what} of the second")
    return values


def budget_change(a: _core.Chain, b: _core.Chain, rpm: float) -> dict[str, float]:
    """Return the change of each item of the crank's power budget [W]."""
    names = ["indicated_pressure", "pumping_pressure", "friction_pressure", "drive_power",
             "acceleration_power", "charge_pressure", "charge_temperature",
             "volumetric_efficiency"]  # fmt: skip
    one, other = (
        dict(zip(names, _solved(chain, rpm, names, frozenset()), strict=True)) for chain in (a, b)
    )
    rates = [float(c.engine.displacement) * rpm * RPM / (4.0 * np.pi) for c in (a, b)]
    budget = _indicated(one, other, rates)
    for words, name in (("gas exchange", "pumping_pressure"), ("friction", "friction_pressure")):
        budget[words] = one[name] * rates[0] - other[name] * rates[1]
    taken = ("drive_power", "acceleration_power")
    budget["drive"] = sum(one[n] - other[n] for n in taken)
    return budget


def _indicated(
    one: dict[str, float], other: dict[str, float], rates: list[float]
) -> dict[str, float]:
    """Split indicated power, a product, by logarithmic means: exact and free of order.

    share_k = L ln(x_k other / x_k one), L = (P other - P one) / ln(P other / P one)   (Ang,
    Energy Policy 32 (2004), 1131, from memory)
    """
    p, q = one["indicated_pressure"] * rates[0], other["indicated_pressure"] * rates[1]
    mean = p if abs(q / p - 1.0) < 1e-12 else (q - p) / np.log(q / p)
    parts = {
        "charge pressure": mean * np.log(other["charge_pressure"] / one["charge_pressure"]),
        "charge temperature": mean
        * np.log(one["charge_temperature"] / other["charge_temperature"]),
        "filling of the cylinders": mean
        * np.log(other["volumetric_efficiency"] / one["volumetric_efficiency"]),
    }
    parts["work per charge"] = q - p - sum(parts.values())
    return {name: float(v) for name, v in parts.items()}
