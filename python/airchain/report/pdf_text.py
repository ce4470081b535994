"""Outlined letters of pictures as text again: what sets the PDF draws text faster than outlines."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from html import escape
from typing import TYPE_CHECKING
from unicodedata import normalize

from ..base.extras import extra

if TYPE_CHECKING:
    from matplotlib.ft2font import FT2Font

__all__ = ["with_text"]

#: A group of letters: where it stands, and each letter's glyph with its place along the line.
_LETTERS = re.compile(r'<g ([^>]*)>((?:<use href="#g-[0-9a-f]+"(?: x="-?[\d.]+")?/>)+)</g>')
_LETTER = re.compile(r'href="#g-([0-9a-f]+)"(?: x="(-?[\d.]+)")?')
#: How letters are turned upside up again, and their size there: places are hundredths of it.
_FLIPPED = re.compile(r"scale\(([\d.]+) -([\d.]+)\)")
_SIZE = 100
_JOINED = "ﬀﬁﬂﬃﬄ"
_NO_LETTER = "\ufffd"


def with_text(svg: str) -> str:
    """Return a picture whose letters are text, set in the font that they are outlines of.

    Parameters
    ----------
    svg : str
        The picture, as `airchain.shown.lean_svg.lean` writes it.

    Returns
    -------
    str
        The picture; letters that are not understood stay as they are.
    """
    return _LETTERS.sub(_as_text, svg)


def _as_text(found: re.Match[str]) -> str:
    told, uses = found.groups()
    upright, count = _FLIPPED.subn(r"scale(\1 \2)", told)
    text = "".join(_string(uses))
    if count != 1 or "stroke" in told or _NO_LETTER in text:
        return found[0]
    font = f'font-family="DejaVu Sans" font-size="{_SIZE}"'
    return f'<text {upright} {font} xml:space="preserve">{escape(text, quote=False)}</text>'


def _string(uses: str) -> Iterator[str]:
    """Yield letters; a gap that no letter fills is blanks, and what is no letter a replacement."""
    ends = 0.0
    for glyph, place in _LETTER.findall(uses):
        letter, at = _codes().get(int(glyph, 16), _NO_LETTER), float(place or 0.0)
        yield " " * max(round((at - ends) / _width(" ")), 0)
        # Letters that are joined into one glyph are told singly, so that a reader finds the word.
        yield normalize("NFKC", letter) if letter in _JOINED else letter
        ends = at + _width(letter)


@cache
def _codes() -> dict[int, str]:
    """Each glyph's letter, by its number in the font."""
    return {int(glyph): chr(code) for code, glyph in reversed(_font().get_charmap().items())}


@cache
def _width(letter: str) -> float:
    """How far a letter moves on, at the size in which letters are placed."""
    plain = extra("matplotlib.ft2font").LoadFlags.NO_HINTING
    return float(_font().load_char(ord(letter), plain).linearHoriAdvance) / 65536.0


@cache
def _font() -> FT2Font:
    """The font that pictures are lettered in, at the size in which letters are placed."""
    found: FT2Font = extra("matplotlib.ft2font").FT2Font(
        extra("matplotlib.font_manager").findfont("DejaVu Sans")
    )
    found.set_size(_SIZE, 72)
    return found
