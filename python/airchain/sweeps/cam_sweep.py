"""Many camshafts in the car: each finds its own boost at every level, straight from its cycles."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import prod
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import InputError, quoted, refusal, suggestion, under
from ..base.progress import Progress
from ..base.speeds import checked_speeds
from ..chain.plots import foot_of
from ..chain.pull import Pull
from ..chain.solving import default_speeds
from ..cylinder.cams import cam_values, named_cams, varied
from ..cylinder.parts import cylinder_of
from ..shown import statuses
from ..shown.columns import column, heading, label, shown
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import axis_label, draw_series
from ..shown.tables import Shown, Table
from ..shown.words import counted
from .cam_grid import CamGrid, cam_frame
from .described import Frame
from .filling import Memory, fill
from .store import checked_folder, open_sweep, opened

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import ArrayLike

    from ..chain.build import Build
    from ..typed.place import Typed

__all__ = ["CamPulls", "cam_sweep"]

Array = NDArray[np.float64]
#: The engine without its compressor, as ladders call it.
ASPIRATED = "naturally aspirated"
#: Most points of one call: some minutes, and in a folder, where nothing is lost, some hours.
_MOST, _MOST_STORED = 200_000, 10_000_000


@dataclass(frozen=True, eq=False, repr=False)
class CamPulls(Shown):
    """Pulls of one build with many camshafts at some levels; made by `cam_sweep`.

    Attributes
    ----------
    build : Build
        The build before its camshaft was varied, breathing by its cycles.
    rpm : ndarray
        Engine speeds [rpm].
    levels : tuple of str
        Names of the levels.
    builds : mapping
        The build with each camshaft, by the camshaft's name.
    pulls : mapping
        Pulls by level, then by camshaft.
    """

    build: Build
    rpm: Array
    levels: tuple[str, ...]
    builds: Mapping[str, Build]
    pulls: Mapping[str, Mapping[str, Pull]]

    @property
    def cams(self) -> list[str]:
        """Names of the camshafts, such as ``"duration 230 deg"``."""
        return list(self.builds)

    def __getitem__(self, level: str) -> Mapping[str, Pull]:
        if level not in self.pulls:
            rule = f"be one of {', '.join(self.levels)}"
            raise refusal("CamPulls", "level", quoted(level), rule, "cam_sweep(..., levels=...)")
        return self.pulls[level]

    def of_cam(self, name: str) -> Array:
        """Return a column by camshaft.

        Parameters
        ----------
        name : str
            The column, such as ``"power"``.

        Returns
        -------
        ndarray
            Its values [SI]: camshafts in the order of `cams`, then levels, then speeds.
        """
        column(name)
        return np.array([[self.pulls[x][cam][name] for x in self.levels] for cam in self.cams])

    @property
    def verdict(self) -> str:
        """How many camshafts and levels, and how many points were solved."""
        every = [pull for by_cam in self.pulls.values() for pull in by_cam.values()]
        codes = np.concatenate([pull.columns["status"] for pull in every])
        cams = f"{counted(len(self.builds), 'camshaft')} at {counted(len(self.levels), 'level')}"
        return f"{self.build.name}: {cams}. {statuses.count(codes)}"

    @property
    def notes(self) -> list[str]:
        """What was held, and what is to be said of the points."""
        every = [pull for by_cam in self.pulls.values() for pull in by_cam.values()]
        told = dict.fromkeys(note for pull in every for note in pull.notes)
        return [
            "Every camshaft finds its own boost: the drive turns as before, and one that takes "
            "more air gets less pressure.",
            *told,
        ]

    def plot(
        self, axes: Axes | Sequence[Axes] | None = None, *, system: str = "trade",
        title: str | None = None, columns: Sequence[str] = ("boost", "torque", "power"),
        levels: Sequence[str] = (),
    ) -> Figure:  # fmt: skip
        """Draw columns over engine speed by camshaft: a row of panels a column, one a level.

        Parameters
        ----------
        axes : sequence of matplotlib.axes.Axes, optional
            Where to draw, row by row: for each of `columns`, one for each level.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.
        columns : sequence of str
            What is drawn.
        levels : sequence of str
            Which levels; all without it.

        Returns
        -------
        matplotlib.figure.Figure
            The figure. Hollow markers are extrapolated points, gaps have no answer.

        Raises
        ------
        InputError
            There are more than seven camshafts, or no such column or level.
        """
        if len(self.builds) > _DRAWN:
            rule = f"be {_DRAWN} at most, to be told apart"
            raise refusal("plot", "camshafts", str(len(self.builds)), rule, "vary fewer values")
        chosen = {level: self[level] for level in (levels or self.levels)}
        return _drawn(chosen, axes, system, title, columns)

    def _tables(self, system: str) -> list[Table]:
        rows = [
            [level, cam, *_cells(pull, system)]
            for level, by_cam in self.pulls.items()
            for cam, pull in by_cam.items()
        ]
        headings = ["level", "camshaft"]
        units = ["", ""]
        for name in ("torque", "power"):
            headings += [f"peak {heading(name)}", "at"]
            units += [label(name, system), "rpm"]
        last = [("mean torque", "torque"), ("boost at redline", "boost"), ("air there", "air_flow")]
        headings += [words for words, _ in last]
        units += [label(name, system) for _, name in last]
        key = "Mean torque is that of all speeds; redline stands for the highest speed solved."
        return [Table(headings, units, rows, key=key, flush=(0, 1))]


#: Lines that a reader tells apart.
_DRAWN = 7


def _cells(pull: Pull, system: str) -> list[str]:
    """Peaks, mean and the end of one pull."""
    cells = []
    for name in ("torque", "power"):
        value, rpm = pull.peak(name)
        cells += [shown(name, value, system), "–" if np.isnan(rpm) else f"{rpm:,.0f}"]
    torque = pull["torque"][pull.matched]
    cells.append(shown("torque", float(np.mean(torque)) if torque.size else np.nan, system))
    return cells + [shown(name, float(pull[name][-1]), system) for name in ("boost", "air_flow")]


def _drawn(by_level: Mapping[str, Mapping[str, Pull]], axes: Axes | Sequence[Axes] | None,
           system: str, title: str | None, names: Sequence[str]) -> Figure:  # fmt: skip
    for name in names:
        column(name, "plot")
    wide, rows = len(by_level), len(names)
    figure, panels = panels_for(axes, (max(7.2, 4.2 * wide), 1.3 + 2.5 * rows), rows, wide)
    for place, (level, by_cam) in enumerate(by_level.items()):
        for down, name in enumerate(names):
            panel = panels[down * wide + place]
            for index, (cam, pull) in enumerate(by_cam.items()):
                draw_series(panel, pull.rpm, pull, name, index, system, cam)
            panel.grid(alpha=0.3)
            if place == 0:
                panel.set_ylabel(axis_label(name, system))
        panels[place].set_title(level, fontsize=9)
        panels[(rows - 1) * wide + place].set_xlabel("Engine speed [rpm]")
    if axes is None:
        lines = panels[0].get_legend_handles_labels()
        figure.legend(*lines, fontsize=8, ncols=2, loc="outside upper center")
    else:
        panels[0].legend(fontsize=8)
    every = [pull for by_cam in by_level.values() for pull in by_cam.values()]
    head_and_foot(figure, panels, axes is None, title, foot_of(every))
    return figure


def cam_sweep(
    build: Build,
    rpm: ArrayLike | None = None,
    levels: Sequence[str] | None = None,
    *,
    duration: Typed = None,
    lobe_lift: Typed = None,
    lobe_separation: Typed = None,
    centreline: Typed = None,
    threads: int = 0,
    progress: Progress | None = None,
    store: str | os.PathLike[str] | None = None,
) -> CamPulls:
    """Pull a build with every combination of some camshafts, each at its own boost.

    The chain is matched with each camshaft's own cycles, whatever the build breathes by otherwise.

    Parameters
    ----------
    build : Build
        The build, with cams.
    rpm : array_like, optional
        Engine speeds [rpm]; those of `Build.pull` without it.
    levels : sequence of str, optional
        Drive levels, ``"naturally aspirated"`` for the engine without its compressor; without it
        that one and all levels of the build.
    duration : str, float or sequence, optional
        Intake durations at 0.050 in tappet lift [rad]. The exhaust lobe keeps its difference to
        the intake's, and both keep their ramps: seat less 0.050 in duration.
    lobe_lift : str, float or sequence, optional
        Intake lobe lifts [m]; the exhaust lobe keeps its difference.
    lobe_separation, centreline : str, float or sequence, optional
        Cam angle between the peaks, and the intake's installed centreline [rad].
    threads : int
        Threads, dimensionless; 0 for all processors. Results do not depend on it.
    progress : callable, optional
        Called with the numbers of points done and in all, dimensionless; told on standard error
        without it where the work lasts.
    store : str or path, optional
        A folder ending in ``.zarr`` that takes the points as they are solved, as that of `sweep`:
        where the work ends early, the same call goes on from there.

    Returns
    -------
    CamPulls
        Pulls by level and camshaft.

    Raises
    ------
    InputError
        The build has no cams, a camshaft cannot be (lift beyond the flow bench or the piston,
        events that cross), or there is no such level; before any work.

    Examples
    --------
    >>> cams = cam_sweep(build, [4000, 6000], ["full"], lobe_separation=["110 deg", "114 deg"])
    >>> cams.of_cam("boost").shape
    (2, 1, 2)
    """
    cylinder_of(build)  # refused without cams, in the words of that
    base = build.without_surface()
    given = {"duration": duration, "lobe_lift": lobe_lift}
    given |= {"lobe_separation": lobe_separation, "centreline": centreline}
    values = named_cams(cam_values("cam_sweep", given))
    speeds = checked_speeds(default_speeds(build) if rpm is None else rpm, "cam_sweep")
    chosen = _levels(base, levels)
    if store is not None:
        checked_folder(store)
    points = len(values) * len(chosen) * speeds.size
    most = _MOST if store is None else _MOST_STORED
    if points > most:
        hint = "keep them in a folder: cam_sweep(..., store=...)" if store is None else ""
        raise refusal("cam_sweep", "axes", f"{points:,} points", f"make at most {most:,}", hint)
    builds = {name: _with_cam(base, name, one) for name, one in values.items()}
    steps = {name: [_on(one, level) for level in chosen] for name, one in builds.items()}
    grid = CamGrid(list(steps.values()), speeds)
    frame = cam_frame(base, grid, list(builds), chosen)
    solved = _solved(grid, frame, threads, progress, store)
    pulls = {
        level: {
            name: Pull(steps[name][place], {n: v[row, place] for n, v in solved.items()})
            for row, name in enumerate(builds)
        }
        for place, level in enumerate(chosen)
    }
    return CamPulls(base, speeds, chosen, builds, pulls)


def _levels(build: Build, levels: Sequence[str] | None) -> tuple[str, ...]:
    known = (ASPIRATED, *map(str, build.levels))
    if build.supercharged and not build.levels:
        known = (*known, "")
    if levels is None:
        return known
    chosen = tuple([levels] if isinstance(levels, str) else levels)
    for level in chosen:
        if level not in known:
            rule = f"be one of {', '.join(known)}"
            near = suggestion(str(level), list(known))
            raise refusal("cam_sweep", "levels", quoted(level), rule, near)
    if not chosen:
        raise refusal("cam_sweep", "levels", "[]", "name at least one")
    return chosen


def _on(build: Build, level: str) -> Build:
    return build.naturally_aspirated() if level == ASPIRATED else build.level(level)


def _with_cam(build: Build, name: str, values: Mapping[str, float]) -> Build:
    """The build with another camshaft; what is refused is told with the camshaft."""
    try:
        cam = varied(cylinder_of(build).cam, **values)
        typed: dict[str, str] = {}
        if "lobe_separation" in values:
            typed["lobe_separation"] = f"{float(cam.lobe_separation)!r} rad"
        if "centreline" in values:
            typed["intake_centreline"] = f"{float(cam.intake_centreline)!r} rad"
        for side, lobe in (("intake", cam.intake), ("exhaust", cam.exhaust)):
            if "duration" in values:
                typed[f"{side}.duration"] = f"{float(lobe.duration)!r} rad"
                typed[f"{side}.seat_duration"] = f"{float(lobe.seat_duration)!r} rad"
            if "lobe_lift" in values:
                typed[f"{side}.lobe_lift"] = f"{float(lobe.lobe_lift)!r} m"
        return build.replace({f"engine.camshaft.{key}": text for key, text in typed.items()})
    except InputError as error:
        raise under(f"cam_sweep: {name}", error) from None


def _solved(
    grid: CamGrid, frame: Frame, threads: int, progress: Progress | None,
    store: str | os.PathLike[str] | None,
) -> dict[str, Array]:  # fmt: skip
    """Solve every camshaft's levels; with a folder, those that are not in it yet."""
    points = prod(grid.shape)
    if store is None:
        memory = Memory(grid.shape, grid.columns, grid.tile)
        fill(grid, memory, points, threads, progress, what="camshafts")
        return memory.arrays
    with opened(store, frame, grid.tile) as folder:
        fill(grid, folder, points, threads, progress, what="camshafts")
    kept = open_sweep(store)
    return {name: kept[name].to_numpy() for name in grid.columns}
