"""Where the difference between two builds comes from, station by station."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from itertools import combinations
from math import factorial
from typing import Any

import numpy as np

from ..base.errors import refusal
from ..base.speeds import RPM
from ..shown.columns import kind_of
from ..shown.tables import Shown, Table
from ..units.convert import formatted

__all__ = ["Difference", "explain_difference", "explain_pulls"]

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
    "indicated efficiency": ("combustion.quality", "combustion.coolant_share"),
    "exhaust back pressure": ("exhaust",),
}  # fmt: skip
_MOST = 12


@dataclass(frozen=True, eq=False, repr=False)
class Difference(Shown):
    """A difference split over what differs. Made by `explain_difference`.

    Attributes
    ----------
    column : str
        What is compared, such as ``"torque"``.
    rpm : float
        Engine speed of the comparison [rpm].
    names : tuple of str
        Titles of the two builds.
    first, second : float
        The column of each [SI].
    shares : mapping
        Contribution of each factor [SI]; they add up to `second` less `first`.
    alone : mapping
        What each factor changes if it alone is exchanged in the first build [SI].
    interactions : mapping
        By pair of factors, what both together change beyond the sum of each alone, in the
        first build [SI].
    effects : mapping
        By consequence, the change of the crank's power budget [W]: indicated power over charge
        pressure, charge temperature, filling and work per charge; gas exchange, friction, drive.
        They add up to the difference of the chain's power.
    residual : float
        What chain and measurement leave unexplained [SI]; 0 between two builds.
    """

    column: str
    rpm: float
    names: tuple[str, str]
    first: float
    second: float
    shares: Mapping[str, float]
    alone: Mapping[str, float]
    interactions: Mapping[tuple[str, str], float]
    effects: Mapping[str, float]
    residual: float = 0.0

    @property
    def kind(self) -> str:
        """Kind of quantity of the column, a difference where it is a pressure or temperature."""
        from ..shown.columns import columns

        kind = kind_of(self.column, columns()[self.column].unit)
        return {"pressure": "pressure_difference", "temperature": "temperature_difference"}.get(
            kind, kind
        )

    @property
    def verdict(self) -> str:
        """What was split."""
        return f"From {self.names[0]} to {self.names[1]}"

    @property
    def notes(self) -> list[str]:
        """What interacts, and how the shares were made."""
        whole = abs(self.second - self.first)
        large = sorted(self.interactions.items(), key=lambda item: -abs(item[1]))
        said = [
            "shares are Shapley values: the mean over every order of exchange, so that no order "
            "favours a station; an interaction is halved between its two"
        ]
        for (a, b), value in large[:4]:
            if abs(value) > 0.01 * whole:
                said.append(f"{a} and {b} interact: together {formatted(value, self.kind)} beyond "
                            "each alone")  # fmt: skip
        return said

    def _tables(self, system: str) -> list[Table]:
        rows = [[self.names[0], formatted(self.first, self.kind, system), ""]]
        rows += [
            [name, formatted(v, self.kind, system), formatted(self.alone[name], self.kind, system)]
            for name, v in self.shares.items()
        ]
        if self.residual:
            rows.append(["not explained", formatted(self.residual, self.kind, system), ""])
        rows.append([self.names[1], formatted(self.second, self.kind, system), ""])
        headings = [f"{self.column} at {self.rpm:,.0f} rpm", "share", "alone"]
        budget = ", ".join(f"{n} {formatted(v, 'power', system)}" for n, v in self.effects.items())
        return [Table(headings, [""] * 3, rows, key=f"Power budget at the crank: {budget}")]


def explain_difference(a: Any, b: Any, rpm: float, column: str = "power") -> Difference:
    """Split the difference between two builds over the stations that differ.

    The share of a station is its Shapley value: with v(S) the column when the stations S are
    those of `b` and the rest those of `a`,

        share_i = sum over S without i of |S|! (n - |S| - 1)!/n! (v(S + i) - v(S))

    Shares add up to the whole and do not depend on an order (Shapley 1953).

    Parameters
    ----------
    a, b : Build
        The two builds, both with or both without compressor.
    rpm : float
        Engine speed [rpm].
    column : str
        Column of the result, such as ``"power"``, ``"boost"`` or ``"charge_temperature"``.

    Returns
    -------
    Difference
        Shares, interactions and the change of the power budget.

    Raises
    ------
    InputError
        One build has a compressor and the other has none, more than 12 factors differ, or an
        exchange has no answer.
    """
    from ..shown.columns import column as checked

    checked(column, "explain_difference")
    if a.supercharged != b.supercharged:
        rule = "both be with or both without compressor"
        raise refusal("explain_difference", "b", b.title, rule, "compare two drive levels")
    differing = [name for name, paths in _FACTORS.items() if _differ(a.chain, b.chain, paths)]
    if len(differing) > _MOST:
        rule = f"differ in at most {_MOST} of {len(_FACTORS)} factors"
        raise refusal("explain_difference", "b", f"{len(differing)} factors", rule)
    worth: dict[frozenset[str], float] = {}

    def value(chosen: frozenset[str]) -> float:
        if chosen not in worth:
            worth[chosen] = _solved(_mixed(a.chain, b.chain, chosen), rpm, [column], chosen)[0]
        return worth[chosen]

    none = frozenset[str]()
    alone = {name: value(frozenset({name})) - value(none) for name in differing}
    pairs = {
        (x, y): value(frozenset({x, y})) - value(none) - alone[x] - alone[y]
        for x, y in combinations(differing, 2)
    }
    effects = _effects(a.chain, b.chain, rpm)
    return Difference(column, rpm, (a.title, b.title), value(none), value(frozenset(differing)),
                      _shapley(differing, value), alone, pairs, effects)  # fmt: skip


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


def _differ(a: Any, b: Any, paths: tuple[str, ...]) -> bool:
    for path in paths:
        station, _, field = path.partition(".")
        one, other = getattr(a, station), getattr(b, station)
        if field:
            one, other = getattr(one, field, None), getattr(other, field, None)
        if one != other:
            return True
    return False


def _mixed(a: Any, b: Any, chosen: frozenset[str]) -> Any:
    """Return chain `a` with the chosen factors of chain `b`."""
    stations: dict[str, Any] = {}
    for name in chosen:
        for path in _FACTORS[name]:
            station, _, field = path.partition(".")
            other = getattr(b, station)
            if not field:
                stations[station] = other
            elif hasattr(other, field):
                part = stations.get(station, getattr(a, station))
                stations[station] = part.replace(**{field: getattr(other, field)})
    return a.replace(**stations) if stations else a


def _solved(chain: Any, rpm: float, columns: list[str], chosen: frozenset[str]) -> list[float]:
    from .. import _core

    solved = _core.solve(chain, {"engine_speed": np.array([rpm * RPM])}, columns, threads=1)
    found = [float(solved[name][0]) for name in columns]
    if not np.all(np.isfinite(found)):
        what = ", ".join(sorted(chosen)) or "neither"
        rule = "have an answer with every mix of the two builds"
        raise refusal("explain_difference", "rpm", f"{rpm} rpm", rule, f"none with {what} of b")
    return found


def _effects(a: Any, b: Any, rpm: float) -> dict[str, float]:
    """Return the change of each item of the crank's power budget [W]."""
    names = ["indicated_pressure", "pumping_pressure", "friction_pressure", "drive_power",
             "acceleration_power", "charge_pressure", "charge_temperature",
             "volumetric_efficiency"]  # fmt: skip
    one, other = (
        dict(zip(names, _solved(chain, rpm, names, frozenset()), strict=True)) for chain in (a, b)
    )
    rates = [float(c.engine.displacement) * rpm * RPM / (4.0 * np.pi) for c in (a, b)]
    found: dict[str, float] = _indicated(one, other, rates)
    for words, name in (("gas exchange", "pumping_pressure"), ("friction", "friction_pressure")):
        found[words] = one[name] * rates[0] - other[name] * rates[1]
    taken = ("drive_power", "acceleration_power")
    found["drive"] = sum(one[n] - other[n] for n in taken)
    return found


def _indicated(one: dict[str, float], other: dict[str, float], rates: list[float]) -> Any:
    """Split indicated power, a product, by logarithmic means: exact and free of order.

    share_k = L ln(x_k other / x_k one), L = (P other - P one) / ln(P other / P one)   (Ang,
    Energy Policy 32 (2004), 1131, from memory)
    """
    p, q = one["indicated_pressure"] * rates[0], other["indicated_pressure"] * rates[1]
    mean = p if abs(q / p - 1.0) < 1e-12 else (q - p) / np.log(q / p)
    found = {
        "charge pressure": mean * np.log(other["charge_pressure"] / one["charge_pressure"]),
        "charge temperature": mean
        * np.log(one["charge_temperature"] / other["charge_temperature"]),
        "filling of the cylinders": mean
        * np.log(other["volumetric_efficiency"] / one["volumetric_efficiency"]),
    }
    found["work per charge"] = q - p - sum(found.values())
    return {name: float(v) for name, v in found.items()}


def explain_pulls(found: Any, first: int, second: int, rpm: float, column: str = "power") -> Any:
    """Split the difference between two measured pulls of a fit.

    Parameters
    ----------
    found : Reconciliation
        The fit that holds both pulls.
    first, second : int
        Numbers of the pulls from 0, dimensionless.
    rpm : float
        Engine speed that both reach [rpm].
    column : str
        ``"power"``, ``"torque"`` or another quantity that was measured.

    Returns
    -------
    Difference
        As of `explain_difference`, with what the chain does not explain as `residual`.

    Raises
    ------
    InputError
        The quantity or the speed was not measured in both pulls.
    """
    runs = [found.problem.runs[k] for k in (first, second)]
    before, after = (run.build.changed(found.factors) for run in runs)
    split = explain_difference(before, after, rpm, column)
    read = []
    for run in runs:
        if column not in run.columns and not (column == "power" and "torque" in run.columns):
            raise refusal(run.name, "column", f'"{column}"', "be measured in both pulls")
        if not run.rpm.min() <= rpm <= run.rpm.max():
            rule = f"be {run.rpm.min():.0f} to {run.rpm.max():.0f} rpm, as measured"
            raise refusal(run.name, "rpm", f"{rpm:.0f} rpm", rule)
        y = run.columns[column] if column in run.columns else run.columns["torque"] * run.speeds
        good = np.isfinite(y)
        read.append(float(np.interp(rpm, run.rpm[good], y[good])))
    left = read[1] - read[0] - (split.second - split.first)
    names = (f"{runs[0].name}, measured", f"{runs[1].name}, measured")
    return replace(split, first=read[0], second=read[1], residual=left, names=names)
