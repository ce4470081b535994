"""Pictures of fewer elements for the PDF show what the others show."""

import re
from xml.etree import ElementTree

import matplotlib.pyplot as plt
import numpy as np
import pytest
from numpy.typing import NDArray

from airchain.report.blocks import as_svg
from airchain.report.pdf_pictures import with_fewer_elements

_HEAD = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">'


def fewer(inner: str) -> ElementTree.Element:
    """A picture's elements after they were joined."""
    return ElementTree.fromstring(with_fewer_elements(f"{_HEAD}{inner}</svg>"))


def paths(one: ElementTree.Element) -> list[str]:
    """Every path below an element."""
    return [path.get("d", "") for path in one.iter("{http://www.w3.org/2000/svg}path")]


def test_a_mark_stands_where_it_was_used() -> None:
    made = fewer(
        '<defs><path id="m" d="m-1 2h2z" style="stroke:#111111"/></defs>'
        '<use href="#m" x="3" y=".5" style="fill:#222222"/>'
        '<use href="#m" x="5.25" y="4" style="fill:#222222"/>'
    )
    assert paths(made)[1:] == ["m2.00 2.50h2zM4.25 6.00h2z"]
    assert made[1].get("fill") == "#222222"
    assert made[1].get("stroke") == "#111111"


def test_lines_of_one_look_are_one_path_and_later_moves_stay_moves() -> None:
    red, blue = 'style="fill:none;stroke:red"', 'style="fill:none;stroke:blue"'
    lines = "".join(f'<path d="m1 {y}h3" {look}/>' for y, look in ((1, red), (2, blue), (3, red)))
    assert paths(fewer(lines)) == ["m1 1h3M1 3h3", "m1 2h3"]
    bent = "".join(f'<path d="m{x} 1 2-3.5" {red}/>' for x in (0, 4))
    assert paths(fewer(bent)) == ["m0 1 2-3.5M4 1l2-3.5"]


@pytest.mark.parametrize("look", ["fill:red", "fill:none;stroke:red;stroke-opacity:0.5"])
def test_what_would_look_otherwise_stays_apart(look: str) -> None:
    drawn = "".join(f'<path d="m{x} 1 4 4 1-3z" style="{look}"/>' for x in (0, 2))
    assert len(paths(fewer(drawn))) == 2


def test_what_hides_another_is_still_drawn_after_it() -> None:
    line = 'style="fill:none;stroke:red"'
    made = fewer(
        f'<path d="m1 1h3" {line}/><path d="m0 0 5 5 1-3z" style="fill:white"/>'
        f'<path d="m1 2h3" {line}/>'
    )
    assert paths(made) == ["m1 1h3", "m0 0 5 5 1-3z", "m1 2h3"]


def test_a_frame_cuts_off_what_it_did() -> None:
    red, blue = "fill:#f00", "fill:#00f"
    made = fewer(
        f'<path d="m0 0 3 3 1 0z" clip-path="url(#c)" style="{red}"/>'
        f'<path d="m1 0 3 3 1 0z" clip-path="url(#c)" style="{blue}"/>'
        f'<path d="m2 0 3 3 1 0z" style="{red}"/>'
    )
    group, bare = made
    assert group.get("clip-path") == "url(#c)"
    assert len(paths(group)) == 2
    assert bare.get("clip-path") is None


def points(svg: str) -> NDArray[np.float64]:
    """Where each mark and each line of a picture begins, sorted."""
    marks = {
        found[1]: (float(found[2]), float(found[3]))
        for found in re.finditer(r'<path id="([^"]+)" d="m(-?[\d.]+) ?(-?[\d.]+)', svg)
        if not found[1].startswith("g-")
    }
    found = [
        (marks[use[1]][0] + float(use[2] or 0), marks[use[1]][1] + float(use[3] or 0))
        for use in re.finditer(r'<use href="#([^"]+)"(?: x="([^"]+)")?(?: y="([^"]+)")?', svg)
        if use[1] in marks
    ]
    without_marks = re.sub(r"<defs>.*?</defs>", "", svg, flags=re.DOTALL)
    for path in re.findall(r' d="([^"]+)"', without_marks):
        found += [
            (float(x), float(y))
            for x, y in re.findall(r"[mM](-?(?:\d+\.?\d*|\.\d+)) ?(-?(?:\d+\.?\d*|\.\d+))", path)
        ]
    return np.array(sorted(np.round(found, 1).tolist()))


def test_every_mark_and_line_of_a_plot_is_still_there() -> None:
    figure, axes = plt.subplots()
    axes.plot([1, 2, 3, 5], [3, 1, 4, 2], "o-", markeredgecolor="white")
    axes.bar([1, 2, 3], [0.5, 0.2, 0.4])
    axes.grid(alpha=0.3)
    plain = as_svg(figure, "all")
    plt.close(figure)
    made = with_fewer_elements(plain)
    np.testing.assert_allclose(points(made), points(plain), atol=0.11)
    assert plain.count("<use") > made.count("<use")
    assert plain.count("<path") + plain.count("<use") > 1.5 * made.count("<path")
