"""How a question of the reader is answered: in the mapping, or behind a command."""

from __future__ import annotations

import re

_QUOTED = re.compile(r'"([^"]+)"')
_ONE_OF = re.compile(r"one of ([^\s,;]+)")


def set_it(field: str, rule: str) -> str:
    """Return how a key is set, with the first answer that a rule allows.

    Parameters
    ----------
    field : str
        The key, such as ``"power_basis"``.
    rule : str
        What it must be, such as ``'be "hp" or "PS"'``.

    Returns
    -------
    str
        Words that end with such as ``--set power_basis=observed``.
    """
    found = _QUOTED.search(rule) or _ONE_OF.search(rule)
    if found is None:
        return "set it in the mapping"
    value = found[1]
    plain = re.fullmatch(r"[\w.%]+", value)
    typed = f"{field}={value}" if plain else f"'{field}=\"{value}\"'"
    return f"set it in the mapping, or behind the command, such as --set {typed}"
