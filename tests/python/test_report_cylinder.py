"""What a report tells of the cylinder: knock, the cycle, and what is assumed of it."""

from functools import cache

import numpy as np
import pytest

import airchain
import blown_cam_engine as blown
from airchain.chain.worst_cylinders import one_for_all
from airchain.report import closing_parts, cylinder_parts
from airchain.report.curves import plot_pressures
from airchain.report.material import Material
from airchain.report.pdf import _apart


@cache
def material() -> Material:
    """A build with cams, planned."""
    build = blown.built()
    return Material(build, airchain.ladder(build), plan=airchain.plan_levels(build))


@cache
def typed() -> Material:
    """A build with typed volumetric efficiency."""
    return Material(blown.typed(), airchain.ladder(blown.typed()))


def test_knock_page_has_levels_weathers_and_their_doubt() -> None:
    section = cylinder_parts.knock(material())
    assert section is not None
    text = "".join(section.blocks)
    told = "± 5 degrees of doubt at best"
    for words in ("tame", "middle", "full", "coldest", "hottest", "± up to", told):
        assert words in text
    assert "the engine&#x27;s own knock, heard or measured, decides" in text
    assert "its band reaches into knock" in text
    assert "safe" not in text.replace("safety", "")


def test_knock_page_stands_without_a_plan() -> None:
    build = blown.built()
    section = cylinder_parts.knock(Material(build, airchain.ladder(build)))
    assert section is not None
    text = "".join(section.blocks)
    assert "Least knock margin est." in text
    assert "naturally aspirated" in text


def test_the_lone_cycles_integral_stays_out_where_margins_are_the_worst_cylinders() -> None:
    eight = blown.eight().naturally_aspirated()
    told = {}
    for build in (eight, one_for_all(eight)):
        made = Material(build, airchain.ladder(build, [7000.0]))
        section = cylinder_parts.cycle(made)
        assert section is not None
        told[build] = "".join(section.blocks)
    assert "knock integral" not in told[eight].lower()
    assert told.popitem()[1].count("A knock integral of 1 is the onset") == 1
    assert "residual" in told[eight]


def test_no_integral_of_the_one_stands_beside_the_margin_of_another() -> None:
    eight = blown.eight()
    alone = one_for_all(eight)
    for build, one in ((eight, False), (alone, True)):
        (table,) = build.knock_margins([3500.0]).tables()
        assert ("knock integral" in table.headings) == one
        assert ("worst cylinder" in table.headings) != one
        assert {len(row) for row in table.rows} == {len(table.headings)} == {len(table.units)}


def test_cycle_page_shows_every_level_at_the_reference_speed() -> None:
    section = cylinder_parts.cycle(material())
    assert section is not None
    text = "".join(section.blocks)
    assert text.count("<figure") == 3
    assert "One cylinder at 7,000 rpm, mean cycle" in text
    traces = cylinder_parts._traces(material())
    assert list(traces) == [step.name for step in material().steps.steps]
    # The page's cycle is that of the pull's own cycles.
    cycles = material().steps["full"].pull.build.pull([7000.0]).cycles()
    for name in ("imep", "peak_pressure"):
        assert float(traces["full"].point[name][0]) == pytest.approx(
            float(cycles[name][0]), rel=2e-3
        )


def test_pressures_are_marked_where_the_cycle_has_them() -> None:
    traces = cylinder_parts._traces(material())
    figure = plot_pressures({"full": traces["full"]}, [0])
    lines = figure.axes[0].lines
    curve = lines[0]
    psi = traces["full"].point["peak_pressure"][0] / 6894.757293168
    assert max(curve.get_ydata()) == pytest.approx(psi, rel=2e-3)
    marks = {line.get_marker(): float(np.ravel(line.get_xdata())[0]) for line in lines[1:4]}
    assert marks["|"] < marks["o"] < marks["^"]


def test_typed_breathing_has_neither_page() -> None:
    assert cylinder_parts.knock(typed()) is None
    assert cylinder_parts.cycle(typed()) is None


def test_assumptions_and_sources_are_those_of_the_cylinder() -> None:
    cams, table = (
        "".join((*closing_parts.assumptions(made).blocks, *closing_parts.sources(made).blocks))
        for made in (material(), typed())
    )
    assert "mean-value model: volumetric efficiency from the typed table" in table
    assert "crank-resolved" not in table
    assert "crank-resolved cycles of one cylinder" in cams
    assert "typed table" not in cams
    assert "Douaud and Eyzat" in cams


def test_pictures_are_set_apart_with_everything_in_them() -> None:
    html = '<p>a</p><figure class="tall"><svg id="x"><path/></svg><figcaption>b</figcaption>'
    apart = _apart(html)
    assert "<svg" not in apart
    assert apart.startswith('<p>a</p><figure class="tall"><img alt="" src="data:image/svg+xml;')
    assert apart.endswith("<figcaption>b</figcaption>")
    report = airchain.make_report(blown.typed(), complete=False)
    assert _apart(report.workshop.html).count("<img") == report.workshop.html.count("<figure")
