"""Pictures say what they show: labels, units, series, hollow markers."""

import pickle
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from IPython.core.formatters import DisplayFormatter
from matplotlib.figure import Figure

import airchain
import scenario
from airchain.chain import Ladder
from airchain.chain.plot_map import map_grid
from airchain.cylinder.spark_searches import bounds_of, margin_of
from airchain.sweeps.writing import write_dataset


@pytest.fixture(scope="module")
def full() -> airchain.Build:
    return scenario.full()


@pytest.fixture(scope="module")
def steps() -> Ladder:
    return scenario.steps()


def series(axes: Any) -> list[str]:
    """Names of the series that a legend shows."""
    return [text.get_text() for text in axes.get_legend().get_texts()]


def test_pulls_are_overlaid_by_name(steps: Ladder) -> None:
    figure = steps.plot()
    power, torque, boost = figure.axes
    assert series(power) == ["naturally aspirated", "tame", "middle", "full"]
    labels = [axes.get_ylabel() for axes in (power, torque, boost)]
    assert labels == ["Power [hp]", "Torque [lb ft]", "Boost [psi]"]
    assert boost.get_xlabel() == "Engine speed [rpm]"
    drawn = next(line for line in power.lines if line.get_label() == "full")
    assert drawn.get_ydata() == pytest.approx(steps["full"].pull.get("power", "hp"), nan_ok=True)


def test_series_differ_by_line_style_as_well_as_colour(steps: Ladder) -> None:
    axes = steps.plot().axes[0]
    lines = [line for line in axes.lines if not line.get_label().startswith("_")]
    assert len({line.get_linestyle() for line in lines}) == len(lines)
    assert len({line.get_color() for line in lines}) == len(lines)


def test_extrapolated_points_are_hollow(steps: Ladder) -> None:
    pull = steps["tame"].pull
    figure = pull.plot(columns=["power"])
    hollow = [line for line in figure.axes[0].lines if line.get_markerfacecolor() == "white"]
    assert sum(len(line.get_xdata()) for line in hollow) == np.count_nonzero(pull.extrapolated)


def test_map_shows_islands_ends_and_operating_lines(steps: Ladder) -> None:
    figure = steps.plot_map(system="si")
    axes = figure.axes[0]
    assert axes.get_xlabel() == "Corrected flow [kg/s]"
    assert {text.get_text() for text in axes.texts} >= {"tame", "middle", "full"}
    assert series(axes)[:2] == ["surge line, predicted (an estimate)", "choke"]
    (limit,) = [line for line in axes.lines if str(line.get_label()).startswith("speed limit")]
    pull = steps["tame"].pull  # the first one's air
    last = int(np.flatnonzero(pull.matched)[-1])
    rotor = pull.get("rotor_speed", "rpm")[last] * (1.0 + pull["speed_margin"][last])
    assert limit.get_label() == f"speed limit, {rotor:,.0f} rpm"
    assert limit.get_ydata().max() > np.nanmax(steps["full"].pull["pressure_ratio"])
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


def test_stations_are_named_along_the_axis(steps: Ladder) -> None:
    first, *rest = (s.pull.stations(7000) for s in steps.steps)
    figure = first.plot(beside=rest)
    ticks = [t.get_text().replace("\n", " ") for t in figure.axes[1].get_xticklabels()]
    assert ticks[:3] == ["ambient", "scoop", "compressor inlet"]
    assert figure.axes[0].get_ylabel() == "Total pressure [psia]"


def test_sweep_is_a_labelled_map(full: airchain.Build) -> None:
    axes = {"drive.drive_ratio": [0.8, 1.0, 1.2], "rpm": [5000, 6000, 7000]}
    figure = airchain.sweep(full, axes).airchain.plot("power")
    assert figure.axes[0].get_xlabel() == "Engine speed [rpm]"
    assert figure.axes[0].get_ylabel() == "Drive ratio"
    assert figure.axes[1].get_ylabel() == "Power [hp]"


def test_names_the_bad_input(full: airchain.Build) -> None:
    grid = airchain.sweep(full, {"rpm": [5000, 6000]})
    with pytest.raises(airchain.InputError, match="must be two"):
        grid.airchain.plot("power")
    with pytest.raises(airchain.InputError, match='name = "powr"; must be a column'):
        grid.airchain.plot("powr")
    with pytest.raises(airchain.InputError, match="must hold one with a compressor"):
        full.naturally_aspirated().pull([6000]).plot_map()
    with pytest.raises(airchain.InputError, match="axes = 1; must be 3 panels"):
        full.pull([6000]).plot(Figure().subplots())


def test_a_notebook_shows_the_picture(full: airchain.Build) -> None:
    data, _ = DisplayFormatter().format(full.pull([5000, 6000]).plot())
    assert data["image/png"][:8] == b"\x89PNG\r\n\x1a\n"


def test_a_picture_is_drawn_where_it_is_asked_for(full: airchain.Build) -> None:
    pull, other = full.pull([5000, 6000]), full.level("tame").pull([5000, 6000])
    figure = Figure()
    panels = figure.subplots(2, 1)
    drawn = pull.plot(panels, columns=["power", "boost"], title="Two", beside=[other, pull])
    assert drawn is figure
    assert panels[0].get_title() == "Two"
    title = full.title
    assert series(panels[0]) == [title, other.build.title, f"{title} (2)"]
    named = pull.plot(beside={"as it was": other}, label="as it is")
    assert series(named.axes[0]) == ["as it is", "as it was"]
    on_map = Figure().subplots()
    assert pull.plot_map(on_map) is on_map.figure


def test_a_pull_against_time_shows_what_moves() -> None:
    timed = scenario.iced().timed_pull([4000, 5000, 6000], rpm_per_second=300)
    figure = timed.plot()
    assert [axes.get_ylabel().split(" [")[0] for axes in figure.axes][-1] == "Power"
    assert len(figure.axes) == 4
    assert series(figure.axes[0])[0].endswith("300 rpm/s")


def test_knock_margins_are_drawn_level_by_level() -> None:
    margins = scenario.full().knock_margins([4000, 7000])
    axes = margins.plot().axes[0]
    assert series(axes) == list(margins.levels)
    drawn = next(line for line in axes.lines if line.get_label() == "full")
    columns = margins["full"]
    own = np.degrees(margin_of(columns, columns["own_half_burned"]))
    assert np.isfinite(own).all()
    assert drawn.get_ydata() == pytest.approx(own)
    # Where nothing knocked an arrow says that the margin is at least that, as the table does.
    arrows = [line for line in axes.lines if line.get_marker() == 6]
    assert len(arrows) == len(margins.levels)
    for line, columns in zip(arrows, margins.levels.values(), strict=True):
        assert line.get_xdata().size == bounds_of(columns).sum()


def test_a_sweep_is_shown_in_trade_units_and_its_flags_in_words(full: airchain.Build) -> None:
    grid = airchain.sweep(full, {"drive.drive_ratio": [0.8, 1.7], "rpm": [5000, 7000]})
    said = grid.airchain.table()
    lines = repr(grid.airchain).split("\n")
    assert lines[0] == said.verdict
    assert "hp" in lines[2]
    point = grid.isel({"drive.drive_ratio": 0, "rpm": 1})
    assert f"{float(point['power']) / 745.69987:,.1f}" in lines[4]
    words = " ".join(lines)
    for name, mask in zip(
        grid["flags"].attrs["flag_meanings"].split(), grid["flags"].attrs["flag_masks"], strict=True
    ):
        stands = bool((grid["flags"].to_numpy() & mask).any())
        assert (name.replace("_", " ") in words) or not stands, name
    assert any((grid["flags"].to_numpy() != 0).ravel()), "else nothing was to be told"
    assert "3 more points not shown" in repr(grid.airchain.table(most=1))
    assert "<table" in grid.airchain._repr_html_()
    with pytest.raises(airchain.InputError, match="most = 0; must be 1 or more"):
        grid.airchain.table(most=0)


#: What a sweep shows of itself: parts of it by its table, what is computed as any dataset is.
PARTS = {
    "the whole": lambda grid: grid,
    "a selection": lambda grid: grid.sel(rpm=7000),
    "one point": lambda grid: grid.isel({"drive.drive_ratio": 0, "rpm": 0}),
    "pickled": lambda grid: pickle.loads(pickle.dumps(grid)),
    "copied": lambda grid: grid.copy(deep=True),
    "turned": lambda grid: grid.transpose(),
    "without a column": lambda grid: grid.drop_vars("power"),
}
COMPUTED = {
    "a mean": lambda grid: grid.mean("rpm"),
    "the highest": lambda grid: grid.max("rpm"),
    "twice": lambda grid: grid * 2,
    "differences": lambda grid: grid.diff("rpm"),
    "two columns": lambda grid: grid[["power", "torque"]],
    "stacked": lambda grid: grid.stack(point=("rpm", "drive.drive_ratio")),
    "nothing": lambda grid: grid.isel(rpm=[]),
}


def test_a_sweep_shows_itself_in_words_and_stays_a_dataset(
    full: airchain.Build, tmp_path: Path
) -> None:
    import xarray

    axes = {"drive.drive_ratio": [0.8, 1.7], "rpm": [5000, 7000]}
    grid = airchain.sweep(full, axes)
    assert isinstance(grid, xarray.Dataset)
    for name, take in PARTS.items():
        part = take(grid)
        assert repr(part).startswith(f"{part.airchain.table(10)!r}\n"), name
        assert f"<xarray.{type(part).__name__}>" in repr(part), name
        assert part.airchain.table(10)._repr_html_() in part._repr_html_(), name
        assert "<details><summary>All of it, in SI." in part._repr_html_(), name
    for name, take in COMPUTED.items():
        assert repr(take(grid)).startswith("<xarray."), name
        assert "All of it, in SI." not in take(grid)._repr_html_(), name
    plain = xarray.Dataset(grid.data_vars, grid.coords, grid.attrs)
    assert grid.identical(plain)
    stored = airchain.sweep(full, axes, store=tmp_path / "grid.zarr")
    assert repr(stored).startswith(f"{stored.airchain.table(10)!r}\n")
    assert stored.identical(plain)
    write_dataset(grid, tmp_path / "grid.nc")
    with xarray.open_dataset(tmp_path / "grid.nc") as read:
        assert read.identical(plain)


def test_a_very_large_sweep_is_not_counted_to_be_shown(
    full: airchain.Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    grid = airchain.sweep(full, {"rpm": [5000, 6000, 7000]})
    monkeypatch.setattr("airchain.sweeps.swept._MOST_COUNTED", 2)
    assert repr(grid).startswith("<xarray.")
    assert repr(grid.isel(rpm=[0, 1])).startswith("Ridge Road, full: Both points solved.")


def test_points_that_no_tile_has_reached_are_not_told_as_solved(full: airchain.Build) -> None:
    grid = airchain.sweep(full, {"rpm": [5000, 6000]})
    grid["status"][0] = -1
    first, second = grid.airchain.table().tables()[0].rows
    assert (first[-2], second[-2]) == ("not solved yet", "solved")
