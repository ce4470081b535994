"""Pictures of the lesson: what is known so far, the guess, and the answer once it was guessed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ..shown.columns import heading, in_display
from ..shown.plot_style import COLOURS, axis_label, new_figure
from .point import Point, per_cent

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_KNOWN, _GUESS, _ANSWER, _QUIET = COLOURS[0], COLOURS[1], COLOURS[6], "0.75"
_WIDTH = 7.2


def draw_stations(point: Point, station: str, quantity: str, guess: float | None,
                  told: bool) -> Figure:  # fmt: skip
    """Draw pressure or temperature along the stations as far as they are known.

    Parameters
    ----------
    point : Point
        The point.
    station : str
        The station that is asked about.
    quantity : str
        ``"pressure"`` or ``"temperature"``.
    guess : float or None
        The guess [SI].
    told : bool
        Whether the answer may be seen.

    Returns
    -------
    matplotlib.figure.Figure
        The picture.
    """
    names = [name for name in point.table.names if name != "exhaust"]
    column = f"plenum_{quantity}"
    values = [
        float(in_display(column, point.table.states[n][quantity], point.system)) for n in names
    ]
    asked = names.index(station)
    figure, axes = new_figure(_WIDTH, 2.9)
    known = asked + 1 if told else asked
    axes.plot(range(known), values[:known], color=_KNOWN, marker="o", linewidth=1.8)
    if told:
        axes.plot([asked], [values[asked]], color=_ANSWER, marker="o", markersize=8,
                  linestyle="none", label="the chain")  # fmt: skip
        side, where = ("right", -8) if asked == len(names) - 1 else ("left", 8)
        axes.annotate(f"{values[asked]:,.1f}", (asked, values[asked]), (where, -12),
                      textcoords="offset points", fontsize=9, ha=side)  # fmt: skip
    else:
        axes.axvspan(asked - 0.3, asked + 0.3, color=_QUIET, alpha=0.5, linewidth=0)
        axes.text(asked, 0.5, "?", transform=axes.get_xaxis_transform(), ha="center",
                  va="center", fontsize=22)  # fmt: skip
    if guess is not None:
        shown = float(in_display(column, guess, point.system))
        axes.plot([asked], [shown], color=_GUESS, marker="D", markersize=8, fillstyle="none",
                  linestyle="none", label="your guess")  # fmt: skip
    if told:
        axes.legend(fontsize=8)
    axes.set_xlim(-0.5, len(names) - 0.5)
    axes.set_xticks(range(len(names)), [heading(n) for n in names], rotation=30, ha="right",
                    rotation_mode="anchor", fontsize=8)  # fmt: skip
    axes.set_ylabel(axis_label(column, point.system).replace("Plenum", "Total"))
    axes.margins(y=0.2)
    axes.grid(alpha=0.3)
    axes.set_title(f"Total {quantity} of the air, station by station", fontsize=11)
    return figure


def draw_bars(title: str, unit: str, known: Mapping[str, float], asked: str, answer: float,
              guess: float | None, told: bool) -> Figure:  # fmt: skip
    """Draw bars of what is known, and of what is asked once it was guessed.

    Parameters
    ----------
    title, unit : str
        What is shown, and its unit.
    known : mapping
        Values by name [`unit`].
    asked : str
        Name of what is asked.
    answer : float
        Its value [`unit`].
    guess : float or None
        The guess [`unit`].
    told : bool
        Whether the answer may be seen.

    Returns
    -------
    matplotlib.figure.Figure
        The picture.
    """
    rows: list[tuple[str, float | None, str]] = [(n, v, _KNOWN) for n, v in known.items()]
    rows.append((asked, answer if told else None, _ANSWER))
    if guess is not None:
        rows.append(("your guess", guess, _GUESS))
    figure, axes = new_figure(_WIDTH, 1.2 + 0.42 * len(rows))
    for place, (_, value, colour) in enumerate(rows):
        if value is None:
            axes.text(0.02, place, "?", fontsize=15, va="center",
                      transform=axes.get_yaxis_transform())  # fmt: skip
            continue
        hatch = "///" if colour == _GUESS else ""
        axes.barh(place, value, color="white" if hatch else colour, edgecolor=colour, hatch=hatch,
                  height=0.6)  # fmt: skip
        axes.annotate(_plain(value), (max(value, 0.0), place), (4, 0),
                      textcoords="offset points", va="center", fontsize=8)  # fmt: skip
    axes.set_yticks(range(len(rows)), [name for name, _, _ in rows], fontsize=9)
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.set_xlabel(unit)
    axes.margins(x=0.14)
    axes.set_title(title, fontsize=11)
    return figure


def _plain(value: float) -> str:
    """A number with three figures, never with an exponent."""
    return f"{value:,.0f}" if abs(value) >= 1000.0 else f"{value:.3g}"


def draw_share(point: Point, guess: float | None, told: bool) -> Figure:
    """Draw what the engine makes as one bar: the blower's part of it, and the crank's.

    Parameters
    ----------
    point : Point
        The point.
    guess : float or None
        Drive power over crank power [dimensionless].
    told : bool
        Whether the answer may be seen.

    Returns
    -------
    matplotlib.figure.Figure
        The picture.
    """
    unit = "hp" if point.system == "trade" else "kW"
    crank, drive = point.table.get("power", unit), point.table.get("drive_power", unit)
    figure, axes = new_figure(_WIDTH, 2.1)
    rows = [("the chain", drive if told else None)]
    if guess is not None:
        rows.append(("your guess", guess * crank))
    for place, (_, taken) in enumerate(rows):
        _stack(axes, place, [(crank, _KNOWN, f"crank {crank:,.0f} {unit}")])
        if taken is None:
            axes.annotate("?", (crank, place), (6, 0), textcoords="offset points", va="center",
                          fontsize=15)  # fmt: skip
        else:
            words = f"blower {taken:,.0f} {unit}, {per_cent(taken / crank)}"
            colour = _GUESS if place else _ANSWER
            axes.barh(place, taken, left=crank, color="white", edgecolor=colour, hatch="///",
                      height=0.6)  # fmt: skip
            axes.annotate(words, (crank + taken, place), (4, 0), textcoords="offset points",
                          va="center", fontsize=8)  # fmt: skip
    axes.set_yticks(range(len(rows)), [name for name, _ in rows], fontsize=9)
    axes.set_ylim(len(rows) - 0.5, -0.5)
    axes.set_xlim(0.0, 1.55 * crank)
    axes.set_xlabel(f"Power [{unit}]")
    axes.set_title("What the pistons give: to the crank, and to the blower", fontsize=11)
    return figure


def _stack(axes: Axes, place: int, parts: Sequence[tuple[float, str, str]]) -> None:
    left = 0.0
    for width, colour, words in parts:
        axes.barh(place, width, left=left, color=colour, edgecolor=colour, height=0.6)
        axes.text(left + 0.5 * width, place, words, ha="center", va="center", fontsize=8,
                  color="white")  # fmt: skip
        left += width


def draw_knock(margin: float, bound: bool, doubt: float, guess: float | None,
               told: bool) -> Figure:  # fmt: skip
    """Draw the room left to knock with its doubt.

    Parameters
    ----------
    margin : float
        The estimate [deg].
    bound : bool
        Whether it is at least that.
    doubt : float
        Of the estimate, either way [deg].
    guess : float or None
        The guess [deg].
    told : bool
        Whether the answer may be seen.

    Returns
    -------
    matplotlib.figure.Figure
        The picture.
    """
    figure, axes = new_figure(_WIDTH, 1.9)
    axes.axvspan(-60.0, 0.0, color=_QUIET, alpha=0.6, linewidth=0)
    axes.text(-0.5, 0.85, "knocks", transform=axes.get_xaxis_transform(), ha="right", fontsize=9)
    if told:
        sign = "at least " if bound else ""
        axes.errorbar([margin], [0.0], xerr=doubt, color=_ANSWER, marker="o", capsize=5,
                      label=f"estimate, {sign}{margin:.0f} ± {doubt:.0f} deg")  # fmt: skip
    else:
        axes.text(0.5, 0.5, "?", transform=axes.transAxes, ha="center", va="center", fontsize=22)
    if guess is not None:
        axes.plot([guess], [0.0], color=_GUESS, marker="D", markersize=8, fillstyle="none",
                  linestyle="none", label="your guess")  # fmt: skip
    if told:
        axes.legend(fontsize=8, loc="upper right")
    ends = [v for v in (margin if told else 15.0, guess) if v is not None]
    axes.set_xlim(min(-10.0, *[v - 8.0 for v in ends]), max(30.0, *[v + 12.0 for v in ends]))
    axes.set_yticks([])
    axes.set_xlabel("How much earlier half of the charge may burn before knock [deg]")
    axes.set_title("Room left to knock, an estimate for the mean cycle", fontsize=11)
    return figure
