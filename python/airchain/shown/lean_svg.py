"""Pictures as lean SVG: the same to the eye, in a fraction of the letters."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import escape
from xml.etree import ElementTree

__all__ = ["glyphs_of", "glyphs_once", "lean", "with_glyphs"]

_SVG = "{http://www.w3.org/2000/svg}"
_XLINK = "{http://www.w3.org/1999/xlink}href"
#: What matplotlib moves an outline of its own to the size of letters by.
_OF_GLYPH = "scale(0.015625)"
#: Letters of a path, and how many numbers each takes.
_TAKES = {"M": 2, "L": 2, "Q": 4, "C": 6, "Z": 0}
_TOKEN = re.compile(r"([MLQCZz])|(-?[\d.]+(?:e-?\d+)?)")
#: Steps to a point of print: of lines, finer than any page is printed, and of marks.
_STEPS, _FINE = 20, 100
_GLYPH = re.compile(r'<path id="(g[^"]*)" d="[^"]*" transform="scale\(\.015625\)"/>')


def lean(svg: str, name: str) -> str:
    """Return a picture that looks the same and takes fewer letters.

    Parameters
    ----------
    svg : str
        The picture, as matplotlib writes it with text as outlines.
    name : str
        Unique in the document: ids inside begin with it, but for those of glyphs, which are the
        same in every picture.

    Returns
    -------
    str
        One element ``svg`` to be set into HTML, complete in itself. Places are rounded to a
        twentieth of a point, marks to a hundredth.
    """
    root = ElementTree.fromstring(svg[svg.index("<svg") :])
    used = {link[1:] for one in root.iter() if (link := one.get(_XLINK))}
    used |= {name for one in root.iter() for value in one.attrib.values() for name in _urls(value)}
    glyphs = {one.get("id", ""): one.get("d") for one in root.iter() if _is_glyph(one)}
    ids = {old: f"{name}-{number}" for number, old in enumerate(sorted(used - set(glyphs)))}
    ids |= {old: f"g{old.removeprefix('DejaVuSans')}" for old, d in glyphs.items() if d}
    root.set("style", "stroke-linejoin:round;stroke-linecap:butt")
    return "".join(_written(root, ids))


def glyphs_once(html: str) -> str:
    """Return a document whose pictures share their glyphs, each of which stands in it once.

    Parameters
    ----------
    html : str
        The document; its pictures are `lean`.

    Returns
    -------
    str
        The document, with a picture that shows nothing and holds the glyphs at its end.
    """
    glyphs = glyphs_of(html)
    if not glyphs:
        return html
    bare = _GLYPH.sub("", html).replace("<defs></defs>", "")
    hidden = 'aria-hidden="true" width="0" height="0" style="position:absolute"'
    held = f'<svg xmlns="{_SVG[1:-1]}" {hidden}><defs>{"".join(glyphs.values())}</defs></svg>'
    return bare.replace("</body>", f"{held}\n</body>")


def glyphs_of(html: str) -> dict[str, str]:
    """Return the glyphs of a document's pictures.

    Parameters
    ----------
    html : str
        The document.

    Returns
    -------
    dict of str
        The element of each glyph by its id.
    """
    return {found[1]: found[0] for found in _GLYPH.finditer(html)}


def with_glyphs(svg: str, glyphs: Mapping[str, str]) -> str:
    """Return a picture of a document that shares glyphs, complete in itself again.

    Parameters
    ----------
    svg : str
        The picture.
    glyphs : mapping
        The document's `glyphs_of`.

    Returns
    -------
    str
        The picture with the glyphs that it uses.
    """
    used = dict.fromkeys(re.findall(r'href="#([^"]+)"', svg))
    defs = "".join(glyphs[name] for name in used if name in glyphs)
    return re.sub(r"(<svg[^>]*>)", rf"\g<1><defs>{defs}</defs>", svg, count=1)


def _urls(value: str) -> list[str]:
    return re.findall(r"url\(#([^)]+)\)", value)


def _is_glyph(one: ElementTree.Element) -> bool:
    return one.tag == f"{_SVG}path" and one.get("transform") == _OF_GLYPH


def _written(
    one: ElementTree.Element, ids: Mapping[str, str], steps: int = _STEPS
) -> Iterator[str]:
    """Yield an element; groups that do nothing are left out."""
    tag = one.tag.removeprefix(_SVG)
    if tag in ("metadata", "style") or (tag == "use" and one.get(_XLINK, "#")[1:] not in ids):
        return
    if tag == "g":
        _share_style(one)
    steps = 1 if _is_glyph(one) else _FINE if tag == "defs" else steps
    kept = dict(_attributes(one, tag, ids, steps))
    if _is_glyph(one) and "d" not in kept:
        return
    inner = [text for child in one for text in _written(child, ids, steps)]
    if (tag in ("g", "defs") and not inner) or (tag == "g" and not kept):
        yield from inner
        return
    told = "".join(f' {key}="{escape(value)}"' for key, value in kept.items())
    if tag == "svg":
        told = f' xmlns="{_SVG[1:-1]}"{told}'
    yield f"<{tag}{told}>" if inner else f"<{tag}{told}/>"
    yield from inner
    if inner:
        yield f"</{tag}>"


def _share_style(group: ElementTree.Element) -> None:
    """Give a group without style the one that all its marks have."""
    styles = {child.get("style") for child in group}
    if len(group) < 2 or len(styles) > 1 or None in styles or "style" in group.attrib:
        return
    if any(child.tag != f"{_SVG}use" for child in group):
        return
    group.set("style", str(styles.pop()))
    for child in group:
        del child.attrib["style"]


def _attributes(
    one: ElementTree.Element, tag: str, ids: Mapping[str, str], steps: int
) -> Iterator[tuple[str, str]]:
    for key, value in one.attrib.items():
        moved = re.fullmatch(r"translate\((\S+) (\S+)\)", value)
        if key == "id":
            if value in ids:
                yield "id", ids[value]
        elif key == _XLINK:
            yield "href", f"#{ids[value[1:]]}"
        elif key == "d":
            yield "d", _path(value, steps)
        elif key == "style":
            yield "style", re.sub(r"\s*([:;,])\s*", r"\1", _with_ids(value, ids)).rstrip(";")
        elif key in ("x", "y") and tag == "use":
            yield key, _number(round(float(value) * _STEPS), _STEPS)
        elif tag == "use" and moved is not None:
            # A letter's place in its line, in hundredths of the letters' size.
            places = zip("xy", moved.groups(), strict=True)
            yield from ((axis, str(n)) for axis, text in places if (n := round(float(text))))
        elif key == "transform":
            yield key, re.sub(r"(?<![\d.])(-?)0*([\d]*\.\d+)", _shorter, value)
        elif key != "version":
            yield key, _with_ids(value, ids)


def _shorter(found: re.Match[str]) -> str:
    number = float(found[0])
    text = f"{number:.2f}" if abs(number) >= 10.0 else f"{number:.6g}"
    return text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text


def _with_ids(value: str, ids: Mapping[str, str]) -> str:
    return re.sub(r"url\(#([^)]+)\)", lambda found: f"url(#{ids[found[1]]})", value)


def _number(steps: int, of: int) -> str:
    """A number of steps as text, without the zeros that SVG can do without."""
    text = f"{steps / of:.2f}".rstrip("0").rstrip(".")
    return text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text


def _path(d: str, of: int) -> str:
    """Return a path by moves from place to place, in whole steps, so that no rounding adds up."""
    written, last, letter = "", "", ""
    numbers: list[int] = []
    here = start = (0, 0)
    for found in _TOKEN.finditer(d):
        if found[1]:
            letter, numbers = found[1].upper(), []
            if letter == "Z":
                written, last, here = f"{written}z", "z", start
            continue
        numbers.append(round(float(found[2]) * of))
        if len(numbers) < _TAKES[letter]:
            continue
        moves = [number - here[place % 2] for place, number in enumerate(numbers)]
        here, numbers = (numbers[-2], numbers[-1]), []
        command = letter.lower()
        if command == "m":
            start = here
        elif command == "l" and 0 in moves:
            command, moves = ("v", moves[1:]) if moves[0] == 0 else ("h", moves[:1])
        text = "".join(_parted(_number(move, of), place) for place, move in enumerate(moves))
        goes_on = command in (last, {"m": "l"}.get(last)) and command != "m"
        written += _parted(text, 1) if goes_on else f"{command}{text}"
        last = command
    return written


def _parted(text: str, place: int) -> str:
    """A number behind another needs a gap, unless its sign parts them."""
    return text if place == 0 or text.startswith("-") else f" {text}"
