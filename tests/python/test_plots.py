"""Pictures say what they show: labels, units, series, hollow markers."""

from typing import Any

import numpy as np
import pytest
from IPython.core.formatters import DisplayFormatter

import airchain
import scenario
from airchain.chain.plot_map import map_grid


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


@pytest.fixture(scope="module")
def steps() -> airchain.Ladder:
    return scenario.steps()


def series(axes: Any) -> list[str]:
    """Names of the series that a legend shows."""
    return [text.get_text() for text in axes.get_legend().get_texts()]


def test_pulls_are_overlaid_by_name(steps: airchain.Ladder) -> None:
    figure = airchain.plot_pulls(steps)
    power, torque, boost = figure.axes
    assert series(power) == ["naturally aspirated", "tame", "middle", "full"]
    labels = [axes.get_ylabel() for axes in (power, torque, boost)]
    assert labels == ["Power [hp]", "Torque [lb ft]", "Boost [psi]"]
    assert boost.get_xlabel() == "Engine speed [rpm]"
    drawn = next(line for line in power.lines if line.get_label() == "full")
    assert drawn.get_ydata() == pytest.approx(steps["full"].pull.get("power", "hp"), nan_ok=True)


def test_series_differ_by_line_style_as_well_as_colour(steps: airchain.Ladder) -> None:
    axes = airchain.plot_pulls(steps).axes[0]
    lines = [line for line in axes.lines if not line.get_label().startswith("_")]
    assert len({line.get_linestyle() for line in lines}) == len(lines)
    assert len({line.get_color() for line in lines}) == len(lines)


def test_extrapolated_points_are_hollow(steps: airchain.Ladder) -> None:
    pull = steps["tame"].pull
    figure = airchain.plot_pulls({"tame": pull}, ["power"])
    hollow = [line for line in figure.axes[0].lines if line.get_markerfacecolor() == "white"]
    assert sum(len(line.get_xdata()) for line in hollow) == np.count_nonzero(pull.extrapolated)


def test_map_shows_islands_ends_and_operating_lines(steps: airchain.Ladder) -> None:
    figure = airchain.plot_map(steps, "si")
    axes = figure.axes[0]
    assert axes.get_xlabel() == "Corrected flow [kg/s]"
    assert series(axes)[-3:] == ["tame", "middle", "full"]
    assert "surge line, predicted (an estimate)" in series(axes)
    drawn = next(line for line in axes.lines if line.get_label() == "full")
    assert drawn.get_xdata() == pytest.approx(steps["full"].pull["corrected_flow"], nan_ok=True)


def test_map_grid_passes_through_every_speed_line(full: airchain.Build) -> None:
    compressor = full.chain.compressor
    speed, flow, ratio, efficiency = map_grid(compressor)
    for line in compressor.map.data.lines:
        row = int(np.argmin(np.abs(speed - line.speed)))
        assert flow[row, 0] == pytest.approx(line.flow[0], rel=1e-6)
        assert ratio[row, 0] == pytest.approx(line.pressure_ratio[0], rel=1e-6)
        assert efficiency[row, -1] == pytest.approx(line.efficiency[-1], rel=1e-6)


def test_stations_are_named_along_the_axis(steps: airchain.Ladder) -> None:
    tables = {s.name: s.pull.stations(7000) for s in steps.steps}
    figure = airchain.plot_stations(tables)
    ticks = [t.get_text().replace("\n", " ") for t in figure.axes[1].get_xticklabels()]
    assert ticks[:3] == ["ambient", "scoop", "compressor inlet"]
    assert figure.axes[0].get_ylabel() == "Total pressure [psia]"


def test_sweep_is_a_labelled_map(full: airchain.Build) -> None:
    axes = {"drive.drive_ratio": [0.8, 1.0, 1.2], "rpm": [5000, 6000, 7000]}
    figure = airchain.plot_sweep(airchain.sweep(full, axes), "power")
    assert figure.axes[0].get_xlabel() == "Engine speed [rpm]"
    assert figure.axes[0].get_ylabel() == "Drive ratio"
    assert figure.axes[1].get_ylabel() == "Power [hp]"


def test_names_the_bad_input(full: airchain.Build) -> None:
    grid = airchain.sweep(full, {"rpm": [5000, 6000]})
    with pytest.raises(airchain.InputError, match="must be two"):
        airchain.plot_sweep(grid, "power")
    with pytest.raises(airchain.InputError, match='name = "powr"; must be a column'):
        airchain.plot_sweep(grid, "powr")
    with pytest.raises(airchain.InputError, match="must hold one with a compressor"):
        airchain.plot_map(full.naturally_aspirated().pull([6000]))
    with pytest.raises(airchain.InputError, match="must hold at least one pull"):
        airchain.plot_pulls({})


def test_a_notebook_shows_the_picture(full: airchain.Build) -> None:
    data, _ = DisplayFormatter().format(airchain.plot_pulls(full.pull([5000, 6000])))
    assert data["image/png"][:8] == b"\x89PNG\r\n\x1a\n"


def test_stations_refuse_what_is_no_station_table(steps: airchain.Ladder) -> None:
    with pytest.raises(airchain.InputError, match="tables = Ladder; must be a StationTable"):
        airchain.plot_stations(steps)
