"""Typed names and notes as they may be shown: no control characters, no hidden direction marks."""

from __future__ import annotations

from unicodedata import category

#: What stands in place of a character that cannot be printed.
REPLACEMENT = "\N{REPLACEMENT CHARACTER}"


def safe(text: str, replacement: str = REPLACEMENT) -> str:
    """Return text that a terminal, a page and a picture show as it stands.

    A control character could move the cursor or change colours, and a mark of writing direction
    could show digits in another order than they stand in; both are replaced. Line ends stay, tabs
    and other spaces become plain spaces.

    Parameters
    ----------
    text : str
        What was typed or read.
    replacement : str
        What stands in place of each character that cannot be printed.

    Returns
    -------
    str
        The text; the same object where nothing was amiss.
    """
    if text.isprintable():
        return text
    return "\n".join(
        line if line.isprintable() else "".join(_shown(c, replacement) for c in line)
        for line in text.split("\n")
    )


def _shown(character: str, replacement: str) -> str:
    if character.isprintable():
        return character
    return " " if character == "\t" or category(character) == "Zs" else replacement


def cell_text(text: str) -> str:
    """Return a cell that a spreadsheet takes for a number or a text: never for a formula.

    Parameters
    ----------
    text : str
        The cell.

    Returns
    -------
    str
        The same; a text that begins as formulas do has an apostrophe before it.
    """
    if not text.startswith(("=", "+", "-", "@", "\t", "\r")):
        return text
    try:
        float(text)
    except ValueError:
        return f"'{text}"
    return text
