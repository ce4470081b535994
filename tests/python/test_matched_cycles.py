"""Cycles and knock margins at the states that a build's pulls were matched at."""

from __future__ import annotations

import numpy as np
import pytest

import airchain
from airchain import _core
from airchain.chain.build import Build
from airchain.chain.knock_margins import KnockMargins, knock_margins
from airchain.chain.matched_cycles import MatchedCycles, matched_points
from airchain.cylinder.spark_searches import SEARCH, margin_of
from airchain.cylinder.trace import CycleTrace
from cam_engine import built, coarsen

RPM = np.pi / 30.0


@pytest.fixture(scope="module")
def build(tmp_path_factory: pytest.TempPathFactory) -> Build:
    """The four-cylinder engine on a surface of few nodes."""
    with pytest.MonkeyPatch.context() as patch:
        coarsen(patch, tmp_path_factory.mktemp("kept"))
        return built()


def test_a_cycle_is_the_one_of_its_matched_state(build: Build) -> None:
    trace = build.cycle_at(5000.0)
    assert isinstance(trace, CycleTrace)
    points = matched_points(build.pull([5000.0]))
    direct = _core.run_cycles(build.cylinder.setup, points)
    for name in ("volumetric_efficiency", "imep", "peak_pressure", "knock_integral"):
        assert trace.point[name][0] == direct[name][0]
    assert np.isclose(trace["pressure"].max(), direct["peak_pressure"][0], rtol=1e-3)
    assert float(trace.point["plenum_pressure"][0]) == points["plenum_pressure"][0]
    # Work around the indicator diagram is the mean effective pressure.
    volume, pressure = trace["volume"], trace["pressure"]
    closed = np.append(volume, volume[0]), np.append(pressure, pressure[0])
    work = np.sum(0.5 * (closed[1][1:] + closed[1][:-1]) * np.diff(closed[0]))
    displacement = build.cylinder.setup.crank.displacement
    assert np.isclose(work / displacement, direct["imep"][0], rtol=5e-3)
    assert "5,000 rpm" in trace.text()


def test_margins_are_those_of_direct_searches(build: Build) -> None:
    heard: list[str] = []
    margins = knock_margins(build, [4500.0, 6500.0], heard.append)
    assert isinstance(margins, KnockMargins)
    assert heard == list(margins.levels)
    for name, columns in margins.levels.items():
        step = build.naturally_aspirated() if name == "naturally aspirated" else build
        points = matched_points(step.pull([4500.0, 6500.0]))
        direct = _core.run_spark_searches(build.cylinder.setup, points, SEARCH)
        assert np.allclose(margins[name]["rpm"], [4500.0, 6500.0])
        for column, values in direct.items():
            assert np.array_equal(columns[column], values, equal_nan=True), column
    first = margins["naturally aspirated"]
    found = first["limit_search"] == 0
    own = first["own_half_burned"] - first["limit_half_burned"]
    assert np.allclose(first["own_margin"][found], own[found], atol=1e-9)


def test_margins_tell_the_least_with_its_place_and_doubt(build: Build) -> None:
    margins = build.knock_margins([4500.0, 6500.0])
    text = margins.text()
    assert "Least knock margin est." in text
    assert "± 5 degrees of doubt" in text
    assert "No figure here is a permission" in text
    assert "safe" not in text
    worst = min(float(np.nanmin(c["own_margin"])) for c in margins.levels.values())
    assert f"{np.rad2deg(worst):+.0f} ± 5 deg" in margins.verdict
    table = margins._tables("trade")[0]
    assert len(table.rows) == 2 * len(margins.levels)
    panel = margins.plot().axes[0]
    names = [text.get_text() for text in panel.get_legend().get_texts()]
    assert names == list(margins.levels)
    drawn = next(line for line in panel.lines if line.get_label() == names[0])
    first = margins[names[0]]
    own = margin_of(first, first["own_half_burned"])
    assert np.allclose(np.deg2rad(drawn.get_ydata()), own, equal_nan=True)


def test_without_speeds_margins_run_over_the_pull(build: Build) -> None:
    margins = build.knock_margins()
    rpm = next(iter(margins.levels.values()))["rpm"]
    assert np.allclose(rpm, [3000.0, 4000.0, 5000.0, 6000.0, 7000.0])


@pytest.mark.parametrize("rpm", [-3000.0, "fast", [], float("nan")])
def test_speeds_that_are_none_are_refused_before_any_work(
    build: Build, rpm: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    def forbidden(*_: object, **__: object) -> None:
        raise AssertionError("cycles were run")

    for name in ("run_cycles", "run_spark_searches", "trace_cycle"):
        monkeypatch.setattr(_core, name, forbidden)
    with pytest.raises(airchain.InputError):
        build.knock_margins(rpm if isinstance(rpm, list) else [rpm])
    with pytest.raises(airchain.InputError):
        build.cycle_at(rpm)


def test_points_without_an_answer_are_left_out_and_said(build: Build) -> None:
    pull = build.pull([5000.0, 6000.0])
    lost = np.array([False, True])

    class Half:
        """A pull whose first point was not solved."""

        def __init__(self) -> None:
            self.build, self.summary, self.matched = pull.build, "1 of 2 matched", lost

        def __getitem__(self, name: str) -> object:
            return pull[name]

    cycles = MatchedCycles.of(Half())  # type: ignore[arg-type]
    assert np.allclose(cycles.rpm, [6000.0])
    assert "1 of 1 cycles settled" in cycles.verdict
    none = Half()
    none.matched = np.array([False, False])
    with pytest.raises(airchain.InputError, match=r"must have a solved point; look at its notes"):
        matched_points(none)  # type: ignore[arg-type]


def test_cycles_where_the_surface_was_left_are_told_by_their_pull(build: Build) -> None:
    pull = build.pull([2500.0, 5000.0])
    assert list(pull.extrapolated) == [True, False]
    cycles = pull.cycles()
    # The cycle is run at the state that the held value led to.
    assert np.isfinite(cycles["imep"]).all()
    assert any(note.startswith("1 of 2 states were matched where the") for note in cycles.notes)
    margins = build.knock_margins([2500.0, 5000.0])
    assert list(margins["naturally aspirated"]["extrapolated"]) == [True, False]
    assert any("beyond its map or surface" in note for note in margins.notes)
    assert not any("beyond its map" in n for n in build.knock_margins([5000.0]).notes)
