"""What moves a figure most: first-order sensitivities over the samples of a design."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal, suggestion
from ..shown.columns import heading, label, shown
from ..shown.tables import Shown, Table
from .described import NO_KNOCK
from .plot_tornado import draw_tornado
from .told_axes import axis_heading, axis_unit, axis_value, shown_number

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from xarray import DataArray, Dataset

__all__ = ["Factor", "Sensitivities", "sensitivities"]

Array = NDArray[np.float64]
Groups = NDArray[np.int64]
#: Fewest solved samples [dimensionless].
_FEWEST = 64
#: Most groups that samples are parted into along a factor, and fewest samples of a group.
_MOST_GROUPS, _FEWEST_IN_A_GROUP = 32, 8
#: Draws for the doubt of a share [dimensionless].
_DRAWS = 100
#: Share of the samples at either end of a factor [dimensionless].
_END = 0.1


@dataclass(frozen=True)
class Factor:
    """What one input does to the figure.

    Attributes
    ----------
    name : str
        The input, or the recorded rows' name.
    words : str
        How it scatters.
    share : float
        Share of the figure's variance that the input alone accounts for [dimensionless].
    doubt : float
        Standard error of that share [dimensionless].
    low, high : float
        Mean of the figure in the lowest and the highest tenth of the input; of recorded rows in
        the tenths that are worst and best for it [SI].
    ends : tuple of float
        Means of the input there [as the sweep has it]; NaN for recorded rows.
    """

    name: str
    words: str
    share: float
    doubt: float
    low: float
    high: float
    ends: tuple[float, float]

    @property
    def swing(self) -> float:
        """From the lower to the higher of both means [SI]."""
        return abs(self.high - self.low)


@dataclass(frozen=True, eq=False, repr=False)
class Sensitivities(Shown):
    """First-order sensitivities of one figure; made by `sensitivities`.

    Attributes
    ----------
    grid : xarray.Dataset
        The sweep.
    name : str
        The column.
    figure : str
        What was made of it at each sample, in words.
    factors : list of Factor
        What each input does, the largest share first.
    mean, deviation : float
        Mean and standard deviation of the figure [SI].
    samples, left_out : int
        Samples that were used, and those without an answer [dimensionless].
    """

    grid: Dataset
    name: str
    figure: str
    factors: list[Factor]
    mean: float
    deviation: float
    samples: int
    left_out: int

    @property
    def verdict(self) -> str:
        """What moves the figure most."""
        first = self.factors[0]
        unit = label(self.name, "trade")
        around = f"{shown(self.name, self.mean, 'trade')} {unit}".strip()
        swing = f"{_apart(self, first.swing, 'trade')} {unit}".strip()
        called = axis_heading(self.grid, first.name)
        return (
            f"{self.grid.attrs.get('title', 'sweep')}: {called} moves {self.figure} most: "
            f"{100.0 * max(first.share, 0.0):.0f} % of its variance, {swing} from end to end about "
            f"{around}"
        )

    @property
    def notes(self) -> list[str]:
        """What is not explained, what was left out, and what a share is."""
        rest = 1.0 - sum(max(one.share, 0.0) for one in self.factors)
        doubt = float(np.sqrt(sum(one.doubt**2 for one in self.factors)))
        notes = []
        if rest > 2.0 * doubt:
            notes.append(
                f"{100.0 * rest:.0f} % of the variance belongs to no input alone: inputs act "
                "together there."
            )
        if self.left_out:
            notes.append(
                f"{self.left_out:,} of {self.left_out + self.samples:,} samples have points "
                "without an answer and are left out: shares hold for the others only."
            )
        notes.append("Shares hold for how the inputs were said to scatter, and for nothing wider.")
        return [*notes, NO_KNOCK]

    def _tables(self, system: str) -> list[Table]:
        unit = label(self.name, system)
        headings = ["input", "scatters", "share", "±", "at its low end", "at its high end", "swing"]
        rows = [
            [
                axis_heading(self.grid, one.name),
                one.words,
                f"{100.0 * max(one.share, 0.0):.1f}",
                f"{100.0 * one.doubt:.1f}",
                shown(self.name, one.low, system),
                shown(self.name, one.high, system),
                _apart(self, one.swing, system),
            ]
            for one in self.factors
        ]
        key = (
            "Share of the variance that the input alone accounts for, with its standard error; "
            "ends are the lowest and highest tenth of the samples."
        )
        return [Table(headings, ["", "", "%", "%", unit, unit, unit], rows, key=key, flush=(0, 1))]

    def end_words(self, factor: Factor, system: str) -> tuple[str, str]:
        """Return what an input is at its ends.

        Parameters
        ----------
        factor : Factor
            The input.
        system : str
            ``"trade"`` or ``"si"``.

        Returns
        -------
        tuple of str
            Low and high end with their unit.
        """
        if np.isnan(factor.ends[0]):
            return "worst tenth", "best tenth"
        unit = axis_unit(self.grid, factor.name, system)
        low, high = (axis_value(self.grid, factor.name, v, system, 4) for v in factor.ends)
        return f"{low} {unit}".strip(), f"{high} {unit}".strip()

    def plot(
        self, axes: Axes | None = None, *, system: str = "trade", title: str | None = None
    ) -> Figure:
        """Draw a tornado: the figure at both ends of every input, the widest bar on top.

        Parameters
        ----------
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The figure.
        """
        return draw_tornado(self, axes, system, title)


def _apart(found: Sensitivities, swing: float, system: str) -> str:
    ends = [shown_number(found.name, one, system) for one in (found.mean + swing, found.mean)]
    return f"{ends[0] - ends[1]:,.3g}"


def sensitivities(grid: Dataset, name: str, *, figure: str = "peak") -> Sensitivities:
    """Tell what moves a figure most, over the samples of a design.

    A share is the first-order sensitivity index: the variance of the figure's mean at each value
    of the input, over the variance of the figure. Samples are parted into groups along each input,
    and the share is corrected for the scatter within the groups.

    Parameters
    ----------
    grid : xarray.Dataset
        A sweep over a `design`; other axes than engine speed are to be selected first.
    name : str
        The column.
    figure : str
        ``"peak"`` or ``"mean"`` over what axes are left beside the samples.

    Returns
    -------
    Sensitivities
        Shares, swings and their doubt.

    Raises
    ------
    InputError
        There is no such column, no axis of samples, or too few of them have an answer.

    Examples
    --------
    >>> from airchain.sweeps import Even, Normal, design, sensitivities
    >>> drawn = design({"cooler.effectiveness": Even(0.8, 1.0),
    ...                 "combustion.work_scale": Normal(0.97, 0.01)}, 128)
    >>> grid = airchain.sweep(build.level("full"), {"sample": drawn, "rpm": [6000, 7000]})
    >>> sensitivities(grid, "power").factors[0].name
    'combustion.work_scale'
    """
    known = [str(one) for one in grid.data_vars]
    if name not in known or name in ("status", "flags"):
        rule = "be a column of the sweep"
        raise refusal("sensitivities", "name", quoted(name), rule, suggestion(name, known))
    if figure not in ("peak", "mean"):
        raise refusal("sensitivities", "figure", quoted(figure), 'be "peak" or "mean"')
    drawn = [str(n) for n, c in grid.coords.items() if "sampled" in c.attrs and c.ndim == 1]
    dims = {str(grid[n].dims[0]) for n in drawn}
    if len(dims) != 1:
        rule = "have one axis of samples"
        hint = 'sweep a build over {"sample": design(...), "rpm": [...]}'
        raise refusal("sensitivities", "grid", quoted(sorted(map(str, grid.dims))), rule, hint)
    (dim,) = dims
    values, good = _figures(grid, name, dim, figure)
    if good.sum() < _FEWEST:
        rule = f"have at least {_FEWEST} samples whose points are all solved"
        raise refusal("sensitivities", "grid", f"{good.sum()} samples", rule)
    factors = [_factor(grid[n][good], str(n), values[good]) for n in drawn]
    factors.sort(key=lambda one: -one.share)
    left = [str(d) for d in grid[name].dims if d != dim]
    words = f"{figure} {heading(name)}" if left else heading(name)
    y = values[good]
    return Sensitivities(
        grid, name, words, factors, float(y.mean()), float(y.std(ddof=1)), y.size,
        int((~good).sum()),
    )  # fmt: skip


def _figures(grid: Dataset, name: str, dim: str, figure: str) -> tuple[Array, NDArray[np.bool_]]:
    """The figure at every sample, and which samples have all their answers."""
    column = grid[name]
    left = [d for d in column.dims if d != dim]
    solved = (grid["status"] == 0).all(left).to_numpy()
    values = (column.max(left) if figure == "peak" else column.mean(left)).to_numpy()
    return values.astype(float), solved & np.isfinite(values)


def _factor(coordinate: DataArray, name: str, y: Array) -> Factor:
    """What one input does."""
    x = coordinate.to_numpy().astype(float)
    words = str(coordinate.attrs["sampled"])
    rows = coordinate.dtype.kind in "iu"
    groups = np.unique(x, return_inverse=True)[1] if rows else _groups(x)
    share = _share(groups, y)
    draw = np.random.default_rng(0)
    drawn = [_share(groups[i], y[i]) for i in (draw.integers(y.size, size=y.size)
                                               for _ in range(_DRAWS))]  # fmt: skip
    doubt = float(np.std(drawn))
    if rows:
        low, high = _ends_of_rows(groups, y)
        return Factor(name, words, share, doubt, low, high, (np.nan, np.nan))
    order = np.argsort(x, kind="stable")
    some = max(1, round(_END * y.size))
    first, last = order[:some], order[-some:]
    ends = float(x[first].mean()), float(x[last].mean())
    return Factor(name, words, share, doubt, float(y[first].mean()), float(y[last].mean()), ends)


def _groups(x: Array) -> Groups:
    """Groups of as many samples each along an input."""
    count = min(_MOST_GROUPS, x.size // _FEWEST_IN_A_GROUP)
    rank = np.empty(x.size, dtype=np.int64)
    rank[np.argsort(x, kind="stable")] = np.arange(x.size)
    return rank * count // x.size


def _share(groups: Groups, y: Array) -> float:
    """The variance between groups over all variance, free of the scatter within them.

    share = 1 - (SS_within/(N - k))/(SS_all/(N - 1))                Kelley 1935, from memory
    """
    counts = np.bincount(groups)
    used = counts > 0
    sums = np.bincount(groups, y)
    within = float(np.sum(y * y) - np.sum(sums[used] ** 2 / counts[used]))
    free = y.size - int(np.count_nonzero(used))
    whole = float(np.var(y)) * y.size
    if whole <= 1e-24 * float(np.sum(y * y)) or free < 1:
        return 0.0
    return 1.0 - (within / free) / (whole / (y.size - 1))


def _ends_of_rows(groups: Groups, y: Array) -> tuple[float, float]:
    """Means in the tenths of rows that one half of the samples finds worst and best.

    They are told by the other half, so that luck in few samples does not pass for an effect.
    """
    half = np.arange(y.size) % 2 == 0
    counts = np.bincount(groups[half], minlength=groups.max() + 1)
    sums = np.bincount(groups[half], y[half], minlength=groups.max() + 1)
    with np.errstate(invalid="ignore", divide="ignore"):
        means = np.where(counts > 0, sums / counts, np.nan)
    known = means[groups]
    low, high = np.nanquantile(known[~half], [_END, 1.0 - _END])
    return float(y[~half & (known <= low)].mean()), float(y[~half & (known >= high)].mean())
