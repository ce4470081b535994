"""All fittings in all weathers, solved together: one call of the core a weather and drive."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..shown import statuses
from ._doubt import At, Doubt
from .request import Day, Progress

Array = NDArray[np.float64]

COLUMNS = (
    *("power", "torque", "boost", "charge_temperature", "surge_margin", "choke_margin"),
    *("rotor_speed", "tip_speed", "belt_margin", "peak_pressure", "compressor_power"),
    *("drive_power", "fuel_flow", "plenum_pressure", "exhaust_pressure"),
    *("compressor_inlet_pressure", "plenum_temperature"),
    *("status", "flags"),
)
#: Columns that are numbers with a band.
NUMBERS = tuple(name for name in COLUMNS if name not in ("status", "flags"))
_EXACT = ("plenum_pressure", "exhaust_pressure", "compressor_inlet_pressure")


class Solved:
    """One fitting in one weather over engine speed: every column with half its 90 % band."""

    def __init__(self, chains: tuple[_core.Chain, _core.Chain], rpm: Array,
                 base: Mapping[str, Array], slopes: Mapping[str, Array],
                 doubt: Doubt) -> None:  # fmt: skip
        self.plain, self.chain = chains  # before and with the factors of a fit
        self.rpm = rpm
        self.status = base["status"]
        self.flags = base["flags"]
        self._base, self.slopes, self._doubt = base, slopes, doubt
        self._bands: dict[str, tuple[Array, Array]] = {}

    @property
    def matched(self) -> NDArray[np.bool_]:
        """Which points have an answer."""
        matched: NDArray[np.bool_] = np.asarray(self.status) == 0
        return matched

    @property
    def surge_estimated(self) -> bool:
        """Whether the surge line was predicted rather than measured."""
        return bool(statuses.standing(self.flags, "surge_estimated"))

    def not_known(self, margin: str) -> bool:
        """Whether the map does not say where the limit of a margin is."""
        return bool(statuses.standing(self.flags, f"{margin.removesuffix('_margin')}_not_known"))

    @cached_property
    def _drifts(self) -> Mapping[str, Array]:
        return self._doubt.drift(self.plain, self.rpm, NUMBERS)

    def band(self, name: str) -> tuple[Array, Array]:
        """Expected values of a column and half their 90 % band [SI] over engine speed."""
        if name not in self._bands:
            if name == "power":
                middle, half = self.band("torque")
                self._bands[name] = middle * self.rpm * RPM, half * self.rpm * RPM
            else:
                none = np.zeros((self.rpm.size, 0))
                drift = np.nan_to_num(self._drifts.get(name, none))
                at = At(self.plain, self.rpm, self.surge_estimated)
                self._bands[name] = self._doubt.band(
                    name, self._base[name], self.slopes[name], drift, at
                )
        return self._bands[name]

    @property
    def states(self) -> dict[str, Array]:
        """Where the cylinders' spread is looked up [SI]; NaN where there is no answer."""
        names = {n: n for n in ("plenum_pressure", "exhaust_pressure")}
        names["plenum_temperature"] = "charge_temperature"
        of_chain = {n: np.where(self.matched, self._base[m], np.nan) for n, m in names.items()}
        return {"speed": self.rpm * RPM, **of_chain}

    def value(self, name: str) -> Array:
        """A column as the chain has it [SI], without what readings would shift."""
        return self._base[name]


def solve_all(
    chain: _core.Chain, drives: Sequence[_core.Drive], weather: Mapping[str, Day], rpm: Array,
    doubt: Doubt, progress: Progress | None = None,
) -> list[dict[str, Solved]]:  # fmt: skip
    """Return for each drive what it gives in each weather, in the order of `drives`.

    Drives that differ in their ratio alone share a call of the core; each point is that of the
    chain on its own, bit for bit. `progress` is called with the points solved and all of them.
    """
    groups: dict[tuple[float, tuple[tuple[float, ...], ...], float], list[int]] = {}
    for i, drive in enumerate(drives):
        groups.setdefault((drive.efficiency, drive.belts, drive.step_up), []).append(i)
    by_drive: list[dict[str, Solved]] = [{} for _ in drives]
    total, done = len(weather) * len(drives), 0
    for name, day in weather.items():
        for members in groups.values():
            if progress is not None:
                progress(done, total)
            of_group = [drives[i] for i in members]
            here = day.on(chain).replace(drive=of_group[0])
            for i, solved in zip(members, _solve(here, of_group, rpm, doubt), strict=True):
                by_drive[i][name] = solved
            done += len(members)
    if progress is not None:
        progress(total, total)
    return by_drive


def _solve(chain: _core.Chain, drives: Sequence[_core.Drive], rpm: Array,
           doubt: Doubt) -> list[Solved]:  # fmt: skip
    ratios = np.array([float(drive.drive_ratio) for drive in drives])
    at_places = []
    for values in doubt.places():
        moved, factor = doubt.chain(chain, values)
        axes = {"drive.drive_ratio": ratios * factor, "engine_speed": rpm * RPM}
        at_places.append(_core.solve(moved, axes, list(COLUMNS)))
    answers = []
    fitted, factor = doubt.chain(chain, doubt.values)
    for row, drive in enumerate(drives):
        base = {name: at_places[0][name][row] for name in COLUMNS}
        slopes = {
            name: doubt.slopes([place[name][row] for place in at_places])
            for name in NUMBERS
            if name not in _EXACT
        }
        slipping = drive.replace(drive_ratio=float(drive.drive_ratio) * factor)
        chains = chain.replace(drive=drive), fitted.replace(drive=slipping)
        answers.append(Solved(chains, rpm, base, slopes, doubt))
    return answers
