"""From a pull to the faults that explain it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.progress import telling
from ..chain.build import Build
from ..chain.changes import Mixture
from ..fit.fitted_chain import FittedChain
from ..fit.fitting import DEFAULT
from ..fit.load_drift import Drift, drifts_of
from ..fit.parameters import applied
from ..fit.problem import Problem
from ..fit.runs import Run, checked_pull, prepared, thinned
from ..fit.sensors import Sensor
from ..fit.solving import about, problem_of
from ..measured.bases import OBSERVED, bases
from ..measured.correct import correction_factor
from ..measured.measured import MeasuredPull
from ..measured.which_level import level_of_pull
from .catalogue import FAULTS
from .cylinders import Weakest, checked_cylinders, weakest
from .diagnosis import Diagnosis
from .evidence import Linear, Readings, Weighed, shape_of, weighed
from .pairs import FIRST, both_weighed, chances
from .ranking import ranked, with_pairs
from .scene import Scene, with_further

__all__ = ["diagnose"]

Array = NDArray[np.float64]
#: Evidence behind the best by more than this, or before a sound engine by less, is not looked at
#: twice.
_FAR_BEHIND, _WORTH = 10.0, 1.0
#: How a level is named.
_NAMED = 'such as diagnose(fit, pull, "{0}"), or --level {0}'
#: Rows of a pull that are looked at.
_ROWS = 50


def diagnose(source: Build | FittedChain, pull: MeasuredPull, level: str = "", *,
             by_cylinder: Mapping[str, ArrayLike] | None = None,
             cylinders: int | None = None) -> Diagnosis:  # fmt: skip
    """Say what is wrong with a pull: faults by name, the likeliest first.

    Each known fault is tried in turn: a slipping belt, a leak, a wrong fuel, a probe that reads
    high, a dyno that corrects to another standard, and so on. A fault has one size, such as how
    much the belt slips. The size is sought that explains all channels at all engine speeds best.
    Every fault then gets a chance: how likely it is, given what was read.

    The chance counts every size and every state of the sound engine by how likely each is. A fault
    that could explain anything does not win by that. With y the readings, s the size of fault k,
    and x the unknowns that a fit would seek,

        chance of k  ~  p_k  integral of  p(y | x, s, k) p(x) p(s | k)  over x and s

    where p_k says how common the fault is. Errors of sensors and of the chain are counted as
    `airchain.reconcile` counts them. Where the best of the faults leaves a channel unexplained,
    they are tried two by two. A fit to sound pulls tells far more than the build alone: give one
    wherever there is one.

    Parameters
    ----------
    source : Reconciliation or Build
        A fit to sound pulls of this engine, or the build where there is none yet.
    pull : MeasuredPull
        The pull that looks wrong. A sweep's torque must be brought to steady running first
        (`MeasuredPull.steady`). ``lambda`` and ``exhaust_temperature`` are looked at too.
    level : str
        Drive level of the pull; it may be left out where the build has at most one level, stands
        on one, or the pull's rotor speed tells it.
    by_cylinder : mapping, optional
        What was read behind each cylinder: ``exhaust_temperature`` [K] or ``lambda``
        [dimensionless]. Each is an array with a row for every cylinder and a column for every row
        of the pull. It tells which cylinder is down.
    cylinders : int, optional
        How many cylinders the engine has [dimensionless, 1 to 16]. It is needed only where
        neither the build nor `by_cylinder` tells; without it 4, 6 and 8 are tried.

    Returns
    -------
    Diagnosis
        Every fault with its chance and its size, which faults cannot be told apart, and which
        reading would decide between them.

    Raises
    ------
    InputError
        There is no such level, or none is named and several stand. The pull is no measured pull,
        an array does not fit it, or the chain has no answer where it was measured.
    """
    checked_pull(pull, "diagnose", "pull")
    read = checked_cylinders(by_cylinder, len(pull))
    setting = setting_of(source, pull, level, read, cylinders)
    return _weighed(setting, weakest(read))


@dataclass(frozen=True)
class Setting:
    """All pulls as one problem, the last of which is looked at, and where the unknowns start."""

    problem: Problem
    scene: Scene
    start: Array

    def at(self, z: Array) -> Scene:
        """Return the scene with the chain at unknowns."""
        problem, run = self.problem, self.scene.run
        chain = applied(run.chain, problem.unknowns, problem.values(z))
        return replace(self.scene, chain=chain)


def setting_of(source: Build | FittedChain, pull: MeasuredPull, level: str,
               read: Mapping[str, Array], cylinders: int | None) -> Setting:  # fmt: skip
    """Return a pull beside those of a fit; `read` is by cylinder."""
    fit = source if isinstance(source, FittedChain) else None
    build = source.build if isinstance(source, FittedChain) else source
    if not isinstance(build, Build):
        rule = "be a fit to sound pulls, or a build"
        raise refusal("diagnose", "source", quoted(type(source).__name__), rule)
    level, words = level_of_pull(build, level, pull, "diagnose", _NAMED)
    build = build.level(level) if level and level != build.level_name else build
    build = build.with_surface()
    sensors = with_further(fit.problem.sensors if fit else {})
    run = _run_of(fit, build, pull, sensors)
    run = replace(run, notes=(*([words] if words else []), *run.notes))
    counts = _counts(build, read, cylinders)
    problem = _problem(fit, build, run, sensors)
    start = np.zeros(len(problem.unknowns)) if fit is None else fit.z
    belted = any(isinstance(link, _core.PulleyPair) for link in run.build.links)
    scene = Scene(run, run.chain, sensors, counts, belted, _standards(pull))
    return Setting(problem, scene, start)


def _weighed(setting: Setting, weak: Weakest | None) -> Diagnosis:
    """Weigh every form about the unknowns that it leads to."""
    readings = Readings.of(setting.problem)
    sound = sound_of(readings, setting.start)
    scene = setting.at(sound.z)
    ways = [(fault.name, form) for fault in FAULTS for form in fault.forms(scene)
            if form.suits(scene)]  # fmt: skip
    with telling(f"{scene.run.name}: weighing faults", "ways") as progress:
        first = []
        for number, (name, form) in enumerate(ways, 1):
            one = weighed(sound, form, scene)
            first += [] if one is None else [(name, one)]
            progress(number, 2 * len(ways))
        top = max((one.evidence for _, one in first), default=0.0)
        # Where no fault tells more than a sound engine none needs a closer look.
        close = max(top - _FAR_BEHIND, sound.healthy + _WORTH)
        second = []
        for number, (name, one) in enumerate(first, 1):
            near = one.evidence > close
            second.append((name, _again(setting, readings, one) if near else one))
            progress(len(ways) + number, 2 * len(ways))
    diagnosis = ranked(setting.problem, scene, sound, second, weak)
    if not diagnosis.unexplained:
        return diagnosis
    best = max((one for _, one in second), key=lambda one: one.evidence)
    return _with_pairs(setting, diagnosis, sound, Linear.about(readings, best.unknowns))


def _with_pairs(setting: Setting, diagnosis: Diagnosis, sound: Linear,
                linear: Linear) -> Diagnosis:  # fmt: skip
    """Look for two faults at once where one alone does not explain the pull."""
    scene = setting.at(linear.z)
    ways = [(fault.name, form) for fault in FAULTS for form in fault.forms(scene)
            if form.suits(scene)]  # fmt: skip
    whole = len(ways) + FIRST
    with telling(f"{scene.run.name}: weighing two faults at once", "ways") as progress:
        shapes = []
        for number, (name, form) in enumerate(ways, 1):
            shape = shape_of(linear.readings, form, scene)
            shapes += [] if shape is None else [(name, shape)]
            progress(number, whole)
        pairs = both_weighed(linear, shapes, lambda done: progress(len(ways) + done, whole))
    return with_pairs(diagnosis, setting.problem, sound, pairs, chances(pairs, linear, shapes))


def _again(setting: Setting, readings: Readings, one: Weighed) -> Weighed:
    """Weigh a form about the unknowns that it leads to."""
    there = Linear.about(readings, one.unknowns)
    return weighed(there, one.form, setting.at(there.z)) or one


def sound_of(readings: Readings, start: Array) -> Linear:
    """Return the model about the unknowns that fit best without a fault."""
    linear = Linear.about(readings, start)
    for _ in range(2):
        linear = Linear.about(readings, linear.unknowns(np.zeros_like(linear.b)))
    return linear


def _run_of(fit: FittedChain | None, build: Build, pull: MeasuredPull,
            sensors: Mapping[str, Sensor]) -> Run:  # fmt: skip
    """Return the pull prepared, its mixture the one that is asked for, not the one that is read."""
    run = prepared(build, build.level_name, pull, sensors, {})
    asked = (fit.problem.runs[-1] if fit else build).chain.injection
    there = run.build.changed(Mixture(float(getattr(asked, "lambda"))))
    return thinned(replace(run, build=there), _ROWS)


def _problem(fit: FittedChain | None, build: Build, run: Run,
             sensors: Mapping[str, Sensor]) -> Problem:  # fmt: skip
    """Return the pulls of the fit and this one as one problem."""
    earlier: Sequence[Run] = fit.problem.runs if fit else ()
    parameters: Sequence[str] = fit.parameters if fit else _usual(build)
    drifts: Sequence[Drift] = fit.problem.drifts if fit else drifts_of(None, build.trust)
    runs = [*(thinned(one, _ROWS) for one in earlier), run]
    whole, _ = problem_of(build, runs, parameters, sensors, drifts)
    if fit:
        return about(replace(whole, unknowns=fit.problem.unknowns), fit.z)
    return about(whole, np.zeros(len(whole.unknowns)))


def _usual(build: Build) -> list[str]:
    """The unknowns of a usual fit that this build has."""
    if build.supercharged:
        return list(DEFAULT)
    return ["volumetric_efficiency", "indicated_efficiency"]


def _counts(build: Build, read: Mapping[str, Array], given: int | None) -> tuple[int, ...]:
    """Return the numbers of cylinders that the engine may have."""
    if given is not None:
        if not 1 <= given <= 16:
            raise refusal("diagnose", "cylinders", str(given), "be a whole number from 1 to 16")
        return (int(given),)
    for values in read.values():
        return (int(values.shape[0]),)
    return (build.cylinder.cylinders,) if build.cylinder else (4, 6, 8)


def _standards(pull: MeasuredPull) -> dict[str, float]:
    """Return what torque would read on each power standard over what it was taken for."""
    known = {*pull.ambient, *pull.columns}
    if not {"barometer", "ambient_temperature"} <= known:
        return {}
    pull = pull if "vapour_pressure" in pull.ambient else pull.replace(
        ambient={**pull.ambient, "vapour_pressure": 0.0})  # fmt: skip
    factors = {
        basis: 1.0 if basis == OBSERVED else float(np.nanmean(correction_factor(pull, basis)))
        for basis in bases()
    }
    taken = factors.get(pull.power_basis, 1.0)
    return {name: f / taken for name, f in factors.items() if name != pull.power_basis}
