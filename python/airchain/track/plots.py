"""Pictures of the track page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from ..chain.level_looks import looks_by_name
from ..shown.panels import head_and_foot, panels_for
from ..shown.plot_style import look, plain, stroke
from ..units.convert import display, unit_label
from .managing import Management
from .traction import taken

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from .page import TrackPage

Array = NDArray[np.float64]


def draw_wheel_torque(page: TrackPage, axes: Axes | None, system: str,
                      title: str | None) -> Figure:  # fmt: skip
    """Draw torque at the wheels over road speed, see `TrackPage.plot`."""
    figure, (panel,) = panels_for(axes, (7.2, 3.6))
    fastest = 0.0
    for index, (name, one) in zip(looks_by_name(page.levels, page.build), page.levels.items(),
                                  strict=True):  # fmt: skip
        for number, gear in enumerate(one.traction.gears):
            fastest = max(fastest, float(gear.road_speed[-1]))
            panel.plot(_shown("road_speed", gear.road_speed, system),
                       _shown("torque", gear.wheel_torque, system), **stroke(index),
                       label=plain(name) if not number else "_")  # fmt: skip
    speeds = np.linspace(0.0, fastest or 1.0, 80)
    motion = page.strongest.low.motion
    low, high = (_shown("torque", taken(motion, mu, speeds), system)
                 for mu in (page.surface.low, page.surface.high))  # fmt: skip
    at = _shown("road_speed", speeds, system)
    panel.fill_between(at, low, high, color="black", alpha=0.15, linewidth=0.0,
                       label="tyres take")  # fmt: skip
    for edge in (low, high):
        panel.plot(at, edge, color="black", linewidth=0.8)
    panel.set_xlabel(f"Road speed [{unit_label('road_speed', system)}]")
    panel.set_ylabel(f"Wheel torque [{unit_label('torque', system)}]")
    panel.set_ylim(bottom=0.0)
    _finish(figure, [panel], axes is None, title, f"{page.build.name}: wheel torque by gear",
            f"shaded: what the driven tyres take on {page.surface.name}, from the lowest to the "
            "highest friction")  # fmt: skip
    return figure


def draw_runs(page: TrackPage, system: str, title: str | None) -> Figure:
    """Draw road and tyre speed over time, see `TrackPage.plot_runs`."""
    figure, panels = panels_for(None, (7.2, 6.0), 2)
    words = ("at full torque", "with torque held")
    for index, (name, one) in zip(looks_by_name(page.levels, page.build), page.levels.items(),
                                  strict=True):  # fmt: skip
        for panel, run in zip(panels, (one.low, one.managed), strict=True):
            if not run["time"].size:
                continue
            road = _shown("road_speed", run["road_speed"], system)
            panel.plot(run["time"], road, **stroke(index), label=plain(name))
            if run.spinning:
                tyre = _shown("road_speed", run["tyre_speed"], system)
                panel.plot(run["time"], np.where(run["spinning"] > 0.0, tyre, np.nan),
                           **look(index), linewidth=0.8)  # fmt: skip
    for panel, text in zip(panels, words, strict=True):
        panel.set_ylabel(f"Road speed [{unit_label('road_speed', system)}],\n{text}")
        panel.set_ylim(bottom=0.0)
    panels[-1].set_xlabel("Time [s]")
    friction = f"{page.surface.low:.2f}"
    _finish(
        figure,
        panels,
        True,
        title,
        f"{page.build.name}: runs on {page.surface.name}",
        f"friction {friction}; thin lines: surface of the driven tyres while they spin",
    )
    return figure


def draw_management(page: TrackPage, system: str, title: str | None) -> Figure:
    """Draw the share of torque, later spark and exhaust temperature over time."""
    figure, panels = panels_for(None, (7.2, 6.6), 3)
    ends = []
    for index, (name, one) in zip(looks_by_name(page.levels, page.build), page.levels.items(),
                                  strict=True):  # fmt: skip
        told = one.management
        ends.append(told.lasts)
        for panel, values in zip(panels, _of_management(told, system), strict=True):
            panel.plot(told["time"], values, **stroke(index), label=plain(name))
    limit = _shown("temperature", np.array([page.vehicle.exhaust_temperature_limit]), system)
    panels[2].axhline(float(limit[0]), color="black", linewidth=0.8, linestyle=":")
    panels[0].set_ylabel("Torque let through [%]")
    panels[0].set_ylim(0.0, 105.0)
    panels[1].set_ylabel("Spark later by [deg]")
    panels[1].set_ylim(bottom=0.0)
    panels[2].set_ylabel(f"Exhaust\ntemperature [{unit_label('temperature', system)}]")
    panels[2].set_xlabel("Time [s]")
    panels[2].set_xlim(0.0, 1.05 * max([*ends, 0.5]))
    _finish(
        figure,
        panels,
        True,
        title,
        f"{page.build.name}: torque held to what the tyres take",
        "gaps: the throttle alone takes torque back, or nothing is known; dotted: limit of the "
        "exhaust temperature",
    )
    return figure


def _of_management(told: Management, system: str) -> tuple[Array, Array, Array]:
    hot = _shown("temperature", told["exhaust_temperature"], system)
    return 100.0 * told["share"], np.degrees(told["later"]), hot


def _finish(figure: Figure, panels: list[Axes], own: bool, title: str | None, words: str,
            foot: str) -> None:  # fmt: skip
    for panel in panels:
        panel.grid(alpha=0.3)
        panel.set_xlim(left=0.0)
    panels[0].legend(fontsize=8, ncols=5, loc="lower left", bbox_to_anchor=(0.0, 1.0))
    head_and_foot(figure, panels, own, title, foot, words)


def _shown(kind: str, values: Array, system: str) -> Array:
    shown: Array = np.asarray(display(values, kind, system)[0])
    return shown
