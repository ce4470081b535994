"""Compression against boost: what knock leaves of the torque, for each generic fuel."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import degrees, pi
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..base.progress import Progress, relay
from ..shown.columns import shown_as
from ..shown.fuel_names import fuel_words
from ..shown.tables import Shown, Table
from ..typed.place import Typed
from ..units.convert import from_si, unit_label
from . import _solving as solving
from . import plots
from ._columns import status_names
from ._typed import many, told
from .knock_words import BEST_TORQUE, DOUBT
from .points import condition_unit, knock_note, shown_condition

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from xarray import Dataset

    from .crank_engine import CrankEngine

__all__ = ["KnockLimits", "compression_against_boost"]

Array = NDArray[np.float64]

#: What every fuel keeps of the engine's own.
_KEPT = ("lambda", "evaporated_fraction", "temperature")
_LIMITS = ("best torque", "knock-limited", "knocks at any phasing", "not converged")


def compression_against_boost(
    engine: CrankEngine,
    rpm: float,
    *,
    compression_ratio: Typed,
    plenum_pressure: Typed,
    exhaust_pressure: Typed,
    fuels: Sequence[str] | None = None,
    search: _core.SparkSearch | None = None,
    controls: _core.CycleControls | None = None,
    threads: int = 0,
    progress: Progress | None = None,
    **more: Typed,
) -> KnockLimits:
    """Find how much torque knock leaves, for several compression ratios and boosts.

    Each point burns at the phasing of greatest torque. Where the unburned gas would knock there,
    the burn is put as much later as it takes. Phasing is the crank angle at which half of the
    charge has burned. The limit is in doubt by 5 degrees: the torque 5 degrees later is told too.

    Parameters
    ----------
    engine : CrankEngine
        The engine. Its mixture strength holds for every fuel, and so does the share of fuel that
        evaporates, as far as the air can hold it.
    rpm : float
        Engine speed [rpm].
    compression_ratio : array_like
        Volume at bottom centre over that at top centre, dimensionless.
    plenum_pressure : str, float or sequence
        Absolute [Pa].
    exhaust_pressure : str, float or sequence
        Absolute, behind the primary [Pa]: one, or one a plenum pressure.
    fuels : sequence of str, optional
        Names of generic fuels; all of them without it.
    search : SparkSearch, optional
        Knock level and range of phasings.
    controls : CycleControls, optional
        Step and convergence.
    threads : int
        Threads of the core, dimensionless; 0 for all processors.
    progress : callable, optional
        Called with the numbers of points done and in all, dimensionless.
    **more
        Temperatures as `CrankEngine.points` takes them, `plenum_temperature` that of the air before
        any fuel: each fuel cools it as far as it evaporates.

    Returns
    -------
    KnockLimits
        Torque, phasing and what limits it, by fuel, compression ratio and plenum pressure.

    Raises
    ------
    InputError
        A fuel that is not known, or a value that is refused; before any work.

    Notes
    -----
    Left out: what detergents, hot spots, deposits and a lean cylinder do, cycle-to-cycle variation,
    charge temperature that rises with boost (give `plenum_temperature` a row). Best torque is
    sought with half burned from 8 degrees after top centre on, since dynos show 8 to 10 (common
    practice, no source); the cycle alone would put it at 3 to 8. Heat to the walls decides it, and
    twice Woschni's coefficient gives 9. Blow-by, crevices and the burned gas's own temperature at
    the walls are left out. The answer ranks choices of pistons and is no permission to run one.
    """
    ratios = np.atleast_1d(many(compression_ratio, "dimensionless", "knock", "compression_ratio"))
    names = _fuels(fuels)
    typed = {"rpm": rpm, "plenum_pressure": plenum_pressure, "exhaust_pressure": exhaust_pressure}
    for name in more:
        if name in ("spark", "half_burned"):
            raise refusal("knock", name, quoted(more[name]), "be left out: it is sought")
    rows = solving.rows_of(solving.conditions(engine, {**typed, **more}))
    own = {n: v for n, v in engine.fuel.items() if n in _KEPT}
    engines = [
        engine.replace(fuel={**own, "name": name}, compression_ratio=float(ratio))
        for name, ratio in product(names, ratios)
    ]
    wanted = search or _core.SparkSearch()
    answers = []
    for number, one in enumerate(engines):
        total = len(engines) * len(rows["rpm"])
        told_of = relay(progress, number * len(rows["rpm"]), total)
        answers.append(_limits(one, _charged(one, rows), wanted, controls, threads, told_of))
    shape = (len(names), len(ratios), len(rows["rpm"]))
    columns = {n: np.stack([f[n] for f in answers]).reshape(shape) for n in answers[0]}
    axes = {"fuel": names, "compression_ratio": ratios, "plenum_pressure": rows["plenum_pressure"]}
    return KnockLimits(engine, axes, rows, columns)


def _fuels(names: Sequence[str] | None) -> list[str]:
    known = list(_core.generic_fuel_names())
    if isinstance(names, str):
        names = [names]
    chosen = known if names is None else list(dict.fromkeys(names))
    for name in chosen:
        if name not in known:
            raise refusal("knock", "fuels", quoted(name), f"be one of {', '.join(known)}")
    if not chosen:
        raise refusal("knock", "fuels", "[]", "hold at least one name")
    return chosen


def _charged(engine: CrankEngine, rows: Mapping[str, Array]) -> dict[str, Array]:
    """The rows with the charge as cold as the engine's fuel makes the plenum's air."""
    fuel, injection = engine.setup.mixture.fuel, engine.injection
    humidity = engine.setup.mixture.vapour
    air = zip(rows["plenum_pressure"], rows["plenum_temperature"], strict=True)
    charge = [
        told("knock", _core.charge_after_fuel, fuel, injection, float(p), float(t), humidity)[0]
        for p, t in air
    ]
    return {**rows, "plenum_temperature": np.array(charge)}


def _limits(
    engine: CrankEngine, rows: Mapping[str, Array], search: _core.SparkSearch,
    controls: _core.CycleControls | None, threads: int, progress: Callable[[int], None] | None,
) -> dict[str, Array]:  # fmt: skip
    """One compression ratio and fuel: search, then the phasing as much later as the doubt is."""
    setup, columns = solving.core_points(engine, rows)
    steps = controls or _core.CycleControls()
    searches = told(
        "knock", _core.run_spark_searches, setup, columns, search, steps, threads=threads,
        progress=progress,
    )  # fmt: skip
    names = list(_core.spark_status_names())
    code = {name: names.index(name) for name in names}
    usable = searches["usable_half_burned"]
    free = usable == searches["best_half_burned"]
    peak = np.where(free, searches["best_peak_pressure"], searches["limit_peak_pressure"])
    limit = np.where(free, 0, 1)
    limit = np.where(searches["limit_search"] == code["always_knocks"], 2, limit)
    lost = (searches["best_search"] == code["not_converged"]) | (
        searches["limit_search"] == code["not_converged"]
    )
    limit = np.where(lost, 3, limit)
    answered = np.isfinite(usable)
    later = np.where(answered, usable, search.latest)
    allowed = searches["limit_half_burned"] + DOUBT
    doubted = np.isfinite(allowed) & (allowed > later)
    latest = next(r[3] for r in _core.CyclePoint.fields() if r[0] == "half_burned")
    later = np.minimum(np.where(doubted, allowed, later), latest)
    again = told(
        "knock", _core.run_cycles, setup, {**columns, "half_burned": later}, steps, threads=threads
    )
    low = _torque(engine, columns["speed"], again["imep"], again["peak_pressure"])
    settled = answered & (again["status"] == 0)
    return {
        "torque": _torque(engine, columns["speed"], searches["usable_imep"], peak),
        "torque_with_doubt": np.where(settled, low, np.nan),
        "half_burned": usable,
        "spark": -searches["usable_spark"],
        "peak_pressure": np.where(answered, peak, np.nan),
        "torque_without_knock": _torque(
            engine, columns["speed"], searches["best_imep"], searches["best_peak_pressure"]
        ),
        "limit": limit,
    }


def _torque(engine: CrankEngine, speed: Array, imep: Array, peak: Array) -> Array:
    size = engine.engine
    brake = imep - size.friction_at(peak, speed)
    return brake * size.displacement / (4.0 * pi)


@dataclass(frozen=True, eq=False, repr=False)
class KnockLimits(Shown):
    """Torque that knock leaves; made by `compression_against_boost`.

    ``limits["torque"]`` is an array over fuel, compression ratio and plenum pressure; NaN where no
    phasing was found, and `status` says why.

    Attributes
    ----------
    engine : CrankEngine
        The engine.
    axes : mapping
        ``fuel``, ``compression_ratio`` and ``plenum_pressure`` [Pa].
    conditions : mapping
        Conditions along the plenum pressures, SI and rpm.
    columns : mapping
        ``torque``, ``torque_with_doubt`` and ``torque_without_knock`` [N m], ``half_burned`` after
        and ``spark`` before top centre [rad], ``peak_pressure`` of the mean cycle [Pa], ``limit``.
    """

    engine: CrankEngine
    axes: Mapping[str, Any]
    conditions: Mapping[str, Array]
    columns: Mapping[str, Any]

    def __getitem__(self, name: str) -> NDArray[np.float64]:
        if name not in self.columns:
            raise refusal(
                "KnockLimits", "name", quoted(name), f"be one of {', '.join(self.columns)}"
            )
        column: Array = self.columns[name]
        return column

    @property
    def status(self) -> NDArray[np.str_]:
        """What limits each point, in words [dimensionless]."""
        words: NDArray[np.str_] = np.array(_LIMITS)[self.columns["limit"]]
        return words

    def get(self, name: str, unit: str | None = None) -> NDArray[np.float64]:
        """Return a column in a unit.

        Parameters
        ----------
        name : str
            The column.
        unit : str, optional
            The unit wanted; SI without it.

        Returns
        -------
        ndarray
            The values in `unit`, which gives their dimension [unit].
        """
        values = np.asarray(self[name])
        return values if unit is None else np.asarray(from_si(values, unit))

    def plot(
        self,
        axes: Axes | Sequence[Axes] | None = None,
        *,
        system: str = "trade",
        title: str | None = None,
        beside: Sequence[KnockLimits] = (),
    ) -> Figure:
        """Draw the torque that knock leaves over compression ratio.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw, one for each plenum pressure.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        beside : sequence of KnockLimits
            Further limits at the same plenum pressures, laid over these; seven fuels at most.

        Returns
        -------
        matplotlib.figure.Figure
            The figure: filled markers where knock limits, hollow at best torque; the band below is
            the doubt of the knock formula. An `InputError` says where there is one compression
            ratio.
        """
        return plots.draw_limits((self, *beside), axes, system, title)

    def to_dataset(self) -> Dataset:
        """Return the points as a labelled dataset.

        Returns
        -------
        xarray.Dataset
            One variable a column over fuel, compression ratio and plenum pressure, SI.
        """
        dims = tuple(self.axes)
        units = {"half_burned": "rad", "spark": "rad", "peak_pressure": "Pa"}
        variables = {
            n: (dims, v, {"units": units.get(n, "N m")})
            for n, v in self.columns.items()
            if n != "limit"
        }
        variables["status"] = (dims, self.status, {})
        about = {"title": self.engine.name, "rpm": float(self.conditions["rpm"][0])}
        dataset: Dataset = extra("xarray").Dataset(variables, dict(self.axes), about)
        return dataset

    @property
    def verdict(self) -> str:
        """How many points have an answer and what limits them."""
        codes = self.columns["limit"]
        parts = [
            f"{int(np.count_nonzero(codes == i))} {words}"
            for i, words in enumerate(_LIMITS)
            if np.any(codes == i)
        ]
        rpm = float(self.conditions["rpm"][0])
        return f"{self.engine.name} at {rpm:,.0f} rpm: {codes.size} points: {', '.join(parts)}"

    @property
    def notes(self) -> list[str]:
        """How far the limit can be trusted."""
        octanes = [_core.generic_fuel(name).research_octane for name in self.axes["fuel"]]
        beyond = [o for o in octanes if not _core.KNOCK_OCTANE[0] <= o <= _core.KNOCK_OCTANE[1]]
        cautions = [
            "Torque is that at the phasing of greatest torque, or at the limit of knock where that "
            "comes later. In brackets stands the torque with the limit 5 degrees later, which is "
            "its doubt.",
            knock_note(max(beyond, default=98.0)),
            BEST_TORQUE.format(best=degrees(_core.SparkSearch().earliest_best)),
        ]
        if beyond:
            cautions.append(
                "Alcohols and leaded fuels are told apart by their octane number alone."
            )
        cautions.append(
            "This is the mean cycle of one cylinder. Single cycles peak 25 to 30 % higher, and a "
            "lean or hot cylinder knocks first (common practice, no source)."
        )
        return cautions

    def _tables(self, system: str) -> list[Table]:
        plenums = [
            shown_condition("plenum_pressure", p, system) for p in self.axes["plenum_pressure"]
        ]
        unit, torque = condition_unit("plenum_pressure", system), unit_label("torque", system)
        tables = []
        for f, fuel in enumerate(self.axes["fuel"]):
            octane = _core.generic_fuel(fuel).research_octane
            rows = [
                [f"{ratio:g}", *(self._cell((f, r, p), system) for p in range(len(plenums)))]
                for r, ratio in enumerate(self.axes["compression_ratio"])
            ]
            words = fuel_words(fuel)
            headings = [f"{words} ({octane:g} RON), compression ratio"]
            caption = f"Torque [{torque}] by compression ratio and plenum pressure: {words}"
            units = ["", *[f"{unit} plenum"] * len(plenums)]
            key = f"{torque}; b: best torque, k: knock-limited" if f == 0 else ""
            tables.append(Table([*headings, *plenums], units, rows, caption, key))
        return tables

    def _cell(self, at: tuple[int, int, int], system: str) -> str:
        limit = int(self.columns["limit"][at])
        if limit > 1 or not np.isfinite(self["torque"][at]):
            return {2: "knocks", 3: status_names()[1].replace("_", " ")}.get(limit, "–")
        high = shown_as("torque", float(self["torque"][at]), system)
        low = shown_as("torque", float(self["torque_with_doubt"][at]), system)
        return f"{high} ({low}) {'bk'[limit]}"
