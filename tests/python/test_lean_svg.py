"""Lean pictures: every line, mark and letter where it was, in fewer letters of file."""

import io
import re
from functools import cache
from xml.etree import ElementTree

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.figure import Figure

from airchain.shown.lean_svg import glyphs_of, glyphs_once, lean, with_glyphs

SVG = "{http://www.w3.org/2000/svg}"
LINK = "{http://www.w3.org/1999/xlink}href"
TAKES = {"m": 2, "l": 2, "h": 1, "v": 1, "q": 4, "c": 6}


@cache
def plain() -> str:
    """A picture as matplotlib writes it, with whatever ours have."""
    drawn = Figure((4.0, 3.0))
    axes = drawn.add_subplot()
    x = np.linspace(0.0, 9.0, 40)
    axes.plot(x, np.sin(x), marker="o", label="full −½ <&>")
    axes.fill_between(x, x / 9.0, hatch="//", alpha=0.5)
    axes.set_ylabel("area [m$^2$]")
    axes.text(3.0, 0.5, "turned", rotation=30, fontweight="bold")
    axes.legend()
    target = io.StringIO()
    with mpl.rc_context({"svg.fonttype": "path"}):
        drawn.savefig(target, format="svg")
    return target.getvalue()


def corners(d: str) -> np.ndarray:
    """Ends of a path's pieces, absolute letters or relative ones."""
    ends: list[tuple[float, float]] = []
    here = start = (0.0, 0.0)
    for letter, rest in re.findall(r"([MLHVQCZmlhvqcz])([^MLHVQCZmlhvqcz]*)", d):
        small = letter.lower()
        if small == "z":
            here = start
            continue
        numbers = [float(text) for text in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", rest)]
        count = TAKES[small]
        assert len(numbers) % count == 0
        for i in range(0, len(numbers), count):
            x, y = here if letter == small else (0.0, 0.0)
            last = numbers[i : i + count]
            if small in "hv":
                here = (x + last[0], here[1]) if small == "h" else (here[0], y + last[0])
            else:
                here = x + last[-2], y + last[-1]
            if small == "m" and i == 0:
                start = here
            ends.append(here)
    return np.array(ends)


def paths(svg: str, glyphs: bool) -> list[str]:
    root = ElementTree.fromstring(svg)
    found = [one for one in root.iter(f"{SVG}path") if one.get("d")]
    return [one.get("d", "") for one in found if ("015625" in one.get("transform", "")) == glyphs]


@pytest.mark.parametrize(("glyphs", "off"), [(False, 0.026), (True, 0.01)])
def test_every_path_leads_through_the_same_places(glyphs: bool, off: float) -> None:
    before, after = paths(plain(), glyphs), paths(lean(plain(), "a"), glyphs)
    assert len(before) == len(after) > 5
    for d, leaner in zip(before, after, strict=True):
        assert corners(leaner) == pytest.approx(corners(d), abs=off)


def test_every_letter_and_mark_stands_where_it_stood() -> None:
    def places(svg: str) -> list[tuple[float, float]]:
        told = []
        for one in ElementTree.fromstring(svg).iter(f"{SVG}use"):
            moved = re.match(r"translate\((\S+) (\S+)\)", one.get("transform", ""))
            x, y = moved.groups() if moved else (one.get("x", 0.0), one.get("y", 0.0))
            told.append((float(x), float(y)))
        return told

    # A blank has no outline, and is left out.
    blank = {
        one.get("id") for one in ElementTree.fromstring(plain()).iter() if one.get("d") is None
    }
    uses = [one.get(LINK, "#")[1:] for one in ElementTree.fromstring(plain()).iter(f"{SVG}use")]
    before = [p for p, name in zip(places(plain()), uses, strict=True) if name not in blank]
    assert np.array(places(lean(plain(), "a"))) == pytest.approx(np.array(before), abs=0.5)


def test_takes_less_than_half_and_needs_no_style_sheet() -> None:
    leaner = lean(plain(), "a")
    assert len(leaner) < 0.5 * len(plain())
    assert "<style" not in leaner
    assert "<!--" not in leaner
    root = ElementTree.fromstring(leaner)
    ids = [one.get("id", "") for one in root.iter() if one.get("id")]
    assert len(ids) == len(set(ids))
    assert all(name.startswith(("a-", "g")) for name in ids)
    linked = re.findall(r'href="#([^"]+)"|url\(#([^)]+)\)', leaner)
    assert {one or other for one, other in linked} == set(ids)


def test_a_document_has_each_glyph_once_and_gives_a_picture_back_whole() -> None:
    pictures = [f"<figure>{lean(plain(), name)}</figure>" for name in "ab"]
    html = f"<html><body>{''.join(pictures)}</body></html>"
    shared = glyphs_once(html)
    names = re.findall(r'\bid="([^"]+)"', shared)
    assert len(names) == len(set(names))
    assert glyphs_of(shared) == glyphs_of(html)
    for picture in re.findall(r"<figure>(.*?)</figure>", shared, re.DOTALL):
        whole = with_glyphs(picture, glyphs_of(shared))
        known = set(re.findall(r'\bid="([^"]+)"', whole))
        assert set(re.findall(r'href="#([^"]+)"', whole)) <= known
    assert glyphs_once("<body></body>") == "<body></body>"
