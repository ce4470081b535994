"""From a target beyond those handed over to the pair that reaches it, or why nothing does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import isfinite, log

from .. import _core
from ..base.errors import quoted, refusal
from ..base.progress import Progress, telling
from ..calibration.calibration import Calibration
from ..calibration.making import calibrate
from ..chain.build import Build
from ..fit.reconciliation import Reconciliation
from ..plan.as_fitted import present
from ..plan.plan import PlannedLevel
from ..plan.reading import read_plan
from ..plan.request import AS_TYPED, PlanRequest, Target
from ..plan.trial import Trial
from ..plan.trying import planned_level, tried, with_knock
from ..typed.place import Typed
from .aiming import NAME, Aim
from .pairs import Offer, offers
from .regeared import Regeared

__all__ = ["regear"]

_WHERE = "regear"
#: A step on the way lies in this middle part of the rise, in logarithms.
_EARLY, _LATE = 0.25, 0.75
#: Rise of the ratio below which no pair of its own is worth its while on the way.
_SMALL = 1.03
#: Ratios looked at reach this factor beyond those within the tolerance.
_ABOUT = 1.01


def regear(
    build: Build | Reconciliation, target: Typed, *, tolerance: float = 0.02,
    calibration: Calibration | None = None, progress: Progress | None = None,
) -> Regeared:  # fmt: skip
    """Find the drive for a power, torque, boost or ratio beyond those handed over.

    Tried are the parts of the build's plan, both ways round; every pair of gears that could be cut
    for the same centres, of the drive's own module and of preferred ones, with a profile shift
    where the sum of teeth asks for it; and pulleys turned to another diameter. Each is judged as a
    plan judges it: the worse end of the 90 % band must keep every limit in each weather.

    Of those that pass, what is owned comes first, then the exact sum of teeth, then a profile
    shift, then other modules; among equals the one nearest to the target.

    Parameters
    ----------
    build : Build or Reconciliation
        The build, or a fit of it to pulls, whose band is then used.
    target : str or float
        A peak power, torque or boost, such as ``"1000 hp"``, or a drive ratio, such as 1.25
        [dimensionless].
    tolerance : float
        How far off the target it may lie, as a share of it [dimensionless, above 0 to 0.2].
    calibration : Calibration, optional
        The calibration handed over; one is made without it.
    progress : callable, optional
        Called with how much of the work under way is done, and all of it [dimensionless]. Without
        it, work that lasts tells on standard error how far it is.

    Returns
    -------
    Regeared
        The pair, everything that gives first with its margin, new cells of the calibration and
        the pull on the way; where nothing passes, what stands against each way.

    Raises
    ------
    InputError
        The target is refused or not beyond the levels handed over, the calibration is of another
        build, or the drive has neither gears nor pulleys.
    """
    fit = build if isinstance(build, Reconciliation) else None
    whole = build.build if isinstance(build, Reconciliation) else build
    if not whole.supercharged:
        raise refusal(whole.title, "compressor", "none", "be there to be driven faster")
    aim = Aim.of(target, tolerance)
    request = read_plan(whole, levels=False)
    _check_calibration(whole, calibration)
    top = _fastest(whole.with_surface())
    _check_train(top)
    with telling("faster drive") as told:
        tell = told if progress is None else progress
        search = _Search(top, fit, request, aim, tell)
        search.choose()
        result = search.result()
        if result.chosen is None:
            return result
        made = calibration
        if made is None:
            made = calibrate(build, knock=False, progress=tell)
        # Whatever slips has slipped in the ratio that a calibration takes.
        runs_at = result.chosen.trial.solved[AS_TYPED].chain.drive.drive_ratio
        return replace(result, new_cells=made.next_ratio(float(runs_at)))


def _fastest(build: Build) -> Build:
    """The build on the fastest of its levels."""
    if not build.levels:
        return build
    named = [build.level(name) for name in build.levels]
    return max(named, key=lambda one: float(one.chain.drive.speed_ratio))


def _check_train(top: Build) -> None:
    if not any(isinstance(link, _core.GearPair | _core.PulleyPair) for link in top.links):
        rule = "have a pair of gears or pulleys that can be changed"
        raise refusal(top.title, "drive", "none", rule)


def _check_calibration(build: Build, calibration: Calibration | None) -> None:
    if calibration is None:
        return
    if calibration.build.name != build.name:
        rule = f"be of {build.name}"
        raise refusal(_WHERE, "calibration", quoted(calibration.build.name), rule)


class _Search:
    """The trials: as it stands, on the way, and at the target."""

    def __init__(self, top: Build, fit: Reconciliation | None, request: PlanRequest,
                 aim: Aim, progress: Progress) -> None:  # fmt: skip
        self.progress = progress
        self.top, self.fit, self.request, self.aim = top, fit, request, aim
        self.fitted = top if fit is None else top.changed(fit.factors)
        self.start = float(top.chain.drive.drive_ratio)
        self.sought = sought = aim.sought(self.fitted.chain, request.rpm)
        self.wanted = sought.ratio if isfinite(sought.ratio) else sought.at
        self._check_beyond()
        # Straight lines found where the aim is met, so some room is left about it.
        self.low, self.high = sought.low / _ABOUT, sought.high * _ABOUT
        ways = offers(top, request, self.start * (1.0 + 1e-9), self.high)
        self.offers = [one for one in ways if self._on_the_way(one) or self._near(one)]
        fittings = [present(top, request), *(one.fitting for one in self.offers)]
        trials, self.band = tried(top, fit, request, fittings, progress)
        by_way = {id(trial.fitting): trial for trial in trials}
        self.now = by_way[id(fittings[0])]
        self.trials = {id(one): by_way[id(one.fitting)] for one in self.offers}
        self.chosen: Offer | None = None
        self.step: Offer | None = None

    def _check_beyond(self) -> None:
        """Refuse what is handed over already."""
        name = self.top.level_name or "the drive as built"
        ratio = self.sought.ratio
        beyond = ratio > self.start * (1.0 + 1e-6) or not isfinite(ratio)
        if not beyond:
            gives = self.start
            if self.aim.name != "ratio":
                gives = self.fitted.pull(self.request.rpm).peak(self.aim.name)[0]
            rule = f"be beyond what is handed over; {name} gives {self.aim.shown(gives)}"
            raise refusal(_WHERE, "target", self.aim.shown(self.aim.value), rule)

    def _near(self, one: Offer) -> bool:
        return self.low <= one.fitting.drive_ratio <= self.high

    def _on_the_way(self, one: Offer, to: float = 0.0) -> bool:
        """Whether an offer lies in the middle part of the rise to a ratio, in logarithms."""
        place = log(one.fitting.drive_ratio / self.start) / log((to or self.wanted) / self.start)
        return _EARLY <= place <= _LATE

    def _aimed(self) -> list[Offer]:
        """What reaches the target, the easiest to come by and nearest first."""
        reach = [one for one in self.offers if self.aim.deviation(self._trial(one)) <= 1.0]
        return sorted(reach, key=lambda one: (one.rank, self.aim.deviation(self._trial(one))))

    def _steps(self, chosen: Offer) -> list[Offer]:
        """What lies on the way to the pair that was chosen, likewise; nearest to its middle."""
        to = chosen.fitting.drive_ratio
        if to < _SMALL * self.start:
            return []
        middle = 0.5 * log(to / self.start)
        ways = [one for one in self.offers if one is not chosen and self._on_the_way(one, to)]
        return sorted(
            ways,
            key=lambda one: (
                one.rank,
                abs(log(one.fitting.drive_ratio / self.start) - middle),
            ),
        )

    def _trial(self, one: Offer) -> Trial:
        return self.trials[id(one)]

    def choose(self) -> None:
        """Take the first pair that passes at the target, and the first on the way to it."""
        if self.top.cylinder is not None:
            self.now = self._with_knock(self.now)
        self.chosen = self._first(self._aimed())
        self.step = None if self.chosen is None else self._first(self._steps(self.chosen))

    def _first(self, ways: Sequence[Offer]) -> Offer | None:
        """The first that keeps every limit; knock is searched only where nothing else is left."""
        for one in ways:
            if not self._trial(one).objections:
                self._look([self._trial(one)])
            if not self._trial(one).objections:
                return one
        return None

    def _look(self, trials: Sequence[Trial]) -> bool:
        """Search the knock limit of trials that nobody has searched; whether there were any."""
        asked = [trial for trial in trials if trial.knock_open]
        if asked:
            found = with_knock(
                self.fitted, self.request, list(self.trials.values()), asked, self.progress
            )
            self.trials = dict(zip(self.trials, found, strict=True))
        return bool(asked)

    def _with_knock(self, trial: Trial) -> Trial:
        (searched,) = with_knock(self.fitted, self.request, [trial], [trial], self.progress)
        return searched

    def result(self) -> Regeared:
        """The pair that is taken, and knock looked for in whatever is told as fit to run."""
        made = self._result()
        # Whoever mends what else stands against the nearest ways shall know of their knock too.
        fit = [t for t in made.named if "knock" in self.request.limits and not t.objections]
        return self._result() if self._look([*made.nearest, *fit]) else made

    def _result(self) -> Regeared:
        """The pair that is taken, with its level and the one on the way."""
        chosen, step = self.chosen, self.step
        return Regeared(
            build=self.top,
            aim=self.aim,
            request=self.request,
            ratio=self.sought.ratio,
            most=self.sought.most,
            offers=tuple((one, self._trial(one)) for one in self.offers),
            now=self.now,
            chosen=None if chosen is None else self._level(self._trial(chosen), NAME),
            mesh=None if chosen is None else chosen.mesh,
            step=None if step is None else self._level(self._trial(step), "on the way"),
            band=self.band,
            fit=self.fit,
        )

    def _level(self, trial: Trial, name: str) -> PlannedLevel:
        gives = trial.reaches(replace(self.aim.target, name=self._quantity))
        target = Target(name, self._quantity, gives, self.aim.tolerance * gives, 0.0)
        return planned_level(self.top, self.fit, self.request, target, trial, "")

    @property
    def _quantity(self) -> str:
        return "power" if self.aim.name == "ratio" else self.aim.name
