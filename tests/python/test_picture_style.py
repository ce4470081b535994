"""One style for all pictures: a level keeps its look, and text can be read."""

from itertools import combinations
from typing import Any

import pytest
from matplotlib.text import Text

import airchain
import scenario
from airchain.chain.level_looks import looks_by_name, looks_of
from airchain.report.legible import SMALLEST, printed_width, raise_text
from airchain.shown.plot_style import (
    ASPIRATED,
    COLOURS,
    MARKERS,
    STYLES,
    new_figure,
    shared_out,
)

COLUMNS = ("power", "torque")


def drawn(figure: Any, name: str) -> tuple[Any, ...]:
    """Colour, dash and marker of the first line of a name."""
    lines = [line for axes in figure.axes for line in axes.lines]
    line = next(one for one in lines if one.get_label().split(",")[0] == name)
    return line.get_color(), line.get_linestyle(), line.get_marker()


def test_a_legend_that_grows_too_wide_gets_lines_of_its_own() -> None:
    figure, axes = new_figure(7.4, 4.0)
    longest = "extrapolated, volumetric efficiency held at the edge of what is known"
    for name in ("measured", "computed, beyond anything run", longest):
        axes.plot([0.0, 1.0], label=f"{name}, of the cells")
    figure.legend(fontsize=8, ncols=2, loc="outside upper center")
    raise_text(figure, printed_width(False, "pair"))
    (legend,) = figure.legends
    box = legend.get_window_extent()
    assert box.width <= 7.4 * figure.dpi
    assert box.height / figure.dpi > 0.6
    assert float(figure.get_size_inches()[1]) > 4.2


def test_a_level_keeps_its_look_whatever_stands_beside_it() -> None:
    steps = scenario.steps()
    alone = [steps[name].pull.plot(label=name) for name in ("tame", "middle", "full")]
    pictures = [steps.plot(), steps.plot_map(), steps.build.knock_margins([4000, 7000]).plot()]
    for name, own in zip(("tame", "middle", "full"), alone, strict=True):
        for picture in pictures:
            assert drawn(picture, name) == drawn(own, name)


def test_the_highest_level_is_the_strongest_line() -> None:
    lines = {line.get_label(): line for line in scenario.steps().plot().axes[0].lines}
    full = lines["full"]
    assert full.get_linestyle() == "-"
    for name in ("naturally aspirated", "tame", "middle"):
        assert full.get_linewidth() > 1.3 * lines[name].get_linewidth()
        assert full.get_zorder() > lines[name].get_zorder()


def test_looks_go_by_drive_ratio_and_are_all_different() -> None:
    build = scenario.steps().build
    assert looks_by_name(["full", "middle", "tame"], build) == [0, 1, 2]
    assert looks_by_name(["tame", "next ratio up", "full"], build) == [2, 1, 0]
    assert looks_of([build.naturally_aspirated(), build.level("middle")]) == [ASPIRATED, 1]
    assert looks_of([build.level("tame")] * 3) == [2, 0, 1]
    assert shared_out([None, None, 0, 0]) == [1, 2, 0, 3]
    assert len(set(shared_out([None] * 9))) == 9


def luminance(colour: str) -> float:
    """Relative luminance of sRGB [WCAG 2.2, section 'relative luminance']."""
    parts = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_series_are_told_apart_without_colour() -> None:
    assert len(set(map(str, STYLES))) == len(set(MARKERS)) == len(COLOURS)
    for a, b in combinations(range(len(COLOURS)), 2):
        assert STYLES[a] != STYLES[b]
        assert MARKERS[a] != MARKERS[b]
    # A line on white paper: WCAG 2.2, 1.4.11 asks 3 to 1 of graphics; dotted and dashed ones of
    # less are marked as well.
    levels = [1.05 / (luminance(COLOURS[i]) + 0.05) for i in (0, 1, 2)]
    assert min(levels) > 3.0


def test_a_legend_shows_the_markers() -> None:
    handles = scenario.steps().plot().axes[0].get_legend().legend_handles
    assert [h.get_marker() for h in handles] == ["D", "^", "s", "o"]


def texts(figure: Any) -> list[Text]:
    """What is written in a picture."""
    figure.canvas.draw()
    return [t for t in figure.findobj(Text) if t.get_text().strip() and t.get_visible()]


def test_text_is_at_least_seven_points() -> None:
    steps = scenario.steps()
    cycle = steps["full"].pull.build.cycle_at(7000)
    for figure in (
        steps.plot(),
        steps.plot_map(),
        steps["full"].pull.stations(7000).plot(),
        cycle.plot(),
        cycle.plot_ports(),
        airchain.fuel_demand(steps).plot(),
    ):
        assert min(t.get_fontsize() for t in texts(figure)) >= SMALLEST
        assert figure.get_suptitle()


@pytest.mark.parametrize(("tall", "beside"), [(False, ""), (True, ""), (True, "pair")])
def test_text_is_as_large_on_paper(tall: bool, beside: str) -> None:
    figure = scenario.steps().plot(columns=COLUMNS, title="")
    printed = printed_width(tall, beside)
    raise_text(figure, printed)
    scale = printed / float(figure.get_size_inches()[0])
    assert min(t.get_fontsize() for t in texts(figure)) * scale >= SMALLEST - 1e-9
    foot = figure._supxlabel
    box = foot.get_window_extent()
    assert box.x0 >= 0.0
    assert box.x1 <= figure.bbox.width


def test_a_title_and_a_legend_over_the_panels_do_not_cover_each_other() -> None:
    figure = airchain.CrankEngine.of(scenario.full()).plot(title="Lift")
    assert figure.get_suptitle() == "Lift"
    engine = airchain.CrankEngine.of(scenario.full())
    curve = engine.curve([3000], plenum_pressure="100 kPa", exhaust_pressure="105 kPa")
    own = curve.plot(title="One speed")
    assert own.legends[0].get_title().get_text() == "One speed"
    assert not own.get_suptitle()
