"""How far every level of a build is from knock and from best torque."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from .. import _core
from ..base.speeds import RPM
from ..cylinder.knock_words import BEST_TORQUE, doubt_words, margin_text
from ..cylinder.parts import cylinder_of
from ..cylinder.spark_searches import (
    EARLIEST,
    LATEST,
    bounds_of,
    later_of,
    margin_of,
    searched,
    with_worst,
)
from ..cylinder.spread import SPREAD_NOTE, told_apart
from ..shown.tables import Shown, Table
from .matched_cycles import ESTIMATE, MEAN, extrapolated_note, matched_points
from .plot_knock import draw_margins

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike

    from .build import Build

__all__ = ["KnockMargins", "knock_margins"]

Column = NDArray[np.float64] | NDArray[np.bool_]
_DEGREE = np.pi / 180.0
_WORST = (
    "Knock limit and margin are those of the worst cylinder's mean cycle, all else is the one "
    "cylinder's that stands for all. {spread} Single cycles peak 25 to 30 % higher (common "
    "practice, no source). No figure here is a permission to run a spark."
)


@dataclass(frozen=True, eq=False, repr=False)
class KnockMargins(Shown):
    """How far every level is from knock and from best torque. Made by `Build.knock_margins`.

    Attributes
    ----------
    build : Build
        The build.
    levels : mapping
        By level: engine speed [rpm], where the chain extrapolates, and every number of the spark
        search, SI.
    """

    build: Build
    levels: Mapping[str, Mapping[str, Column]]

    def __getitem__(self, level: str) -> Mapping[str, Column]:
        return self.levels[level]

    @cached_property
    def _least(self) -> tuple[str, int, float]:
        """Level, place and value of the least margin; no level where none was found."""
        least = ("", 0, float("nan"))
        for name, columns in self.levels.items():
            margins = margin_of(columns, columns["own_half_burned"])
            if np.isfinite(margins).any():
                place = int(np.nanargmin(margins))
                if not margins[place] >= least[2]:
                    least = (name, place, float(margins[place]))
        return least

    @property
    def verdict(self) -> str:
        """The least margin, as the level's pull tells it."""
        level, place, margin = self._least
        if not level:
            return f"{self.build.name}: Knock not known."
        columns = self.levels[level]
        least = margin_text(margin, bool(bounds_of(columns)[place]))
        return (
            f"{self.build.name}: Least knock margin {least} deg, {level} at "
            f"{columns['rpm'][place]:,.0f} rpm{_in(columns, place)}"
            f"{': it knocks' if margin < 0.0 else ''}."
        )

    @property
    def notes(self) -> list[str]:
        """What the figures are worth."""
        octane = cylinder_of(self.build).setup.octane
        best = float(np.degrees(self.build.chain.combustion.best_phasing))
        notes = [ESTIMATE.format(doubt=doubt_words(octane)), BEST_TORQUE.format(best=best)]
        held = np.concatenate([columns["extrapolated"] for columns in self.levels.values()])
        worst = _WORST.format(spread=SPREAD_NOTE) if self._apart else MEAN
        return [*notes, *extrapolated_note(held), worst]

    @property
    def _apart(self) -> bool:
        """Whether the margins are those of the worst cylinder."""
        return told_apart(self.build.cylinder)

    def plot(
        self, axes: Axes | None = None, *, system: str = "trade", title: str | None = None,
        beside: Sequence[KnockMargins] = (),
    ) -> Figure:  # fmt: skip
        """Draw how much earlier each level's spark may come before the mean cycle knocks.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``; both tell angles in degrees.
        title : str, optional
            What stands over the picture.
        beside : sequence of KnockMargins
            Margins of further builds, laid over these.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return draw_margins((self, *beside), axes, system, title)

    def _tables(self, system: str) -> list[Table]:
        names = _core.spark_status_names()
        rows = []
        for level, c in self.levels.items():
            for i, rpm in enumerate(c["rpm"]):
                limit = names[int(c["limit_search"][i])]
                best = names[int(c["best_search"][i])]
                rows.append(
                    [
                        level,
                        f"{rpm:.0f}",
                        _degrees(c["own_half_burned"][i]),
                        _degrees(c["best_half_burned"][i], _as_told(best)),
                        *([_number(c["worst_cylinder"][i])] if self._apart else []),
                        *_limit_and_margin(c, i, limit),
                        "–" if _as_told(best) != "found" else f"{100.0 * c['torque_left'][i]:.1f}",
                        *([] if self._apart else [f"{c['own_knock_integral'][i]:.2f}"]),
                    ]
                )
        headings = [
            *("level", "engine", "half burned", "best torque"),
            *(["worst cylinder"] if self._apart else []),
            *("knock limit", "margin", "torque left"),
            # It is the one cylinder's, and no answer beside the margin of another.
            *([] if self._apart else ["knock integral"]),
        ]
        apart = [""] if self._apart else []
        units = ["", "rpm", "deg", "deg", *apart, "deg", "deg", "%", *([] if apart else [""])]
        key = (
            "Half burned, best torque and knock limit in crank degrees after top centre; the "
            "margin is what the spark may come earlier (est., ± 5). ≥ stands where nothing knocked "
            "at the earliest phasing tried."
        )
        return [Table(headings, units, rows, key=key)]


def _in(columns: Mapping[str, Column], place: int) -> str:
    """Which cylinder it is, as a pull tells it."""
    number = int(columns["worst_cylinder"][place]) if "worst_cylinder" in columns else 0
    return f" in cylinder {number}" if number else ""


def _number(cylinder: float) -> str:
    """A cylinder's number; a dash where none is worst."""
    return f"{cylinder:.0f}" if cylinder else "–"


def _as_told(best: str) -> str:
    """How a search for best torque ended: at its earliest phasing it is told as one that found."""
    return "found" if best == "at_the_earliest" else best


def _degrees(value: float, status: str = "found", sign: str = "") -> str:
    if status != "found" or not np.isfinite(value):
        return status.replace("_", " ") if status != "found" else "–"
    return f"{value / _DEGREE:{sign}.1f}"


def _limit_and_margin(columns: Mapping[str, Column], i: int, search: str) -> tuple[str, str]:
    """Knock limit and margin of one point in degrees; a bound where all that was tried is alike."""
    own = float(columns["own_half_burned"][i])
    later = float(np.broadcast_to(later_of(columns), np.shape(columns["rpm"]))[i])
    if search == "never_knocks":
        return f"<{(EARLIEST + later) / _DEGREE:.1f}", f"≥{(own - EARLIEST - later) / _DEGREE:.1f}"
    if search == "always_knocks":
        return f">{(LATEST + later) / _DEGREE:.1f}", f"≤{(own - LATEST - later) / _DEGREE:.1f}"
    limit = float(columns["limit_half_burned"][i]) + later
    return _degrees(limit, search), _degrees(own - limit, search, "+")


def knock_margins(
    build: Build, rpm: ArrayLike | None = None, progress: Callable[[str], None] | None = None
) -> KnockMargins:
    """Search best-torque and knock-limited phasing at every level of a build.

    Parameters
    ----------
    build : Build
        The build, with cams.
    rpm : array_like, optional
        Engine speeds [rpm]; every 1000 rpm of the default pull and redline without it.
    progress : callable, optional
        Called with the level's name before it is searched.

    Returns
    -------
    KnockMargins
        Margins in degrees of phasing; estimates, and no permission.

    Raises
    ------
    InputError
        The build's volumetric efficiency is typed, or no point was solved.
    """
    cylinder = cylinder_of(build)
    if rpm is None:
        redline = build.redline / RPM
        rpm = np.append(np.arange(3000.0, redline - 300.0, 1000.0), redline)
    steps = {name: build.level(name) for name in build.levels} or {"as built": build}
    levels: dict[str, dict[str, Column]] = {}
    for name, step in {"naturally aspirated": build.naturally_aspirated(), **steps}.items():
        if progress is not None:
            progress(name)
        pull = step.pull(rpm)
        points = matched_points(pull)
        best = step.chain.combustion.best_phasing
        searches = searched(cylinder.setup, points, best_phasing=best)
        searches = with_worst(cylinder, searches, points)
        held = np.asarray(pull.extrapolated)[np.asarray(pull.matched)]
        levels[name] = {"rpm": points["speed"] / RPM, "extrapolated": held, **searches}
    return KnockMargins(build, levels)
