"""A sweep as a map with contours, and as a file."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..base.errors import quoted, refusal
from ..base.extras import extra
from ..shown import statuses
from ..shown.columns import heading, in_display
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import axis_label
from .sweep_table import SweepTable

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from xarray import DataArray, Dataset

__all__ = ["SweepTools", "plot_sweep"]

Array = NDArray[np.float64]


class SweepTools:
    """What a sweep can do besides what every dataset can: ``grid.airchain`` shows it as a table.

    Parameters
    ----------
    dataset : xarray.Dataset
        The sweep, or a part of it that was selected.
    """

    def __init__(self, dataset: Dataset) -> None:
        self._dataset = dataset

    def plot(
        self,
        name: str,
        axes: Axes | None = None,
        *,
        x: str | None = None,
        y: str | None = None,
        system: str = "trade",
        title: str | None = None,
    ) -> Figure:
        """Draw one column as a map with labelled contours.

        Parameters
        ----------
        name : str
            The column.
        axes : matplotlib.axes.Axes, optional
            Where to draw, one panel.
        x, y : str, optional
            Axes of the picture; the last and the first of the sweep without them.
        system : str
            ``"trade"`` or ``"si"``.
        title : str, optional
            What stands over the picture.

        Returns
        -------
        matplotlib.figure.Figure
            The figure, as of `plot_sweep`.
        """
        return plot_sweep(self._dataset, name, axes, x=x, y=y, system=system, title=title)

    def table(self, most: int = 24) -> SweepTable:
        """Return the points as a table in trade units or SI, statuses and flags in words.

        Parameters
        ----------
        most : int
            How many rows at most [dimensionless].

        Returns
        -------
        SweepTable
            A row a point; its `text` takes the unit system.
        """
        return SweepTable(self._dataset, most)

    def __repr__(self) -> str:
        return repr(self.table())

    def _repr_html_(self) -> str:
        return self.table()._repr_html_()


@cache
def add_tools() -> None:
    """Give every dataset the attribute ``airchain``, once."""
    extra("xarray").register_dataset_accessor("airchain")(SweepTools)


def plot_sweep(
    dataset: Dataset,
    name: str,
    axes: Axes | None = None,
    *,
    x: str | None = None,
    y: str | None = None,
    system: str = "trade",
    title: str | None = None,
) -> Figure:
    """Draw one column of a sweep as a map with labelled contours.

    Points without an answer stay blank and are crossed.

    Parameters
    ----------
    dataset : xarray.Dataset
        A sweep that has two axes, or more with the others selected first.
    name : str
        The column.
    axes : matplotlib.axes.Axes, optional
        Where to draw, one panel.
    x, y : str, optional
        Axes of the picture; the last and the first of the dataset without them.
    system : str
        ``"trade"`` or ``"si"``.
    title : str, optional
        What stands over the picture.

    Returns
    -------
    matplotlib.figure.Figure
        The figure.

    Raises
    ------
    InputError
        The dataset has not two axes, has no such column, or an axis is no number.
    """
    if name not in dataset:
        raise refusal("sweep", "name", quoted(name), "be a column of the sweep")
    values = dataset[name].squeeze()
    if values.ndim != 2:
        hint = "select the others first, as in dataset.sel(rpm=6000)"
        raise refusal("sweep", "axes", quoted(list(values.dims)), "be two", hint)
    y = str(y or values.dims[0])
    x = str(x or next(d for d in reversed(values.dims) if d != y))
    values = values.transpose(y, x)
    if min(values.shape) < 2 or any(values[d].dtype.kind not in "if" for d in (x, y)):
        raise refusal("sweep", "axes", quoted([x, y]), "hold two numbers or more each")
    figure, (panel,) = panels_for(axes, (7.2, 5.2))
    shown = in_display(name, values.to_numpy(), system)
    across, along = values[x].to_numpy(), values[y].to_numpy()
    if np.isfinite(shown).any():
        _draw_levels(panel, across, along, shown, axis_label(name, system))
    unsolved = np.isnan(shown)
    if unsolved.any():
        grid_x, grid_y = np.meshgrid(across, along)
        panel.plot(grid_x[unsolved], grid_y[unsolved], "x", color="black", markersize=6,
                   markeredgewidth=1.6, clip_on=False, zorder=5)  # fmt: skip
    panel.set_xlabel(_coordinate(values, x))
    panel.set_ylabel(_coordinate(values, y))
    count = statuses.count(dataset["status"].to_numpy())
    said = count + (" Crossed: no answer." if unsolved.any() else "")
    panel.set_title(said, fontsize=9)
    if title or axes is None:
        words = f"{heading(name)} over {_axis_words(values, x)} and {_axis_words(values, y)}"
        words = words[:1].upper() + words[1:]
        head_and_foot(figure, [panel], axes is None, title, words=words)
    return figure


def _draw_levels(axes: Axes, x: Array, y: Array, values: Array, text: str) -> None:
    filled = axes.contourf(x, y, np.ma.masked_invalid(values), levels=12, cmap="cividis")
    lines = axes.contour(
        x, y, np.ma.masked_invalid(values), levels=np.asarray(filled.levels)[::2], colors="white",
        linewidths=0.8,
    )  # fmt: skip
    outline = [extra("matplotlib.patheffects").withStroke(linewidth=2, foreground="black")]
    for text_of_line in axes.clabel(lines, fontsize=8, fmt="%g"):
        text_of_line.set_path_effects(outline)
    axes.figure.colorbar(filled, ax=axes, label=text)


def _axis_words(values: DataArray, name: str) -> str:
    text: str = values[name].attrs.get("long_name", name)
    return text


def _coordinate(values: DataArray, name: str) -> str:
    unit = values[name].attrs.get("units", "1")
    text = values[name].attrs.get("long_name", name)
    return f"{text.capitalize()} [{unit}]" if unit != "1" and unit != text else text.capitalize()
