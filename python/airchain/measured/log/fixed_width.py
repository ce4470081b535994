"""Columns of a log that stand at fixed places of the line, without a mark between them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

_WORD = re.compile(r"\S+")


def places(lines: Sequence[str], width: int) -> list[tuple[int, int]] | None:
    """Return where each column begins and ends, from rows of `width` numbers.

    None where the rows do not stand below each other: then blanks alone part the cells.
    """
    rows = [[m.span() for m in _WORD.finditer(line.expandtabs())] for line in lines]
    rows = [row for row in rows if len(row) == width]
    if len(rows) < 3:
        return None
    spans = [(min(r[i][0] for r in rows), max(r[i][1] for r in rows)) for i in range(width)]
    if any(spans[i][1] >= spans[i + 1][0] + 1 for i in range(width - 1)):
        return None
    return spans


def cuts_of(
    spans: Sequence[tuple[int, int]], lines: Sequence[str], headings: str
) -> tuple[int, ...]:
    """Return where the line is to be cut between columns, such that no heading word is cut.

    Numbers that end below each other are cut at their ends, others where they begin; the words of
    the headings decide where both would do. Empty where every cut goes through a word.
    """
    width = len(spans)
    rows = [[m.span() for m in _WORD.finditer(line.expandtabs())] for line in lines]
    rows = [row for row in rows if len(row) == width]
    right = all(len({r[i][1] for r in rows}) == 1 for i in range(width))
    left = all(len({r[i][0] for r in rows}) == 1 for i in range(width))
    ends = tuple(spans[i][1] for i in range(width - 1))
    starts = tuple(spans[i + 1][0] for i in range(width - 1))
    middles = tuple((a + b + 1) // 2 for a, b in zip(ends, starts, strict=True))
    choices = [ends] if right else []
    choices += [starts] if left else []
    choices += [middles, *([] if right else [ends]), *([] if left else [starts])]
    for cuts in choices:
        if parts_no_word(headings, cuts) and all(sliced(headings, cuts)):
            return cuts
    return ()


def sliced(line: str, cuts: Sequence[int]) -> list[str]:
    """Return the cells of a line that is cut at the given places."""
    text = line.expandtabs()
    edges = [0, *cuts, max(len(text), cuts[-1] if cuts else 0)]
    return [" ".join(text[a:b].split()) for a, b in pairwise(edges)]


def parts_no_word(line: str, cuts: Sequence[int]) -> bool:
    """Return whether no word of a line stands across a cut."""
    words = (m.span() for m in _WORD.finditer(line.expandtabs()))
    return not any(a < cut < b for a, b in words for cut in cuts)
