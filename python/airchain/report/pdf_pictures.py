"""Pictures of fewer elements for the PDF: what sets it pays by the element, not by the line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import groupby
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

__all__ = ["with_fewer_elements"]

_SVG = "http://www.w3.org/2000/svg"
_PATH, _USE, _TEXT, _DEFS, _GROUP = (
    f"{{{_SVG}}}{tag}" for tag in ("path", "use", "text", "defs", "g")
)
_NUMBER = r"(-?(?:\d+\.?\d*|\.\d+))"
#: The place that a path begins at, and the moves that follow: of `airchain.shown.lean_svg`.
_BEGIN = re.compile(rf"m{_NUMBER} ?{_NUMBER}(.*)", re.DOTALL)
_UPRIGHT_LINE = re.compile(r"[vh]-?[\d.]+")
_BOX = re.compile(r"h-?[\d.]+v-?[\d.]+h-?[\d.]+z")
_CLIP, _MARK = "clip-path", "data-mark"

#: What an element looks like, without where it is.
_Look = tuple[tuple[str, str], ...]


def with_fewer_elements(svg: str) -> str:
    """Return a picture that looks the same and is made of fewer elements.

    Marks of one look become one path, lines and boxes too, and what one frame cuts off stands in
    one group. Styles become attributes, which need no reading as a style sheet.

    Parameters
    ----------
    svg : str
        The picture, as `airchain.shown.lean_svg.lean` writes it.

    Returns
    -------
    str
        The picture.
    """
    ElementTree.register_namespace("", _SVG)
    root = ElementTree.fromstring(svg)
    marks: dict[str, Element] = {}
    for one in root.iter():
        _style_as_attributes(one)
    for defs in root.iter(_DEFS):
        marks |= {one.get("id", ""): one for one in defs if one.tag == _PATH}
    for parent in [one for one in root.iter() if one.tag not in (_DEFS, _TEXT)]:
        parent[:] = list(_clipped_once(_joined(_plain(one, marks) for one in parent)))
    return ElementTree.tostring(root, encoding="unicode")


def _style_as_attributes(one: Element) -> None:
    """Tell an element's style by its attributes."""
    for told in one.attrib.pop("style", "").split(";"):
        name, _, value = told.partition(":")
        if name:
            one.set(name.strip(), value.strip())


def _plain(one: Element, marks: dict[str, Element]) -> Element:
    """Return a mark that is used at a place as a path of its own there."""
    mark = marks.get(one.get("href", "#")[1:]) if one.tag == _USE else None
    begin = None if mark is None else _BEGIN.fullmatch(mark.get("d", ""))
    if mark is None or begin is None or "transform" in mark.attrib:
        return one
    x, y = (float(one.get(axis, 0)) + float(begin[n]) for n, axis in enumerate("xy", 1))
    look = {key: value for key, value in one.attrib.items() if key not in ("href", "x", "y")}
    look |= {key: value for key, value in mark.attrib.items() if key not in ("id", "d")}
    look[_MARK] = mark.get("id", "")
    return Element(_PATH, look | {"d": f"m{x:.2f} {y:.2f}{begin[3]}"})


def _joined(elements: Iterable[Element]) -> Iterator[Element]:
    """Yield elements; neighbours of one look are one path where that looks the same.

    Lines that stand or lie, as those of grids, ticks and frames do, hide neither each other nor
    labels: a run of them is sorted by look.
    """
    lines: dict[_Look, Element] = {}
    last: Element | None = None
    for one in elements:
        if one.tag in (_TEXT, _DEFS):
            yield one
        elif _is_line(one):
            if (before := lines.setdefault(_look(one), one)) is not one:
                _join(before, one)
            last = None
        elif last is not None and _may_join(last, one):
            _join(last, one)
        else:
            yield from lines.values()
            lines, last = {}, one
            yield one
    yield from lines.values()


def _look(one: Element) -> _Look:
    """What an element looks like, wherever it is."""
    return tuple(sorted((key, value) for key, value in one.attrib.items() if key != "d"))


def _moves(one: Element) -> str:
    """The moves of a path behind its begin."""
    begin = _BEGIN.fullmatch(one.get("d", ""))
    return "" if begin is None else begin[3].strip()


def _is_line(one: Element) -> bool:
    return one.tag == _PATH and _UPRIGHT_LINE.fullmatch(_moves(one)) is not None


def _may_join(last: Element, one: Element) -> bool:
    """Whether two paths of one look may be one: opaque strokes and marks, or boxes.

    Areas of one mark turn the same way, so that none cuts a hole into another.
    """
    if last.tag != _PATH or one.tag != _PATH or _look(last) != _look(one):
        return False
    opaque = not any("opacity" in key for key in one.attrib)
    alike = one.get("fill") == "none" or _MARK in one.attrib
    return (opaque and alike and _moves(one) != "") or _BOX.fullmatch(_moves(one)) is not None


def _join(before: Element, one: Element) -> None:
    """Add the path of an element to that of another; what follows a begin is moves."""
    begin = _BEGIN.fullmatch(one.get("d", ""))
    if begin is None:
        raise ValueError(one.get("d"))
    moves = begin[3] if begin[3].lstrip()[:1].isalpha() else f"l{begin[3].strip()}"
    before.set("d", f"{before.get('d')}M{begin[1]} {begin[2]}{moves}")


def _clipped_once(elements: Iterable[Element]) -> Iterator[Element]:
    """Yield elements; neighbours that one frame cuts off stand in a group that it cuts off."""
    for clip, group in groupby(elements, lambda one: one.get(_CLIP)):
        members = list(group)
        if clip is None or len(members) == 1:
            yield from members
            continue
        whole = Element(_GROUP, {_CLIP: clip})
        for one in members:
            del one.attrib[_CLIP]
            whole.append(one)
        yield whole
