"""Diagnoses graded on engines with one fault each, and what their channels could have told.

Whether channels suffice is decided by the truth, before the diagnosis is looked at: what the fault
adds to the readings of that engine, without noise, is held against what every other fault could
add at its best, in the covariance of all errors, the unknowns taken out. `from_healthy` and
`from_others` are what the logarithm of the chance loses on average under the wrong one.
"""

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

import airchain
from airchain.faults.catalogue import FAULTS
from airchain.faults.diagnosing import setting_of, sound_of
from airchain.faults.diagnosis import Diagnosis
from airchain.faults.evidence import Linear, Readings
from airchain.faults.forms import between
from airchain.fit.reconciliation import Reconciliation
from faulty_engines import CYLINDERS, HEALTHY, LAGS, Case, DynoDay
from held_out_engines import GRID, PRESSURE, RATE_OF_ROWS, TEMPERATURE, late
from independent_chain import point
from synthetic_pulls import DRIVES, UNKNOWNS, build

#: What channels must be able to tell for a fault to be asked of them.
FROM_HEALTHY, FROM_OTHERS = 16.0, 6.0
_RATE = 300.0  # rpm/s
SEEN = ("tame", "middle")


@dataclass(frozen=True)
class Grade:
    """What was to be found, what could be told, and what was."""

    seed: int
    case: Case
    told: Diagnosis
    from_healthy: float
    from_others: float
    nearest: str

    @property
    def suffices(self) -> bool:
        """Whether the channels could tell the fault from none and from all others."""
        return self.from_healthy >= FROM_HEALTHY and self.from_others >= FROM_OTHERS

    @property
    def right(self) -> bool:
        """Whether the fault is the first of those called."""
        return bool(self.told.rivals) and self.told.rivals[0].name == self.case.fault

    @property
    def misled(self) -> bool:
        """Whether another fault alone was named."""
        return self.told.named is not None and self.told.named.name != self.case.fault


@lru_cache(maxsize=4)
def reference(seed: int, more: bool, belted: bool) -> tuple[DynoDay, Reconciliation]:
    """The engine of a seed, and a fit to two of its sound pulls."""
    day = DynoDay.on(seed, more)
    pulls = {level: day.read(level) for level in SEEN}
    return day, airchain.reconcile(build(belted), pulls, UNKNOWNS)


def graded(seed: int, case: Case, more: bool, level: str = "full") -> Grade:
    """Pull an engine with a fault on a level, diagnose it, and tell what could be told."""
    day, fit = reference(seed, more, case.belted)
    # What was solved is shared, the drawing of errors begins alike for every fault.
    day = replace(day, rng=deepcopy(day.rng), shared=dict(day.shared))
    pull = day.read(level, case)
    told = airchain.diagnose(fit, pull, level, cylinders=CYLINDERS)
    if case is HEALTHY:
        return Grade(seed, case, told, 0.0, 0.0, "")
    setting = setting_of(fit, pull, level, {}, CYLINDERS)
    sound = sound_of(Readings.of(setting.problem), fit.z)
    scene = setting.at(sound.z)
    extra = added(day, level, case)
    true = {n: np.interp(scene.run.rpm, GRID, v)[None, :] for n, v in extra.items()}
    whole, misses = _misses(sound, scene, true)
    own = misses.pop(case.fault, whole)
    nearest = min(misses, key=lambda name: misses[name])
    return Grade(seed, case, told, whole - own, misses[nearest] - own, nearest)


def added(day: DynoDay, level: str, case: Case) -> dict[str, np.ndarray]:
    """What a fault adds to readings over `GRID`, beside a chain in the weather written down."""
    sound, wrong = day.true(level), day.true(level, case)
    with_fault, without = case.read(_sensed(wrong, case)), _sensed(sound, HEALTHY)
    extra = {name: with_fault[name] - without[name] for name in sound}
    if case.basis == "std_29_92":
        # Taken back by the standard's factor: (29.92 inHg over the dry barometer) times the root
        # of absolute temperature over 519.67 degR (SAE J607, from memory).
        factor = 101325.0 / PRESSURE * np.sqrt(1.8 * TEMPERATURE / 519.67)
        extra["torque"] += with_fault["torque"] * (1.0 / factor - 1.0)
    if case.barometer:
        there = [point(day.truth, float(n), DRIVES[level], PRESSURE + case.barometer, TEMPERATURE)
                 for n in GRID]  # fmt: skip
        for name in extra:
            extra[name] += sound[name] - np.array([one[name] for one in there])
    return extra


def _sensed(columns: dict[str, np.ndarray], case: Case) -> dict[str, np.ndarray]:
    """Columns behind sensors of a usual lag."""
    time = (GRID - GRID[0]) / _RATE
    rows = np.arange(0.0, time[-1], 1.0 / RATE_OF_ROWS)
    read = {}
    for name, values in columns.items():
        lag = float(np.mean(LAGS.get(name, (0.0,))))
        lag += case.slower[1] if case.slower[0] == name else 0.0
        behind = late(np.interp(rows, time, values), lag, held=True)
        read[name] = np.interp(GRID, GRID[0] + _RATE * rows, behind)
    return read


def _misses(sound: Linear, scene: object, true: dict[str, np.ndarray]) -> tuple[float, dict]:
    """What the true readings lose under no fault, and under the best of each fault."""
    d = sound.readings.whitened(sound.readings.placed(true))
    whole = float(sound.product(d, d)[0, 0])
    misses: dict[str, float] = {}
    for fault in FAULTS:
        for form in fault.forms(scene):
            if not form.suits(scene):
                continue
            sizes, beyond = form.nodes(scene)
            if sizes.size < 4 or abs(sizes[-1]) < abs(form.smallest):
                continue
            e = sound.readings.whitened(sound.readings.placed(beyond))
            grid = form.smallest * (sizes[-1] / form.smallest) ** np.linspace(0.0, 1.0, 200)
            w = between(sizes, grid)
            lost = whole - 2.0 * (w @ sound.product(e, d))[:, 0]
            lost += np.sum((w @ sound.product(e, e)) * w, axis=1)
            best = 0.5 * float(lost.min())
            misses[fault.name] = min(best, misses.get(fault.name, np.inf))
    return 0.5 * whole, misses


def summary(grades: Sequence[Grade]) -> str:
    """Counts, and every grade that is not as it must be, as text."""
    able = [g for g in grades if g.case is not HEALTHY and g.suffices]
    rest = [g for g in grades if g.case is not HEALTHY and not g.suffices]
    sound = [g for g in grades if g.case is HEALTHY]
    lines = [
        f"healthy called healthy: {sum(g.told.healthy for g in sound)} of {len(sound)}",
        f"channels suffice: {len(able)}, right first {sum(g.right for g in able)}, "
        f"misled {sum(g.misled for g in able)}",
        f"they do not: {len(rest)}, right alone "
        f"{sum(g.told.named is not None and g.right for g in rest)}, among several "
        f"{sum(g.told.named is None and g.case.fault in _names(g) for g in rest)}, called healthy "
        f"{sum(g.told.healthy for g in rest)}, misled {sum(g.misled for g in rest)}",
    ]
    for g in grades:
        wrong = (not g.told.healthy) if g.case is HEALTHY else g.misled
        if wrong or (g.case is not HEALTHY and g.suffices and not g.right):
            lines.append(f"  seed {g.seed} {g.case.fault} {g.case.size}: {_names(g)} "
                         f"{g.told.unexplained} healthy {g.told.healthy_chance:.3f}, from healthy "
                         f"{g.from_healthy:.1f}, from {g.nearest} {g.from_others:.1f}")  # fmt: skip
    return "\n".join(lines)


def _names(grade: Grade) -> list[str]:
    return [s.name for s in grade.told.rivals]
